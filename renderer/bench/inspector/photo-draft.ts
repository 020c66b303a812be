/** A photo while it is being placed: points may be half complete. Pure: no DOM. */

import { lastOf } from '../../../core/measure/present.ts';
import type { Point, Rect } from '../../../core/measure/rect.ts';
import type { PhotoLength, PhotoPoint, PhotoRectangle, SidePhoto } from '../../../core/vehicle/side-photo.ts';

export interface PhotoPixel {
  readonly xPx: number;
  readonly yPx: number;
}

export interface DraftPoint {
  readonly photo?: PhotoPixel;
  /** In finished mm. */
  readonly side?: Point<'finished'>;
}

export interface RectangleDraft extends Partial<Pick<PhotoRectangle, 'widthMm' | 'heightMm'>> {
  /** Clockwise from the upper left one. */
  readonly corners: readonly (PhotoPixel | undefined)[];
  readonly cornerInHand: number;
  /** Where its upper left corner is on the side. */
  readonly at?: Point<'finished'>;
}

export type LengthDraft = Partial<PhotoLength>;

export interface PhotoDraft {
  readonly points: readonly DraftPoint[];
  readonly lines: readonly (readonly PhotoPixel[])[];
  readonly rectangle?: RectangleDraft;
  readonly lengths: readonly LengthDraft[];
  readonly isSquareOn: boolean;
  /** Index of the current point: a click on either picture places it. One past the last: the next one. */
  readonly inHand: number;
}

export const draftFromPhoto = (photo: SidePhoto): PhotoDraft => ({
  ...draftFromPoints(photo.points, photo.isSquareOn),
  lines: photo.straightLines,
  ...(photo.rectangle && { rectangle: rectangleDraft(photo.rectangle) }),
  lengths: photo.lengths ?? [],
});

export const draftFromPoints = (points: readonly PhotoPoint[], isSquareOn: boolean): PhotoDraft => ({
  points: points.map(({ xPx, yPx, xMm, yMm }) => ({ photo: { xPx, yPx }, side: { x: xMm, y: yMm } })),
  lines: [],
  lengths: [],
  isSquareOn,
  inHand: points.length,
});

const rectangleDraft = ({ at, ...rectangle }: PhotoRectangle): RectangleDraft => ({
  ...rectangle,
  cornerInHand: 0,
  ...(at && { at: { x: at.xMm, y: at.yMm } }),
});

const isWhole = (point: DraftPoint): point is Required<DraftPoint> =>
  point.photo !== undefined && point.side !== undefined;

const toHundredth = (value: number): number => Math.round(value * 100) / 100;

const pixelRounded = ({ xPx, yPx }: PhotoPixel): PhotoPixel => ({
  xPx: toHundredth(xPx),
  yPx: toHundredth(yPx),
});

/** The photo with its complete points, rectangle and lengths, and lines with enough points. */
export function photoFromDraft(photo: SidePhoto, draft: PhotoDraft): SidePhoto {
  const { rectangle: _, lengths: __, ...rest } = photo;
  const rectangle = draft.rectangle && rectangleWhole(draft.rectangle);
  const lengths = draft.lengths.flatMap(({ from, to, ...more }): PhotoLength[] =>
    from && to ? [{ ...more, from: pixelRounded(from), to: pixelRounded(to) }] : [],
  );
  return {
    ...rest,
    points: draft.points.filter(isWhole).map(
      (point): PhotoPoint => ({
        ...pixelRounded(point.photo),
        xMm: toHundredth(point.side.x),
        yMm: toHundredth(point.side.y),
      }),
    ),
    straightLines: draft.lines.filter((line) => line.length >= 3).map((line) => line.map(pixelRounded)),
    ...(rectangle && { rectangle }),
    ...(lengths.length > 0 && { lengths }),
    isSquareOn: draft.isSquareOn,
  };
}

function rectangleWhole({ corners, widthMm, heightMm, at }: RectangleDraft): PhotoRectangle | undefined {
  const marked = corners.flatMap((corner) => (corner ? [pixelRounded(corner)] : []));
  if (marked.length < 4 || widthMm === undefined || heightMm === undefined) return undefined;
  return {
    widthMm,
    heightMm,
    corners: marked,
    ...(at && { at: { xMm: toHundredth(at.x), yMm: toHundredth(at.y) } }),
  };
}

/** The residual of each point of the draft; incomplete points have none. */
export function residualsOfDraft(
  { points }: PhotoDraft,
  residualsMm: readonly number[],
): readonly (number | undefined)[] {
  let next = 0;
  return points.map((point) => (isWhole(point) ? residualsMm[next++] : undefined));
}

/** Places half of the current point. When it is complete, the next incomplete one becomes current. */
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

/** Adds a point to the last line. */
export function linePointAdded(draft: PhotoDraft, pixel: PhotoPixel): PhotoDraft {
  const lines = draft.lines.length === 0 ? [[]] : draft.lines;
  return { ...draft, lines: [...lines.slice(0, -1), [...lastOf(lines), pixel]] };
}

/** Moves the last point of the last line; adds its first point where it has none. */
export function linePointMoved(draft: PhotoDraft, pixel: PhotoPixel): PhotoDraft {
  const line = draft.lines.at(-1) ?? [];
  return { ...draft, lines: [...draft.lines.slice(0, -1), [...line.slice(0, -1), pixel]] };
}

export const lineRemoved = (draft: PhotoDraft, index: number): PhotoDraft => ({
  ...draft,
  lines: draft.lines.filter((_, at) => at !== index),
});

const RECTANGLE_NEW: RectangleDraft = {
  corners: [undefined, undefined, undefined, undefined],
  cornerInHand: 0,
};

export const rectangleChanged = (draft: PhotoDraft, change: Partial<RectangleDraft>): PhotoDraft => ({
  ...draft,
  rectangle: { ...(draft.rectangle ?? RECTANGLE_NEW), ...change },
});

export function rectangleRemoved({ rectangle: _, ...draft }: PhotoDraft): PhotoDraft {
  return draft;
}

/** Places the current corner; if it had no place, the next one without a place becomes current. */
export function cornerPlaced(draft: PhotoDraft, pixel: PhotoPixel): PhotoDraft {
  const { corners, cornerInHand } = draft.rectangle ?? RECTANGLE_NEW;
  const placed = corners.with(cornerInHand, pixel);
  const lacking = placed.indexOf(undefined);
  const goesOn = corners[cornerInHand] === undefined && lacking >= 0;
  return rectangleChanged(draft, { corners: placed, cornerInHand: goesOn ? lacking : cornerInHand });
}

/** Adds an end: the second of the last length, or the first of a new one. */
export function lengthEndAdded(draft: PhotoDraft, pixel: PhotoPixel): PhotoDraft {
  const last = draft.lengths.at(-1);
  return last?.from && !last.to
    ? lengthChanged(draft, draft.lengths.length - 1, { to: pixel })
    : { ...draft, lengths: [...draft.lengths, { from: pixel }] };
}

/** Moves the last end; adds a first one where there is none. */
export function lengthEndMoved(draft: PhotoDraft, pixel: PhotoPixel): PhotoDraft {
  const last = draft.lengths.at(-1);
  if (!last) return lengthEndAdded(draft, pixel);
  return lengthChanged(draft, draft.lengths.length - 1, last.to ? { to: pixel } : { from: pixel });
}

export const lengthChanged = (
  draft: PhotoDraft,
  index: number,
  change: { readonly [key in keyof LengthDraft]: LengthDraft[key] | undefined },
): PhotoDraft => ({
  ...draft,
  lengths: draft.lengths.map((length, at) =>
    at === index ? (withoutUndefined({ ...length, ...change }) as LengthDraft) : length,
  ),
});

export const lengthRemoved = (draft: PhotoDraft, index: number): PhotoDraft => ({
  ...draft,
  lengths: draft.lengths.filter((_, at) => at !== index),
});

const withoutUndefined = (value: object): object =>
  Object.fromEntries(Object.entries(value).filter(([, each]) => each !== undefined));
