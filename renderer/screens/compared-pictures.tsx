/** A side in two artworks, one over the other, with a line to swipe between them and the places that have changed. */
import { useEffect, useState } from 'preact/hooks';
import type { Picture as PictureBytes } from '../../core/contract/parts.ts';
import type { ArtworkReference, Job, Side } from '../../core/job/schema.ts';
import type { ComparedPanel, ComparedSide } from '../../core/output/artwork-comparison.ts';
import { ask } from '../client/client.ts';
import { Picture } from '../parts/picture.tsx';

interface ComparedPicturesProps {
  readonly job: Job;
  readonly side: Side;
  readonly compared: ComparedSide;
  readonly references: readonly [before: ArtworkReference, after: ArtworkReference];
  /** The one that is selected. */
  readonly panelId: string | undefined;
}

const WIDTH_PX = 1600;
const STEP = 1;
/** A changed place is marked at least so large, as a share of the side’s width. */
const LEAST_MARK = 0.008;

export function ComparedPictures({ side, compared, references, panelId }: ComparedPicturesProps) {
  const [at, setAt] = useState(50);
  const [isMarked, setMarked] = useState(true);
  const before = usePicture(references[0], compared.pageBefore, side);
  const after = usePicture(references[1], compared.pageAfter, side);
  const { widthMm, heightMm, panels } = compared;
  const changed = panels.reduce(
    (sum, { verdict, places }) => sum + (verdict === 'changed' ? places.length : 0),
    0,
  );
  return (
    <section class="compare-pictures" aria-label={`${compared.name} before and after`}>
      <div class="compare-stack" style={{ aspectRatio: `${widthMm} / ${heightMm}` }}>
        <Picture picture={before} label={`${compared.name} before`} className="compare-picture" />
        <div class="compare-after" style={{ clipPath: `inset(0 0 0 ${at}%)` }}>
          <Picture picture={after} label={`${compared.name} after`} className="compare-picture" />
        </div>
        <svg viewBox={`0 0 ${widthMm} ${heightMm}`} aria-hidden="true">
          {panels.map((panel) => (
            <Outline key={panel.panelId} panel={panel} isSelected={panel.panelId === panelId} />
          ))}
          {isMarked &&
            panels.flatMap((panel) =>
              panel.verdict === 'unchanged' || (panelId !== undefined && panel.panelId !== panelId)
                ? []
                : panel.places.map((place) => (
                    <Mark
                      key={`${panel.panelId} ${JSON.stringify(place)}`}
                      place={place}
                      side={compared}
                      verdict={panel.verdict}
                    />
                  )),
            )}
        </svg>
        <div class="compare-line" style={{ left: `${at}%` }} />
        <input
          type="range"
          min={0}
          max={100}
          step={STEP}
          value={at}
          aria-label="Swipe between before and after"
          aria-valuetext={`${at} % before, ${100 - at} % after`}
          onInput={(event) => setAt(Number(event.currentTarget.value))}
        />
      </div>
      <p class="compare-legend">
        <span>Before is left of the line, after is right of it.</span>
        <label class="check">
          <input
            type="checkbox"
            checked={isMarked}
            onChange={(event) => setMarked(event.currentTarget.checked)}
          />
          Mark changed places ({changed})
        </label>
      </p>
    </section>
  );
}

function Outline({ panel, isSelected }: { readonly panel: ComparedPanel; readonly isSelected: boolean }) {
  const { xMm, yMm, widthMm, heightMm } = panel.finishedBox;
  const name = `compare-panel is-${panel.verdict}${isSelected ? ' is-selected' : ''}`;
  if (panel.finishedOutline)
    return (
      <polygon
        class={name}
        points={panel.finishedOutline.map((point) => `${point.xMm},${point.yMm}`).join(' ')}
      />
    );
  return <rect class={name} x={xMm} y={yMm} width={widthMm} height={heightMm} />;
}

interface MarkProps {
  readonly place: ComparedPanel['places'][number];
  readonly side: ComparedSide;
  readonly verdict: ComparedPanel['verdict'];
}

function Mark({ place, side, verdict }: MarkProps) {
  const least = LEAST_MARK * side.widthMm;
  const [width, height] = [Math.max(least, place.widthMm), Math.max(least, place.heightMm)];
  const x = place.xMm - (width - place.widthMm) / 2;
  const y = place.yMm - (height - place.heightMm) / 2;
  return <rect class={`compare-mark is-${verdict}`} x={x} y={y} width={width} height={height} />;
}

/** Null where there is none. */
function usePicture(
  reference: ArtworkReference,
  page: number | undefined,
  { artworkRect }: Side,
): PictureBytes | null | undefined {
  const [picture, setPicture] = useState<PictureBytes | null>();
  const key = JSON.stringify([reference.sha256, reference.box, page, artworkRect]);
  useEffect(() => {
    setPicture(undefined);
    if (page === undefined) return setPicture(null);
    const abort = new AbortController();
    const request = { reference, page, window: artworkRect, widthPx: WIDTH_PX };
    void ask('artwork:picture', request, { signal: abort.signal }).then((answer) => {
      if (!abort.signal.aborted) setPicture(answer.ok ? answer.value : null);
    });
    return () => abort.abort();
  }, [key]);
  return picture;
}
