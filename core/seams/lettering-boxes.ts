import { z } from 'zod';
import { type Rect, rectFromEdges, rectIntersection } from '../measure/rect.ts';
import { listSchema, mmSchema, rectSchema } from '../measure/schemas.ts';
import { MM_PER_INCH } from '../measure/units.ts';
import { assertRaster, rasterGray, rasterPlanes, type SideRaster } from './raster.ts';
import { type Shape, type ShapeLimits, stableShapes } from './stable-shapes.ts';
import { uprightStrokes } from './upright-strokes.ts';

/** An area that looks like a line of lettering or a logo; a proposal, for a person to accept, move or drop. */
export const LetteringBox = z.strictObject({
  rect: rectSchema<'finished'>(),
  /** From 0 to 1: how much it looks like lettering. Not a probability. */
  confidence: z.number(),
  /** Shapes in it, mostly letters. */
  shapes: z.number().int(),
  /** Shapes that stand close together, as the letters of a word do. */
  words: listSchema(rectSchema<'finished'>()),
  /** Height of its tall letters. */
  capHeightMm: mmSchema,
  /** Upright strokes of its letters. */
  strokes: listSchema(rectSchema<'finished'>()),
});
export type LetteringBox = z.infer<typeof LetteringBox>;

/** Letters are recognized from this many pixels up. */
const SMALLEST_LETTER_PX = 7;

/** Rows of fewer shapes than this are left out: two alike shapes side by side are everywhere. */
const FEWEST_SHAPES = 3;
/** Boxes below this are not offered. */
const LEAST_CONFIDENCE = 0.3;

/**
 * Finds lettering in a rendering, whether it was live text, outlines or pixels: rows of shapes that are small, sharp,
 * made of strokes, alike in height and aligned. `tick` is called as the work goes on, and may throw to end it.
 */
export function letteringBoxes(raster: SideRaster, tick: () => void = () => {}): LetteringBox[] {
  assertRaster(raster);
  const { width, height, ppi } = raster;
  const limits: ShapeLimits = {
    minHeight: SMALLEST_LETTER_PX,
    maxHeight: Math.max(SMALLEST_LETTER_PX, Math.round(height * 0.6)),
    maxWidth: Math.round(width * 0.6),
  };
  // Gray finds nearly all; red and blue find letters that differ from their ground in hue alone. Green is nearly gray.
  const [red, , blue] = rasterPlanes(raster);
  const planes = red && blue ? [rasterGray(raster), red, blue] : [rasterGray(raster)];
  const rows = planes.flatMap((plane) => {
    const letters = stableShapes(plane, width, height, limits, tick).filter(isStroked);
    return straightRows(letters).flatMap((row): Box[] => {
      const confidence = rowConfidence(row);
      if (confidence < LEAST_CONFIDENCE) return [];
      const bounds = boundsOf(row);
      const words = wordsOf(row);
      const strokes = uprightStrokes({ plane, width }, row);
      return [{ bounds, confidence, shapes: row.length, words, strokes, capHeight: tallHeight(row) }];
    });
  });
  const mm = MM_PER_INCH / ppi;
  const finished = ({ x, y, width: across, height: down }: Rect): Rect<'finished'> => ({
    x: x * mm,
    y: y * mm,
    width: across * mm,
    height: down * mm,
  });
  return mergedBoxes(rows)
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

/** Letters of a word stand closer than this share of the height of the row; words stand farther apart. */
const WORD_GAP = 0.34;

function wordsOf(row: readonly Shape[]): Rect[] {
  const gap = WORD_GAP * tallHeight(row);
  const words: Shape[][] = [];
  let right = Number.NEGATIVE_INFINITY;
  for (const shape of row.toSorted((a, b) => a.left - b.left)) {
    if (shape.left - right > gap) words.push([]);
    words.at(-1)!.push(shape);
    right = Math.max(right, shape.right);
  }
  return words.map(boundsOf);
}

/** What most of the tall letters reach: a single tall shape among them, a bracket or a mark, does not count. */
const tallHeight = (row: readonly Shape[]): number => {
  const heights = row.map(({ top, bottom }) => bottom - top).sort((a, b) => a - b);
  return heights[Math.floor(0.8 * (heights.length - 1))] ?? 0;
};

/**
 * Whether a shape may be a letter: drawn with strokes, neither hair nor blot. Stroke width is read as twice area over
 * outline, which is exact for a long bar.
 */
function isStroked(shape: Shape): boolean {
  const [w, h] = [shape.right - shape.left, shape.bottom - shape.top];
  const stroke = (2 * shape.area) / shape.outline;
  const fill = shape.area / (w * h);
  return w / h > 0.06 && w / h < 8 && fill > 0.1 && stroke / h > 0.02 && stroke / h < 0.36;
}

/**
 * Rows: shapes joined wherever two are alike in height and shade, level with each other and no farther apart than
 * letters and words are.
 */
function shapeRows(shapes: readonly Shape[], isJoined: (a: Shape, b: Shape) => boolean): Shape[][] {
  const byLeft = shapes.toSorted((a, b) => a.left - b.left || a.top - b.top);
  const row = byLeft.map((_, i) => i);
  const find = (i: number): number => {
    let root = i;
    while (row[root] !== root) root = row[root]!;
    while (row[i] !== root) [row[i], i] = [root, row[i]!];
    return root;
  };
  const tallest = byLeft.reduce((most, s) => Math.max(most, s.bottom - s.top), 0);
  for (const [i, a] of byLeft.entries()) {
    for (let j = i + 1; j < byLeft.length; j++) {
      const b = byLeft[j]!;
      if (b.left - a.right > 2 * tallest) break;
      if (isJoined(a, b)) row[find(j)] = find(i);
    }
  }
  const rows = new Map<number, Shape[]>();
  for (const [i, shape] of byLeft.entries()) {
    const root = find(i);
    rows.set(root, [...(rows.get(root) ?? []), shape]);
  }
  return [...rows.values()].filter(({ length }) => length >= FEWEST_SHAPES);
}

/** Rows that climb, as text set close does where a tall letter reaches into the next line, are taken apart again. */
const straightRows = (letters: readonly Shape[]): Shape[][] =>
  shapeRows(letters, isSameRow).flatMap((row) =>
    boundsOf(row).height > MOST_CLIMB * tallHeight(row) ? shapeRows(row, isSameRowStrictly) : [row],
  );

const isSameRowStrictly = (a: Shape, b: Shape): boolean => {
  const level = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
  return isSameRow(a, b) && level >= 0.6 * Math.max(a.bottom - a.top, b.bottom - b.top);
};

function isSameRow(a: Shape, b: Shape): boolean {
  const [ha, hb] = [a.bottom - a.top, b.bottom - b.top];
  const [small, tall] = [Math.min(ha, hb), Math.max(ha, hb)];
  const level = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
  const gap = Math.max(a.left, b.left) - Math.min(a.right, b.right);
  return a.isDark === b.isDark && tall <= 2.2 * small && level >= 0.6 * small && gap <= 1.1 * tall;
}

/**
 * How much a row looks like lettering: enough shapes, standing out, on common lines above and below, and not all the
 * same, as a row of rivets or windows is.
 */
function rowConfidence(row: readonly Shape[]): number {
  const heights = row.map((s) => s.bottom - s.top);
  const height = median(heights);
  const aligned =
    row.filter((s) => {
      const [top, bottom] = [median(row.map((o) => o.top)), median(row.map((o) => o.bottom))];
      return Math.min(Math.abs(s.top - top), Math.abs(s.bottom - bottom)) <= 1 + 0.12 * height;
    }).length / row.length;
  const contrast = Math.min(1, median(row.map((s) => s.contrast)) / 128);
  const enough = Math.min(1, row.length / 5);
  const strokes = row.map((s) => (2 * s.area) / s.outline);
  const evenStrokes = 1 - Math.min(1, spread(strokes));
  const unlike = Math.min(
    1,
    (spread(row.map((s) => s.right - s.left)) + spread(row.map((s) => s.area))) / 0.16,
  );
  return (
    enough *
    aligned *
    (0.4 + 0.6 * contrast) *
    (0.3 + 0.7 * evenStrokes) *
    (0.25 + 0.75 * unlike) *
    branchedShare(row) *
    beside(row)
  );
}

/** An outline this much longer than that of the box around it has bays or holes, as most letters have. */
const BRANCHED_OUTLINE = 1.12;
/** Of the letters of any words, at least this share. */
const LEAST_BRANCHED = 0.6;

/** Diamonds, discs and bars are no letters, however well they are aligned; among letters there are a few of the kind. */
function branchedShare(row: readonly Shape[]): number {
  const branched = row.filter(
    ({ outline, left, right, top, bottom }) => outline > BRANCHED_OUTLINE * 2 * (right - left + bottom - top),
  );
  return Math.min(1, 0.2 + (0.8 * branched.length) / (LEAST_BRANCHED * row.length));
}

/** A row that climbs higher than this, in heights of its letters, is a pattern. */
const MOST_CLIMB = 3;

/** Letters stand beside each other: 1 where none covers another's width, less where shapes lie over each other. */
function beside(row: readonly Shape[]): number {
  const bounds = boundsOf(row);
  if (bounds.height > MOST_CLIMB * tallHeight(row)) return 0;
  const wide = row.reduce((sum, { left, right }) => sum + right - left, 0);
  let covered = 0;
  let right = Number.NEGATIVE_INFINITY;
  for (const shape of row.toSorted((a, b) => a.left - b.left)) {
    covered += Math.max(0, shape.right - Math.max(right, shape.left));
    right = Math.max(right, shape.right);
  }
  return Math.min(1, (1.2 * covered) / wide) ** 2;
}

interface Box {
  readonly bounds: Rect;
  readonly confidence: number;
  readonly shapes: number;
  readonly words: readonly Rect[];
  readonly strokes: readonly Rect[];
  readonly capHeight: number;
}

/** Boxes that mostly cover each other are one: the same row seen in another plane, or the holes of its letters. */
function mergedBoxes(boxes: readonly Box[]): Box[] {
  const kept: Box[] = [];
  for (const box of boxes.toSorted((a, b) => area(b.bounds) - area(a.bounds))) {
    const index = kept.findIndex(({ bounds }) => {
      const shared = rectIntersection(bounds, box.bounds);
      return shared !== undefined && area(shared) > 0.5 * area(box.bounds);
    });
    if (index < 0) kept.push(box);
    else {
      const into = kept[index]!;
      kept[index] = {
        // The row with more letters knows best where the words are.
        ...(box.shapes > into.shapes ? box : into),
        bounds: union(into.bounds, box.bounds),
        confidence: Math.max(into.confidence, box.confidence),
        shapes: Math.max(into.shapes, box.shapes),
      };
    }
  }
  return kept;
}

const area = ({ width, height }: Rect): number => width * height;

const union = (a: Rect, b: Rect): Rect =>
  rectFromEdges(
    Math.min(a.x, b.x),
    Math.min(a.y, b.y),
    Math.max(a.x + a.width, b.x + b.width),
    Math.max(a.y + a.height, b.y + b.height),
  );

const boundsOf = (row: readonly Shape[]): Rect =>
  rectFromEdges(
    Math.min(...row.map((s) => s.left)),
    Math.min(...row.map((s) => s.top)),
    Math.max(...row.map((s) => s.right)),
    Math.max(...row.map((s) => s.bottom)),
  );

function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? 0;
}

/** Mean distance from the median, as a share of it. */
function spread(values: readonly number[]): number {
  const middle = median(values);
  if (middle === 0) return 0;
  return values.reduce((sum, value) => sum + Math.abs(value - middle), 0) / values.length / middle;
}
