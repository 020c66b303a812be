import { z } from 'zod';
import { itemAt, lastOf } from '../measure/present.ts';
import { type Rect, rectFromEdges, rectIntersection } from '../measure/rect.ts';
import { listSchema, mmSchema, rectSchema } from '../measure/schemas.ts';
import { MM_PER_INCH } from '../measure/units.ts';
import { isDiagonal, type Letter, SMALLEST_LETTER_PX, tallHeight } from './letter-rows.ts';
import { DOUBTED_SHARE, type LikelyRow, likelyRows } from './likely-rows.ts';
import { assertRaster, rasterShades, type SideRaster } from './raster.ts';
import { type Extent, type ShapeLimits, stableShapes } from './stable-shapes.ts';
import { strokeForms } from './stroke-form.ts';
import { type Plane, uprightStrokes } from './upright-strokes.ts';

/** An area that looks like a line of lettering or a logo: a proposal that the operator accepts, moves or removes. */
export const LetteringBox = z.strictObject({
  rect: rectSchema<'finished'>(),
  /** Likeness to lettering, from 0 to 1. Not a probability. */
  confidence: z.number(),
  /** Number of shapes in it, mostly letters. */
  shapes: z.number().int(),
  /** Groups of shapes as close together as the letters of a word. */
  words: listSchema(rectSchema<'finished'>()),
  /** Height of its tall letters. */
  capHeightMm: mmSchema,
  /** Vertical strokes of its letters. */
  strokes: listSchema(rectSchema<'finished'>()),
});
export type LetteringBox = z.infer<typeof LetteringBox>;

/**
 * Finds lettering in a rendering, whether it was live text, outlines or pixels: rows of shapes that are small, sharp,
 * made of strokes, alike in height and aligned, in any direction. Skips the areas in `known`, in pixels. `tick` is
 * called during the work and may throw to end it.
 */
export function letteringBoxes(
  raster: SideRaster,
  tick: () => void = () => {},
  known: readonly Rect[] = [],
): LetteringBox[] {
  assertRaster(raster);
  const { width, height, ppi } = raster;
  const isKnown = insideOf(known, raster);
  const limits: ShapeLimits = {
    least: SMALLEST_LETTER_PX,
    maxHeight: Math.max(SMALLEST_LETTER_PX, Math.round(height * 0.6)),
    maxWidth: Math.max(SMALLEST_LETTER_PX, Math.round(width * 0.6)),
  };
  const clear: Box[] = [];
  const faint: Box[] = [];
  for (const plane of rasterShades(raster)) {
    const shapes = stableShapes(plane, width, height, limits, tick).filter((shape) => !isKnown(shape));
    const rows = likelyRows(shapes, strokeForms({ plane, width }));
    clear.push(...rows.clear.map((row) => boxFromRow(row, { plane, width })));
    faint.push(...rows.faint.map((row) => boxFromRow(row, { plane, width })));
  }
  const boxes = mergedBoxes(clear);
  const apart = mergedBoxes(faint).filter(
    ({ bounds }) => !boxes.some((box) => rectIntersection(box.bounds, bounds)),
  );
  const mm = MM_PER_INCH / ppi;
  const finished = ({ x, y, width: across, height: down }: Rect): Rect<'finished'> => ({
    x: x * mm,
    y: y * mm,
    width: across * mm,
    height: down * mm,
  });
  return [...crossedDoubted(boxes), ...apart]
    .map(({ bounds, confidence, shapes, words, strokes, capHeight }) => ({
      rect: finished(bounds),
      confidence,
      shapes,
      words: words.map(finished),
      capHeightMm: capHeight * mm,
      strokes: strokes.map(finished),
    }))
    .sort((a, b) => b.confidence - a.confidence || a.rect.y - b.rect.y || a.rect.x - b.rect.x);
}

/** Whether a shape is inside any of the rectangles, tested at its center and four places around it. */
function insideOf(rects: readonly Rect[], { width, height }: SideRaster): (shape: Extent) => boolean {
  if (rects.length === 0) return () => false;
  const inside = new Uint8Array(width * height);
  for (const rect of rects) {
    const [from, to] = [Math.max(0, Math.floor(rect.x)), Math.min(width, Math.ceil(rect.x + rect.width))];
    const bottom = Math.min(height, Math.ceil(rect.y + rect.height));
    for (let y = Math.max(0, Math.floor(rect.y)); y < bottom && from < to; y++) {
      inside.fill(1, y * width + from, y * width + to);
    }
  }
  const isInside = (x: number, y: number) => inside[Math.floor(y) * width + Math.floor(x)] === 1;
  return ({ left, top, right, bottom }) => {
    const [near, far] = [left + (right - left) / 4, right - (right - left) / 4];
    const [high, low] = [top + (bottom - top) / 4, bottom - (bottom - top) / 4];
    const isMiddle = isInside((left + right) / 2, (top + bottom) / 2);
    return (
      isMiddle && isInside(near, high) && isInside(far, high) && isInside(near, low) && isInside(far, low)
    );
  };
}

function boxFromRow({ row, confidence }: LikelyRow, of: Plane): Box {
  const { letters } = row;
  const shapes = letters.map(({ shape }) => shape);
  return {
    bounds: boundsOf(shapes),
    confidence,
    shapes: shapes.length,
    words: wordsOf(letters),
    strokes: isDiagonal(row) ? [] : uprightStrokes(of, shapes),
    capHeight: tallHeight(letters),
  };
}

/** Letters of a word are closer than this share of the row height; words are farther apart. */
const WORD_GAP = 0.34;

function wordsOf(row: readonly Letter[]): Rect[] {
  const gap = WORD_GAP * tallHeight(row);
  const words: Letter[][] = [];
  let right = Number.NEGATIVE_INFINITY;
  for (const letter of row) {
    if (letter.left - right > gap) words.push([]);
    lastOf(words).push(letter);
    right = Math.max(right, letter.right);
  }
  return words.map((word) => boundsOf(word.map(({ shape }) => shape)));
}

interface Box {
  readonly bounds: Rect;
  readonly confidence: number;
  readonly shapes: number;
  readonly words: readonly Rect[];
  readonly strokes: readonly Rect[];
  readonly capHeight: number;
}

/** Boxes that mostly cover each other are one: the same row in another plane, or the holes of its letters. */
function mergedBoxes(boxes: readonly Box[]): Box[] {
  const kept: Box[] = [];
  for (const box of boxes.toSorted((a, b) => area(b.bounds) - area(a.bounds))) {
    const index = kept.findIndex(({ bounds }) => {
      const shared = rectIntersection(bounds, box.bounds);
      return shared !== undefined && area(shared) > 0.5 * area(box.bounds);
    });
    if (index < 0) kept.push(box);
    else {
      const into = itemAt(kept, index);
      kept[index] = {
        // The row with more letters gives the better word boundaries.
        ...(box.shapes > into.shapes ? box : into),
        bounds: union(into.bounds, box.bounds),
        confidence: Math.max(into.confidence, box.confidence),
        shapes: Math.max(into.shapes, box.shapes),
      };
    }
  }
  return kept;
}

/** Lines of lettering do not cross each other; rows found in a pattern do. */
const crossedDoubted = (boxes: readonly Box[]): Box[] =>
  boxes.map((box) => {
    const isCrossed = boxes.some((other) => {
      const shared = other === box ? undefined : rectIntersection(box.bounds, other.bounds);
      return (
        shared !== undefined && area(shared) > MOST_CROSSED * Math.min(area(box.bounds), area(other.bounds))
      );
    });
    return isCrossed ? { ...box, confidence: box.confidence * DOUBTED_SHARE } : box;
  });

const MOST_CROSSED = 0.25;

const area = ({ width, height }: Rect): number => width * height;

const union = (a: Rect, b: Rect): Rect =>
  rectFromEdges(
    Math.min(a.x, b.x),
    Math.min(a.y, b.y),
    Math.max(a.x + a.width, b.x + b.width),
    Math.max(a.y + a.height, b.y + b.height),
  );

const boundsOf = (extents: readonly Extent[]): Rect => {
  const bounds = extents.reduce((all, each) => ({
    left: Math.min(all.left, each.left),
    top: Math.min(all.top, each.top),
    right: Math.max(all.right, each.right),
    bottom: Math.max(all.bottom, each.bottom),
  }));
  return rectFromEdges(bounds.left, bounds.top, bounds.right, bounds.bottom);
};
