/** A photo while it is being placed: points of which one half may be missing. Pure: no DOM. */
import type { Point, Rect } from '../../../core/measure/rect.ts';
import type { PhotoPoint, SidePhoto } from '../../../core/vehicle/side-photo.ts';

export interface PhotoPixel {
  readonly xPx: number;
  readonly yPx: number;
}

export interface DraftPoint {
  readonly photo?: PhotoPixel;
  /** In finished mm. */
  readonly side?: Point<'finished'>;
}

export interface PhotoDraft {
  readonly points: readonly DraftPoint[];
  readonly lines: readonly (readonly PhotoPixel[])[];
  readonly isSquareOn: boolean;
  /** Index of the point in hand: a click on either picture places it. One past the last: the next one. */
  readonly inHand: number;
}

export const draftFromPhoto = ({ points, straightLines, isSquareOn }: SidePhoto): PhotoDraft => ({
  points: points.map(({ xPx, yPx, xMm, yMm }) => ({ photo: { xPx, yPx }, side: { x: xMm, y: yMm } })),
  lines: straightLines,
  isSquareOn,
  inHand: points.length,
});

const isWhole = (point: DraftPoint): point is Required<DraftPoint> =>
  point.photo !== undefined && point.side !== undefined;

const toHundredth = (value: number): number => Math.round(value * 100) / 100;

/** The photo with the points that are whole, and the lines that say something. */
export function photoFromDraft(photo: SidePhoto, { points, lines, isSquareOn }: PhotoDraft): SidePhoto {
  return {
    ...photo,
    points: points.filter(isWhole).map(
      (point): PhotoPoint => ({
        xPx: toHundredth(point.photo.xPx),
        yPx: toHundredth(point.photo.yPx),
        xMm: toHundredth(point.side.x),
        yMm: toHundredth(point.side.y),
      }),
    ),
    straightLines: lines
      .filter((line) => line.length >= 3)
      .map((line) => line.map(({ xPx, yPx }) => ({ xPx: toHundredth(xPx), yPx: toHundredth(yPx) }))),
    isSquareOn,
  };
}

/** Which residual belongs to which point of the draft: those that are not whole have none. */
export function residualsOfDraft(
  { points }: PhotoDraft,
  residualsMm: readonly number[],
): readonly (number | undefined)[] {
  let next = 0;
  return points.map((point) => (isWhole(point) ? residualsMm[next++] : undefined));
}

/** Places a half of the point in hand. Where that makes it whole, the next that is not is in hand. */
export function pointPlaced(draft: PhotoDraft, half: DraftPoint): PhotoDraft {
  const points = [...draft.points];
  const before = points[draft.inHand] ?? {};
  const after = { ...before, ...half };
  points[draft.inHand] = after;
  if (isWhole(before) || !isWhole(after)) return { ...draft, points };
  const lacking = points.findIndex((point) => !isWhole(point));
  return { ...draft, points, inHand: lacking >= 0 ? lacking : points.length };
}

export const pointChanged = (draft: PhotoDraft, index: number, half: DraftPoint): PhotoDraft => ({
  ...draft,
  points: draft.points.map((point, at) => (at === index ? { ...point, ...half } : point)),
});

export const pointRemoved = (draft: PhotoDraft, index: number): PhotoDraft => ({
  ...draft,
  points: draft.points.filter((_, at) => at !== index),
  inHand: draft.points.length - 1,
});

/** Four points at the corners of a rectangle on the side, in the order in which the photo is then clicked. */
export function cornersAdded(draft: PhotoDraft, { x, y, width, height }: Rect): PhotoDraft {
  const corners = [
    { x, y },
    { x: x + width, y },
    { x: x + width, y: y + height },
    { x, y: y + height },
  ];
  const points = draft.points.filter(isWhole);
  return { ...draft, points: [...points, ...corners.map((side) => ({ side }))], inHand: points.length };
}

export const lineBegun = (draft: PhotoDraft): PhotoDraft =>
  draft.lines.at(-1)?.length === 0 ? draft : { ...draft, lines: [...draft.lines, []] };

/** One more point of the last line. */
export function linePointAdded(draft: PhotoDraft, pixel: PhotoPixel): PhotoDraft {
  const lines = draft.lines.length === 0 ? [[]] : draft.lines;
  return { ...draft, lines: [...lines.slice(0, -1), [...lines.at(-1)!, pixel]] };
}

/** The last point of the last line elsewhere; its first one where it has none. */
export function linePointMoved(draft: PhotoDraft, pixel: PhotoPixel): PhotoDraft {
  const line = draft.lines.at(-1) ?? [];
  return { ...draft, lines: [...draft.lines.slice(0, -1), [...line.slice(0, -1), pixel]] };
}

export const lineRemoved = (draft: PhotoDraft, index: number): PhotoDraft => ({
  ...draft,
  lines: draft.lines.filter((_, at) => at !== index),
});
