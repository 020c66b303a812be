/**
 * Depth of a recess or a curve, and the length of its surface. A drawing shows the projection, but film covers the
 * surface, which is longer:
 *
 *     drawn     ├──────────── length ────────────┤
 *               ├flank┤                    ├flank┤
 *     surface   ╲                                ╱    ┬
 *                ╲                              ╱     │ depth
 *                 ╲____________________________╱      ┴
 *
 * A flat bottom of 400 mm between flanks 30 mm wide and 40 mm deep is 460 mm long on the drawing, 500 mm on the
 * vehicle.
 *
 * ```ts
 * developedLength({ kind: 'flat-bottom', depthMm: 40, flankMm: 30 }, 460); // → 500
 * stretchPercent(500, 460).toFixed(1); // → '8.7'
 * ```
 */
import { z } from 'zod';
import { type Interval, intervalIntersection } from '../measure/interval.ts';
import { decimalText } from '../measure/length-text.ts';
import { itemAt, lastOf } from '../measure/present.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';

const MAX_DEPTH_MM = 5_000;
const MAX_POINTS = 500;
const depthMm = z.number().positive().max(MAX_DEPTH_MM);

/** One row of a measured profile: the distance from the left or upper edge of the area, and the depth there. */
export const ProfilePoint = z.strictObject({
  atMm: z.number().nonnegative().max(100_000),
  depthMm: z.number().min(-MAX_DEPTH_MM).max(MAX_DEPTH_MM),
});
export type ProfilePoint = z.infer<typeof ProfilePoint>;

export const DepthShape = z.discriminatedUnion('kind', [
  /** A flat bottom between two sloping flanks of the same width, measured on the drawing. */
  z.strictObject({ kind: z.literal('flat-bottom'), depthMm, flankMm: z.number().nonnegative().max(100_000) }),
  /** Part of a circle over the whole length of the area. */
  z.strictObject({ kind: z.literal('arc'), depthMm }),
  /** Straight from point to point; flat from the edge of the area to the first point and after the last. */
  z.strictObject({ kind: z.literal('profile'), points: z.array(ProfilePoint).min(2).max(MAX_POINTS) }),
]);
export type DepthShape = z.infer<typeof DepthShape>;

export const GroundDepth = z.strictObject({
  /** Dimensions of the area along which the surface goes in and out. */
  along: z.enum(['width', 'height', 'both']),
  shape: DepthShape,
});
export type GroundDepth = z.infer<typeof GroundDepth>;

/** Why a shape does not fit an area of that length, in one sentence; undefined where it does. */
export function depthProblem(shape: DepthShape, lengthMm: Mm, shown: (mm: Mm) => string): string | undefined {
  if (shape.kind === 'flat-bottom') {
    return 2 * shape.flankMm > lengthMm + LENGTH_TOLERANCE_MM
      ? `Two flanks of ${shown(shape.flankMm)} are wider than its ${shown(lengthMm)}.`
      : undefined;
  }
  if (shape.kind === 'arc') {
    return shape.depthMm > lengthMm / 2 + LENGTH_TOLERANCE_MM
      ? `An arc over ${shown(lengthMm)} is at most ${shown(lengthMm / 2)} deep; ${shown(shape.depthMm)} was entered.`
      : undefined;
  }
  const last = lastOf(shape.points);
  if (last.atMm > lengthMm + LENGTH_TOLERANCE_MM)
    return `Its profile ends at ${shown(last.atMm)}, beyond its ${shown(lengthMm)}.`;
  const back = shape.points.findIndex(
    ({ atMm }, index) => index > 0 && atMm < itemAt(shape.points, index - 1).atMm,
  );
  return back < 0
    ? undefined
    : `Its profile goes back from ${shown(itemAt(shape.points, back - 1).atMm)} to ${shown(itemAt(shape.points, back).atMm)}.`;
}

/** Greatest depth of a shape. */
export const depthDeepest = (shape: DepthShape): Mm =>
  shape.kind === 'profile'
    ? Math.max(...shape.points.map(({ depthMm }) => Math.abs(depthMm)))
    : shape.depthMm;

/**
 * Length of the surface over a part of an area that is `lengthMm` long on the drawing, in mm. The shape must fit
 * (`depthProblem`). Arc of radius r over a chord c: `2 r asin(c / 2r)`.
 * Keeps DEP1.
 */
export function developedLength(
  shape: DepthShape,
  lengthMm: Mm,
  part: Interval = { start: 0, end: lengthMm },
): Mm {
  if (shape.kind === 'arc') return arcLength(shape.depthMm, lengthMm, part);
  const points =
    shape.kind === 'profile' ? shape.points : flatBottomPoints(shape.depthMm, shape.flankMm, lengthMm);
  let length = part.end - part.start;
  for (const [index, to] of points.entries()) {
    const from = points[index - 1];
    if (!from) continue;
    const rise = to.depthMm - from.depthMm;
    const run = to.atMm - from.atMm;
    if (run <= LENGTH_TOLERANCE_MM) {
      // A vertical flank counts with the part that contains it; one on a boundary counts once, with the following part.
      if (from.atMm >= part.start - LENGTH_TOLERANCE_MM && isBefore(from.atMm, part.end, lengthMm))
        length += Math.abs(rise);
      continue;
    }
    const shared = intervalIntersection({ start: from.atMm, end: to.atMm }, part);
    if (shared) length += (shared.end - shared.start) * (Math.hypot(rise, run) / run - 1);
  }
  return length;
}

/**
 * The same over a stretch of an area that is `lengthMm` long at its longest place. In a shorter stretch two flanks keep
 * their shape until they meet, then become less deep; an arc or a profile shrinks in proportion.
 */
export function developedStretch(shape: DepthShape, lengthMm: Mm, stretchMm: Mm, part: Interval): Mm {
  if (shape.kind === 'flat-bottom') {
    const share = Math.min(1, stretchMm / (2 * shape.flankMm));
    const own = { ...shape, depthMm: shape.depthMm * share, flankMm: shape.flankMm * share };
    return developedLength(own, stretchMm, part);
  }
  const share = stretchMm / lengthMm;
  return share * developedLength(shape, lengthMm, { start: part.start / share, end: part.end / share });
}

/** The shape seen from the other end. */
export const shapeMirrored = (shape: DepthShape, lengthMm: Mm): DepthShape =>
  shape.kind === 'profile'
    ? {
        ...shape,
        points: shape.points.map(({ atMm, depthMm }) => ({ atMm: lengthMm - atMm, depthMm })).toReversed(),
      }
    : shape;

const isBefore = (at: Mm, end: Mm, lengthMm: Mm): boolean =>
  at < end - LENGTH_TOLERANCE_MM ||
  (at <= end + LENGTH_TOLERANCE_MM && end >= lengthMm - LENGTH_TOLERANCE_MM);

const flatBottomPoints = (depth: Mm, flank: Mm, length: Mm): readonly ProfilePoint[] => [
  { atMm: 0, depthMm: 0 },
  { atMm: flank, depthMm: depth },
  { atMm: length - flank, depthMm: depth },
  { atMm: length, depthMm: 0 },
];

function arcLength(depth: Mm, chord: Mm, part: Interval): Mm {
  const radius = (chord ** 2 / 4 + depth ** 2) / (2 * depth);
  const angle = (at: Mm) => Math.asin(Math.min(1, Math.max(-1, (at - chord / 2) / radius)));
  return radius * (angle(part.end) - angle(part.start));
}

/** How much longer a surface is than its drawing, in percent: the stretch of film if none is fed in. */
export const stretchPercent = (developedMm: Mm, drawnMm: Mm): number => 100 * (developedMm / drawnMm - 1);

/** A stretch for people, in percent: rounded up to a tenth, so never below the true one. */
export const stretchText = (percent: number): string => decimalText(Math.ceil(percent * 10 - 1e-6) / 10, 1);
