/** The place of a template's paths on the side. */
import type { Point, Rect } from '../measure/rect.ts';
import { finishedFromDrawn } from '../measure/spaces.ts';
import { homographyApplied, similarityFromPairs } from '../vehicle/homography.ts';
import type { Side, SideTemplate } from './schema.ts';
import { rectFromStored } from './stored-rect.ts';

export type TemplatePlace = (at: Point<'drawn'>) => Point<'finished'>;

/**
 * Moves, rotates and scales so that its two places fit; without places, uses the place of the artwork. Undefined where
 * both places are the same. `scale` is that of the artwork.
 */
export function templatePlace(
  { points }: Pick<SideTemplate, 'points'>,
  { artworkRect }: Pick<Side, 'artworkRect'>,
  scale: number,
): TemplatePlace | undefined {
  if (!points) return finishedFromDrawn(rectFromStored(artworkRect), scale).point;
  const pairs = points.map(({ drawnXMm, drawnYMm, xMm, yMm }) => ({
    from: { x: drawnXMm, y: drawnYMm },
    to: { x: xMm, y: yMm },
  }));
  const toSide = similarityFromPairs(pairs);
  return toSide && ((at) => homographyApplied(toSide, at));
}

/** The two places that put a box of a template on the side: at full width, centered in height. */
export function templatePointsFromBox(
  box: Rect<'drawn'>,
  side: Rect<'finished'>,
): NonNullable<SideTemplate['points']> {
  const drawnYMm = box.y + box.height / 2;
  const yMm = side.y + side.height / 2;
  return [
    { drawnXMm: box.x, drawnYMm, xMm: side.x, yMm },
    { drawnXMm: box.x + box.width, drawnYMm, xMm: side.x + side.width, yMm },
  ];
}
