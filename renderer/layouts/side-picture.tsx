/** The artwork of a side as a small picture behind its seams. */
import { useEffect, useState } from 'preact/hooks';
import type { Job, Side } from '../../core/job/schema.ts';
import { rectFromStored, storedFromRect } from '../../core/job/stored-rect.ts';
import { rectIntersection } from '../../core/measure/rect.ts';
import { ask } from '../client/client.ts';
import { pageExtents } from '../state/open-job.ts';

export interface SideArtwork {
  readonly address: string;
  /** Where the picture lies on the side, in finished mm. */
  readonly xMm: number;
  readonly yMm: number;
  readonly widthMm: number;
  readonly heightMm: number;
}

const WIDTH_PX = 1200;

/** Undefined until it is there, and where the side has no artwork: a picture of seams is then drawn on plain ground. */
export function useSideArtwork(job: Job, side: Side): SideArtwork | undefined {
  const [artwork, setArtwork] = useState<SideArtwork>();
  const extent = pageExtents.value?.get(side.page);
  const origin = rectFromStored<'drawn'>(side.artworkRect);
  const window = extent && rectIntersection(origin, extent);
  const key = JSON.stringify([job.artwork?.sha256, job.artwork?.box, side.page, window, job.scale]);
  useEffect(() => {
    const reference = job.artwork;
    if (!reference || !window) return setArtwork(undefined);
    const abort = new AbortController();
    let address: string | undefined;
    void ask(
      'artwork:picture',
      { reference, page: side.page, window: storedFromRect(window), widthPx: WIDTH_PX },
      { signal: abort.signal },
    ).then((answer) => {
      if (!answer.ok || abort.signal.aborted) return;
      const png = new Blob([answer.value.png as Uint8Array<ArrayBuffer>], { type: 'image/png' });
      address = URL.createObjectURL(png);
      setArtwork({
        address,
        xMm: (window.x - origin.x) * job.scale,
        yMm: (window.y - origin.y) * job.scale,
        widthMm: window.width * job.scale,
        heightMm: window.height * job.scale,
      });
    });
    return () => {
      abort.abort();
      if (address !== undefined) URL.revokeObjectURL(address);
    };
  }, [key]);
  return artwork;
}
