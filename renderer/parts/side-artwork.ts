/** The artwork of sides as small pictures: behind the seams of a layout, and on the panels of a roll. */
import { useEffect, useState } from 'preact/hooks';
import type { Job, Side } from '../../core/job/schema.ts';
import { rectFromStored, storedFromRect } from '../../core/job/stored-rect.ts';
import { rectIntersection } from '../../core/measure/rect.ts';
import { ask } from '../client/client.ts';
import { pageExtents } from '../state/open-job.ts';

export interface SideArtwork {
  readonly address: string;
  /** The place of the picture on the side, in finished mm. */
  readonly xMm: number;
  readonly yMm: number;
  readonly widthMm: number;
  readonly heightMm: number;
}

const WIDTH_PX = 1200;

/** Undefined until it is there, and where the side has no artwork: a picture of seams is then drawn on plain ground. */
export const useSideArtwork = (job: Job, side: Side): SideArtwork | undefined =>
  useSideArtworks(job, [side]).get(side.id);

/** By the ids of the sides; each comes when it is drawn. */
export function useSideArtworks(job: Job, sides: readonly Side[]): ReadonlyMap<string, SideArtwork> {
  const [artworks, setArtworks] = useState<ReadonlyMap<string, SideArtwork>>(new Map());
  const wanted = sides.flatMap((side) => {
    const { page } = side;
    const extent = page === undefined ? undefined : pageExtents.value?.get(page);
    const origin = rectFromStored<'drawn'>(side.artworkRect);
    const window = extent && rectIntersection(origin, extent);
    return window && page !== undefined ? [{ side, page, origin, window }] : [];
  });
  const places = wanted.map(({ side, page, window }) => [side.id, page, window]);
  const key = JSON.stringify([job.artwork?.sha256, job.artwork?.box, job.scale, places]);
  useEffect(() => {
    const reference = job.artwork;
    setArtworks(new Map());
    if (!reference) return;
    const abort = new AbortController();
    const addresses: string[] = [];
    for (const { side, page, origin, window } of wanted) {
      const request = { reference, page, window: storedFromRect(window), widthPx: WIDTH_PX };
      void ask('artwork:picture', request, { signal: abort.signal }).then((answer) => {
        if (!answer.ok || abort.signal.aborted) return;
        const png = new Blob([answer.value.png as Uint8Array<ArrayBuffer>], { type: 'image/png' });
        const address = URL.createObjectURL(png);
        addresses.push(address);
        const artwork = {
          address,
          xMm: (window.x - origin.x) * job.scale,
          yMm: (window.y - origin.y) * job.scale,
          widthMm: window.width * job.scale,
          heightMm: window.height * job.scale,
        };
        setArtworks((known) => new Map(known).set(side.id, artwork));
      });
    }
    return () => {
      abort.abort();
      for (const address of addresses) URL.revokeObjectURL(address);
    };
  }, [key]);
  return artworks;
}
