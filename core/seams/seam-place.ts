import { z } from 'zod';
import { type Interval, intervalIntersection } from '../measure/interval.ts';
import { type Path, pathPart, pathPartsWithin, pathRange } from '../measure/path.ts';
import { firstOf, itemAt, lastOf } from '../measure/present.ts';
import { listSchema, mmSchema } from '../measure/schemas.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';

/** Direction of a seam: a vertical one is at an x, a horizontal one is at a y. */
export const SeamAxis = z.enum(['vertical', 'horizontal']);
export type SeamAxis = z.infer<typeof SeamAxis>;
export const SEAM_AXES = SeamAxis.options;

/** A seam that extends from `from` to `to`: straight at `at`, or along a path. */
export const SeamPlace = z.strictObject({
  axis: SeamAxis,
  at: mmSchema,
  from: mmSchema,
  to: mmSchema,
  path: listSchema(z.strictObject({ along: mmSchema, across: mmSchema })).optional(),
});
export type SeamPlace = z.infer<typeof SeamPlace>;

/** The range of a seam across its axis, over a stretch of it. */
export const placeAcross = ({ at, path }: SeamPlace, along: Interval): Interval =>
  path ? pathRange(path, along) : { start: at, end: at };

/** The stretches of a seam inside an area; a stretch along its edge is not inside. */
export function placeWithin(
  { at, from, to, path }: SeamPlace,
  area: { readonly along: Interval; readonly across: Interval },
): Interval[] {
  const { start, end } = area.across;
  const isOff = start >= at - LENGTH_TOLERANCE_MM || at + LENGTH_TOLERANCE_MM >= end;
  if (!path && isOff) return [];
  const shared = intervalIntersection(area.along, { start: from, end: to });
  if (!shared) return [];
  if (!path) return [shared];
  return pathPartsWithin(path, shared, area.across).map((part) => ({
    start: firstOf(part).along,
    end: lastOf(part).along,
  }));
}

export interface SeamPiece extends SeamPlace {
  /** True length ÷ length along the axis. */
  readonly lengthShare: number;
}

/** A seam as straight pieces along its axis, each with a rise of at most `riseMm`. */
export function placePieces(place: SeamPlace, riseMm: Mm): SeamPiece[] {
  const { axis, from: start, to: end } = place;
  if (!place.path) return [{ ...place, lengthShare: 1 }];
  const points: Path = pathPart(place.path, { start, end });
  return points.slice(1).flatMap((to, index) => {
    const from = itemAt(points, index);
    const [run, rise] = [to.along - from.along, to.across - from.across];
    if (run <= 0) return [];
    const count = Math.max(1, Math.ceil(Math.abs(rise) / riseMm));
    return Array.from({ length: count }, (_, nth) => ({
      axis,
      at: from.across + (rise * (nth + 0.5)) / count,
      from: from.along + (run * nth) / count,
      to: from.along + (run * (nth + 1)) / count,
      lengthShare: Math.hypot(run, rise) / run,
    }));
  });
}
