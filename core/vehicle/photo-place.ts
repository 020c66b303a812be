/** A photo of a side laid on the side: by points whose place on the vehicle is known, and a lens made straight. */
import type { Point } from '../measure/rect.ts';
import { type Result, resultOk, resultProblem } from '../measure/result.ts';
import type { Mm } from '../measure/units.ts';
import {
  type Homography,
  homographyApplied,
  homographyDepth,
  homographyDeterminant,
  homographyFromPairs,
  homographyInverse,
  similarityFromPairs,
} from './homography.ts';
import { bendFromLines, type Lens, pointIdeal, pointSeen } from './lens.ts';
import { pointsNeeded, type SidePhoto } from './side-photo.ts';

export interface PhotoPlace {
  readonly lens: Lens;
  /** From the ideal photo to the side, and back. */
  readonly toSide: Homography;
  readonly toPhoto: Homography;
  /** For each point, how far from its typed place the photo shows it, in mm on the side. */
  readonly residualsMm: readonly Mm[];
  /** How many points more there are than it takes: without any, residuals say nothing. */
  readonly sparePoints: number;
}

const MARKED_RESIDUAL_SHARE = 0.005;

/** Problems: `photo-points-few`, `photo-points-in-line`, `photo-points-mixed`. */
export function photoPlace(photo: SidePhoto): Result<PhotoPlace> {
  const { points, straightLines, isSquareOn, widthPx, heightPx } = photo;
  const sparePoints = points.length - pointsNeeded(photo);
  if (sparePoints < 0) return resultProblem(pointsFew(-sparePoints));
  const lines = straightLines.map((line) => line.map(({ xPx, yPx }) => ({ x: xPx, y: yPx })));
  const lens = { bend: bendFromLines(lines, { widthPx, heightPx }), widthPx, heightPx };
  const pairs = points.map(({ xPx, yPx, xMm, yMm }) => ({
    from: pointIdeal(lens, { x: xPx, y: yPx }),
    to: { x: xMm, y: yMm },
  }));
  const toSide = isSquareOn ? similarityFromPairs(pairs) : homographyFromPairs(pairs);
  const toPhoto = toSide && homographyInverse(toSide);
  if (!toSide || !toPhoto) return resultProblem(pointsInLine);
  // Of one sign where the photo shows a point before the camera, and not its mirror image.
  const determinant = homographyDeterminant(toSide);
  const isSeen = pairs.every(({ from }) => homographyDepth(toSide, from) * determinant > 0);
  if (!isSeen) return resultProblem(pointsMixed);
  const residualsMm = pairs.map(({ from, to }) => {
    const at = homographyApplied(toSide, from);
    return Math.hypot(at.x - to.x, at.y - to.y);
  });
  return resultOk({ lens, toSide, toPhoto, residualsMm, sparePoints });
}

/** Whether a residual is so large on a side of this length that the point, or its place, is probably wrong. */
export const isResidualMarked = (residualMm: Mm, sideLengthMm: Mm): boolean =>
  residualMm > MARKED_RESIDUAL_SHARE * sideLengthMm;

export function photoPointFromSide(
  { lens, toPhoto }: PhotoPlace,
  point: Point<'finished'>,
): { readonly xPx: number; readonly yPx: number } {
  const { x, y } = pointSeen(lens, homographyApplied(toPhoto, point));
  return { xPx: x, yPx: y };
}

const pointsFew = (missing: number) => ({
  code: 'photo-points-few',
  message: `The photo cannot be laid on the side yet: ${missing === 1 ? 'one more point is' : `${missing} more points are`} needed.`,
  remedy: 'Mark points that are easy to find on photo and vehicle, far apart, and give each its place.',
});

const pointsInLine = {
  code: 'photo-points-in-line',
  message: 'The photo cannot be laid on the side: too many of its points lie on one line.',
  remedy: 'Mark points in all four corners of the side, no three of them on one line.',
};

const pointsMixed = {
  code: 'photo-points-mixed',
  message: 'The photo cannot be laid on the side: with these places it would be turned over or folded.',
  remedy: 'Two points have probably been given the place of one another: check them.',
};
