/** A plan as a picture: the side's artwork, faint, with the seams over it. */

import type { SideArtwork } from '../parts/side-artwork.ts';
import type { PlanDrawing } from './plan-drawing.ts';

interface PlanPictureProps {
  readonly drawing: PlanDrawing;
  readonly artwork: SideArtwork | undefined;
  /** What it shows, for those who do not see it. */
  readonly label: string;
}

export function PlanPicture({ drawing, artwork, label }: PlanPictureProps) {
  const { widthPx, heightPx } = drawing;
  return (
    <svg
      class="plan-picture"
      viewBox={`-1 -1 ${widthPx + 2} ${heightPx + 2}`}
      width={widthPx + 2}
      height={heightPx + 2}
      role="img"
      aria-label={label}
    >
      <PlanShapes drawing={drawing} artwork={artwork} />
    </svg>
  );
}

interface PlanShapesProps {
  readonly drawing: PlanDrawing;
  readonly artwork: SideArtwork | undefined;
  /** A seam to be drawn stronger. */
  readonly markedSeam?: string | undefined;
}

export function PlanShapes({ drawing, artwork, markedSeam }: PlanShapesProps) {
  const { pxPerMm, widthPx, heightPx } = drawing;
  return (
    <>
      <rect class="plan-ground" width={widthPx} height={heightPx} />
      {artwork && (
        <image
          class="plan-artwork"
          href={artwork.address}
          x={artwork.xMm * pxPerMm}
          y={artwork.yMm * pxPerMm}
          width={artwork.widthMm * pxPerMm}
          height={artwork.heightMm * pxPerMm}
          preserveAspectRatio="none"
        />
      )}
      {drawing.bodyLines.map((d) => (
        <path key={d} class="plan-line" d={d} />
      ))}
      {drawing.noFilmAreas.map((d) => (
        <path key={d} class="plan-no-film" d={d} />
      ))}
      {drawing.noSeamAreas.map((d) => (
        <path key={d} class="plan-no-seam" d={d} />
      ))}
      {drawing.seams.map(({ id, kind, line, teeth }) => (
        <g key={id} class={`plan-seam is-${kind}${markedSeam === id ? ' is-marked' : ''}`}>
          <path class="plan-seam-halo" d={line} />
          <path class="plan-seam-line" d={line} />
          {teeth !== '' && <path class="plan-teeth" d={teeth} />}
        </g>
      ))}
      <rect class="plan-outline" width={widthPx} height={heightPx} />
    </>
  );
}
