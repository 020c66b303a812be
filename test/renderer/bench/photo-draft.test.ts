import { describe, expect, it } from 'vitest';
import {
  cornerPlaced,
  cornersAdded,
  draftFromPhoto,
  lengthChanged,
  lengthEndAdded,
  lengthEndMoved,
  lengthRemoved,
  lineBegun,
  linePointAdded,
  linePointMoved,
  lineRemoved,
  photoFromDraft,
  pointChanged,
  pointPlaced,
  pointRemoved,
  rectangleChanged,
  rectangleRemoved,
  residualsOfDraft,
} from '../../../renderer/bench/inspector/photo-draft.ts';

const PHOTO = {
  sha256: 'a'.repeat(64),
  fileName: 'side.jpg',
  mediaType: 'image/jpeg' as const,
  widthPx: 400,
  heightPx: 300,
  sizeBytes: 9,
  points: [{ xPx: 1, yPx: 2, xMm: 3, yMm: 4 }],
  straightLines: [],
  isSquareOn: false,
};
const draft = draftFromPhoto(PHOTO);

describe('a photo that is being placed', () => {
  it('takes a point in two halves, from either picture, and then goes on to the next', () => {
    const half = pointPlaced(draft, { photo: { xPx: 10, yPx: 20 } });
    expect(half.inHand).toBe(1);
    expect(photoFromDraft(PHOTO, half).points).toEqual(PHOTO.points);
    const whole = pointPlaced(half, { side: { x: 100, y: 200 } });
    expect(whole.inHand).toBe(2);
    expect(photoFromDraft(PHOTO, whole).points[1]).toEqual({ xPx: 10, yPx: 20, xMm: 100, yMm: 200 });
    // One that is whole stays in hand while it is moved.
    const moved = pointPlaced({ ...whole, inHand: 1 }, { photo: { xPx: 11, yPx: 20.004 } });
    expect(moved.inHand).toBe(1);
    expect(photoFromDraft(PHOTO, moved).points[1]).toMatchObject({ xPx: 11, yPx: 20 });
    expect(pointChanged(whole, 0, { side: { x: 7, y: 8 } }).points[0]!.side).toEqual({ x: 7, y: 8 });
    expect(pointRemoved(whole, 0).points).toEqual([whole.points[1]]);
  });

  it('takes the corners of a rectangle in the order in which they are clicked', () => {
    let corners = cornersAdded(draft, { x: 50, y: 60, width: 700, height: 800 });
    expect(corners.inHand).toBe(1);
    for (const [xPx, yPx] of [
      [5, 6],
      [70, 6],
      [70, 80],
      [5, 80],
    ]) {
      corners = pointPlaced(corners, { photo: { xPx: xPx!, yPx: yPx! } });
    }
    expect(photoFromDraft(PHOTO, corners).points.slice(1)).toEqual([
      { xPx: 5, yPx: 6, xMm: 50, yMm: 60 },
      { xPx: 70, yPx: 6, xMm: 750, yMm: 60 },
      { xPx: 70, yPx: 80, xMm: 750, yMm: 860 },
      { xPx: 5, yPx: 80, xMm: 50, yMm: 860 },
    ]);
  });

  it('gives residuals to the points that have both halves', () => {
    const mixed = pointPlaced(pointPlaced(draft, { photo: { xPx: 1, yPx: 1 } }), {
      photo: { xPx: 2, yPx: 2 },
    });
    const more = { ...mixed, points: [...mixed.points, draft.points[0]!] };
    expect(residualsOfDraft(more, [0.5, 1.5])).toEqual([0.5, undefined, 1.5]);
  });

  it('keeps lines of three points and more', () => {
    let lined = lineBegun(lineBegun(draft));
    for (const xPx of [1, 2, 3]) lined = linePointAdded(lined, { xPx, yPx: 5 });
    lined = linePointAdded(lineBegun(lined), { xPx: 9, yPx: 9 });
    expect(lined.lines.map((line) => line.length)).toEqual([3, 1]);
    expect(photoFromDraft(PHOTO, lined).straightLines).toHaveLength(1);
    expect(photoFromDraft(PHOTO, lineRemoved(lined, 0)).straightLines).toEqual([]);
  });

  it('moves the last point of the last line, and begins one that has none', () => {
    const begun = linePointMoved(lineBegun(draft), { xPx: 4, yPx: 5 });
    expect(begun.lines).toEqual([[{ xPx: 4, yPx: 5 }]]);
    const two = linePointAdded(begun, { xPx: 4, yPx: 5 });
    expect(linePointMoved(two, { xPx: 9, yPx: 5 }).lines).toEqual([
      [
        { xPx: 4, yPx: 5 },
        { xPx: 9, yPx: 5 },
      ],
    ]);
    expect(linePointMoved(draft, { xPx: 1, yPx: 1 }).lines).toEqual([[{ xPx: 1, yPx: 1 }]]);
  });

  it('takes the corners of a rectangle of known size, and is whole with them and its size', () => {
    let marked = draft;
    const corners = [
      { xPx: 5, yPx: 6 },
      { xPx: 70, yPx: 6.004 },
      { xPx: 70, yPx: 80 },
      { xPx: 5, yPx: 80 },
    ];
    for (const corner of corners) marked = cornerPlaced(marked, corner);
    expect(marked.rectangle!.cornerInHand).toBe(3);
    expect(photoFromDraft(PHOTO, marked).rectangle).toBeUndefined();
    const sized = rectangleChanged(marked, { widthMm: 900, heightMm: 1800 });
    const rectangle = { widthMm: 900, heightMm: 1800, corners: corners.with(1, { xPx: 70, yPx: 6 }) };
    expect(photoFromDraft(PHOTO, sized).rectangle).toEqual(rectangle);
    const moved = cornerPlaced(rectangleChanged(sized, { cornerInHand: 0, at: { x: 3, y: 4 } }), corners[2]!);
    expect(moved.rectangle!.cornerInHand).toBe(0);
    const kept = photoFromDraft(PHOTO, moved);
    expect(kept.rectangle).toMatchObject({ at: { xMm: 3, yMm: 4 }, corners: [corners[2], {}, {}, {}] });
    expect(photoFromDraft(PHOTO, draftFromPhoto(kept)).rectangle).toEqual(kept.rectangle);
    expect(photoFromDraft(kept, rectangleRemoved(moved)).rectangle).toBeUndefined();
  });

  it('takes lengths end by end, with what a tape shows and what they are of the side', () => {
    const [a, b, c] = [10, 60, 90].map((xPx) => ({ xPx, yPx: 20 }));
    const begun = lengthEndMoved(lengthEndMoved(draft, a!), b!);
    expect(begun.lengths).toEqual([{ from: b }]);
    const whole = lengthEndMoved(lengthEndAdded(begun, a!), c!);
    const told = lengthChanged(whole, 0, { mm: 800, of: 'width' });
    expect(photoFromDraft(PHOTO, told).lengths).toEqual([{ from: b, to: c, mm: 800, of: 'width' }]);
    const cleared = lengthChanged(lengthEndAdded(told, a!), 0, { mm: undefined });
    expect(photoFromDraft(PHOTO, cleared).lengths).toEqual([{ from: b, to: c, of: 'width' }]);
    expect(photoFromDraft(PHOTO, lengthRemoved(told, 0)).lengths).toBeUndefined();
  });
});
