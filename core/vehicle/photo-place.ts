/** A photo placed on its side by points whose place on the vehicle is known, with its lens distortion removed. */

import { itemAt } from '../measure/present.ts';
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
  type PlanePoint,
  type PointPair,
  similarityFromPairs,
} from './homography.ts';
import { bendFromLines, type Lens, pointIdeal, pointSeen } from './lens.ts';
import type { PhotoLength, PhotoRectangle, SidePhoto } from './side-photo.ts';

export interface PhotoPlace {
  readonly lens: Lens;
  /** From the undistorted photo to the side, and back. */
  readonly toSide: Homography;
  readonly toPhoto: Homography;
  /** For each point, the distance on the side, in mm, between its typed place and its place in the photo. */
  readonly residualsMm: readonly Mm[];
  /** The same for the corners of the rectangle, if there is one. */
  readonly cornersOffMm: readonly Mm[];
  /** Number of points beyond the minimum; with none, residuals mean nothing. */
  readonly sparePoints: number;
}

const MARKED_RESIDUAL_SHARE = 0.005;

/** Problems: `photo-points-few`, `photo-place-open`, `photo-points-in-line`, `photo-points-mixed`. */
export function photoPlace(photo: SidePhoto): Result<PhotoPlace> {
  const { widthPx, heightPx } = photo;
  const lines = photo.straightLines.map((line) => line.map(pointOf));
  const lens = { bend: bendFromLines(lines, { widthPx, heightPx }), widthPx, heightPx };
  const points = photo.points.map(({ xMm, yMm, ...at }) => ({
    from: pointIdeal(lens, pointOf(at)),
    to: { x: xMm, y: yMm },
  }));
  const found = photo.rectangle
    ? placeByRectangle(photo, photo.rectangle, lens, points)
    : placeByPoints(photo, lens, points);
  if (!found.ok) return found;
  const { toSide, corners, sparePoints } = found.value;
  const toPhoto = toSide && homographyInverse(toSide);
  if (!toSide || !toPhoto) return resultProblem(pointsInLine);
  // It has the same sign for all points in front of the camera; the other sign is a mirror image.
  const determinant = homographyDeterminant(toSide);
  const isSeen = [...points, ...corners].every(({ from }) => homographyDepth(toSide, from) * determinant > 0);
  if (!isSeen) return resultProblem(pointsMixed);
  const offMm = ({ from, to }: PointPair): Mm => distance(homographyApplied(toSide, from), to);
  return resultOk({
    lens,
    toSide,
    toPhoto,
    residualsMm: points.map(offMm),
    cornersOffMm: corners.map(offMm),
    sparePoints,
  });
}

interface Fitted {
  readonly toSide: Homography | undefined;
  readonly corners: readonly PointPair[];
  readonly sparePoints: number;
}

const fitted = ({ isSquareOn }: SidePhoto, pairs: readonly PointPair[]): Homography | undefined =>
  isSquareOn ? similarityFromPairs(pairs) : homographyFromPairs(pairs);

function placeByPoints(photo: SidePhoto, lens: Lens, points: readonly PointPair[]): Result<Fitted> {
  const sparePoints = points.length - (photo.isSquareOn ? 2 : 4);
  const lengths = lengthsKnown(photo, lens);
  if (photo.isSquareOn && sparePoints < 0 && lengths.length >= 2) {
    const [point] = points;
    return point
      ? resultOk({ toSide: squareOn(lengths, point), corners: [], sparePoints: 0 })
      : resultProblem(placeOpen);
  }
  if (sparePoints < 0) return resultProblem(pointsFew(-sparePoints, photo.isSquareOn));
  return resultOk({ toSide: fitted(photo, points), corners: [], sparePoints });
}

/**
 * The four corners give scale and perspective; the position comes from the rectangle's place, or else from the points.
 */
function placeByRectangle(
  photo: SidePhoto,
  { widthMm, heightMm, corners, at }: PhotoRectangle,
  lens: Lens,
  points: readonly PointPair[],
): Result<Fitted> {
  const pairsAt = ({ x, y }: PlanePoint): readonly PointPair[] =>
    [
      { x, y },
      { x: x + widthMm, y },
      { x: x + widthMm, y: y + heightMm },
      { x, y: y + heightMm },
    ].map((to, index) => ({ from: pointIdeal(lens, pointOf(itemAt(corners, index))), to }));
  if (at) {
    const placed = pairsAt({ x: at.xMm, y: at.yMm });
    const sparePoints = 4 + points.length - (photo.isSquareOn ? 2 : 4);
    return resultOk({ toSide: fitted(photo, [...placed, ...points]), corners: placed, sparePoints });
  }
  if (points.length === 0) return resultProblem(placeOpen);
  const alone = fitted(photo, pairsAt({ x: 0, y: 0 }));
  if (!alone) return resultProblem(pointsInLine);
  const off = points.map(({ from, to }) => {
    const shown = homographyApplied(alone, from);
    return { x: to.x - shown.x, y: to.y - shown.y };
  });
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  // Points only shift the rectangle: distorting it to fit them would hide a wrong size.
  const placed = pairsAt({ x: mean(off.map(({ x }) => x)), y: mean(off.map(({ y }) => y)) });
  return resultOk({ toSide: fitted(photo, placed), corners: placed, sparePoints: points.length - 1 });
}

type PhotoPixel = Readonly<Record<'xPx' | 'yPx', number>>;

const pointOf = ({ xPx, yPx }: PhotoPixel): PlanePoint => ({
  x: xPx,
  y: yPx,
});
const distance = (a: PlanePoint, b: PlanePoint): number => Math.hypot(a.x - b.x, a.y - b.y);

/** Lengths in pixels of the undistorted photo, for those that were measured with a tape. */
const lengthsKnown = ({ lengths = [] }: SidePhoto, lens: Lens) =>
  lengths.flatMap(({ from, to, mm }) =>
    mm === undefined
      ? []
      : [{ px: distance(pointIdeal(lens, pointOf(from)), pointIdeal(lens, pointOf(to))), mm }],
  );

/** Keeps the photo level, scales it by the lengths (least squares), and puts one point in its place. */
function squareOn(
  lengths: readonly { readonly px: number; readonly mm: Mm }[],
  { from, to }: PointPair,
): Homography | undefined {
  const squares = lengths.reduce((sum, { px }) => sum + px * px, 0);
  const mmPerPx = lengths.reduce((sum, { px, mm }) => sum + px * mm, 0) / squares;
  if (!(squares > 0)) return undefined;
  return [mmPerPx, 0, to.x - mmPerPx * from.x, 0, mmPerPx, to.y - mmPerPx * from.y, 0, 0, 1];
}

/**
 * A length in the photo, in mm on the side: for a width only its horizontal part, for a height only its vertical part.
 */
export function photoLengthMm({ lens, toSide }: PhotoPlace, { from, to, of }: Omit<PhotoLength, 'mm'>): Mm {
  const onSide = (end: PhotoPixel) => homographyApplied(toSide, pointIdeal(lens, pointOf(end)));
  const [a, b] = [onSide(from), onSide(to)];
  if (of === 'width') return Math.abs(a.x - b.x);
  return of === 'height' ? Math.abs(a.y - b.y) : distance(a, b);
}

/** The size of the side according to its photo, as far as its ends are marked there. Keeps PH9. */
export function photoSideSize(photo: SidePhoto): { readonly widthMm?: Mm; readonly heightMm?: Mm } {
  const marked = (photo.lengths ?? []).filter(({ of }) => of !== undefined);
  const place = marked.length > 0 ? photoPlace(photo) : undefined;
  if (!place?.ok) return {};
  const meanOf = (wanted: 'width' | 'height'): Mm | undefined => {
    const found = marked
      .filter(({ of }) => of === wanted)
      .map((length) => photoLengthMm(place.value, length));
    return found.length > 0 ? found.reduce((sum, mm) => sum + mm, 0) / found.length : undefined;
  };
  const [widthMm, heightMm] = [meanOf('width'), meanOf('height')];
  return { ...(widthMm !== undefined && { widthMm }), ...(heightMm !== undefined && { heightMm }) };
}

/** Whether a residual is so large for a side of this length that the point or its place is probably wrong. */
export const isResidualMarked = (residualMm: Mm, sideLengthMm: Mm): boolean =>
  residualMm > MARKED_RESIDUAL_SHARE * sideLengthMm;

export function photoPointFromSide(
  { lens, toPhoto }: PhotoPlace,
  point: Point<'finished'>,
): { readonly xPx: number; readonly yPx: number } {
  const { x, y } = pointSeen(lens, homographyApplied(toPhoto, point));
  return { xPx: x, yPx: y };
}

const pointsFew = (missing: number, isSquareOn: boolean) => ({
  code: 'photo-points-few',
  message: `The photo cannot be laid on the side yet: ${missing === 1 ? 'one more point is' : `${missing} more points are`} needed.`,
  remedy: `Mark points that are easy to find on photo and vehicle, far apart, and give each its place; or mark ${isSquareOn ? 'two lengths that you know and one point' : 'the corners of a rectangle of known size'}.`,
});

const placeOpen = {
  code: 'photo-place-open',
  message: 'The photo has its scale, but not its place on the side yet.',
  remedy:
    'Mark one point on the photo and on the side, or give the upper left corner of the rectangle its place.',
};

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
