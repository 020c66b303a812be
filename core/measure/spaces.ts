/**
 * The three spaces, and all conversions between them. Scale is finished size ÷ drawn size; film space is finished space
 * moved to the corner of one panel's film, so its lengths are true.
 *
 * ```ts
 * // A side drawn at 1:10 with its corner at (20, 30) on the page.
 * const space = finishedFromDrawn({ x: 20, y: 30, width: 150, height: 28 }, 10);
 * space.point({ x: 25, y: 37 }); // → { x: 50, y: 70 }
 * space.pointBack({ x: 50, y: 70 }); // → { x: 25, y: 37 }
 * ```
 */
import type { Point, Rect, Space } from './rect.ts';

/** One change of coordinates in both directions: `to` undoes `from`. */
export interface SpaceTransform<From extends Space, To extends Space> {
  point(p: Point<From>): Point<To>;
  rect(r: Rect<From>): Rect<To>;
  pointBack(p: Point<To>): Point<From>;
  rectBack(r: Rect<To>): Rect<From>;
}

/** Enlarges by `factor` about `origin`, which becomes (0, 0). */
function transformFromOrigin<From extends Space, To extends Space>(
  origin: Point<From>,
  factor: number,
): SpaceTransform<From, To> {
  return {
    point: (p) => ({ x: (p.x - origin.x) * factor, y: (p.y - origin.y) * factor }),
    rect: (r) => ({
      x: (r.x - origin.x) * factor,
      y: (r.y - origin.y) * factor,
      width: r.width * factor,
      height: r.height * factor,
    }),
    pointBack: (p) => ({ x: p.x / factor + origin.x, y: p.y / factor + origin.y }),
    rectBack: (r) => ({
      x: r.x / factor + origin.x,
      y: r.y / factor + origin.y,
      width: r.width / factor,
      height: r.height / factor,
    }),
  };
}

/** Drawn space of a page to finished space of the side that is drawn there. */
export const finishedFromDrawn = (
  sideOnPage: Rect<'drawn'>,
  scale: number,
): SpaceTransform<'drawn', 'finished'> => transformFromOrigin(sideOnPage, scale);

/** Finished space of a side to film space of one panel, given the panel's film rectangle on the side. */
export const filmFromFinished = (film: Rect<'finished'>): SpaceTransform<'finished', 'film'> =>
  transformFromOrigin(film, 1);
