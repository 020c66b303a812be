import type { Rect } from '../measure/rect.ts';
import { finishedFromDrawn } from '../measure/spaces.ts';
import type { Side } from './schema.ts';
import { rectFromStored } from './stored-rect.ts';

/** The finished outline of a side: its rectangle on the page, enlarged by the scale, with its corner at (0, 0). */
export function sideOutline(side: Pick<Side, 'artworkRect'>, scale: number): Rect<'finished'> {
  const drawn = rectFromStored<'drawn'>(side.artworkRect);
  return finishedFromDrawn(drawn, scale).rect(drawn);
}

/** The inverse: the drawn rectangle of a side that is not on a page yet. */
export const drawnRectOfSize = (size: Pick<Rect, 'width' | 'height'>, scale: number): Rect<'drawn'> => ({
  x: 0,
  y: 0,
  width: size.width / scale,
  height: size.height / scale,
});
