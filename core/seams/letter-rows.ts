/** Groups shapes into rows that may be the letters of a line, in any direction. */
import type { Extent, Shape } from './stable-shapes.ts';

/** A shape with its bounds along the row and across it. */
export interface Letter extends Extent {
  readonly shape: Shape;
  /** Average number of strokes that a line along the row crosses in it. */
  readonly strokes: number;
}

export interface LetterRow {
  readonly letters: readonly Letter[];
  /** Fall of the row toward the right: height divided by length. */
  readonly slope: number;
  readonly direction: RowDirection;
}

/** Rows are searched along these four directions. Each one covers slopes up to halfway to the next. */
type RowDirection = 'level' | 'upright' | 'falling' | 'rising';

const DIRECTIONS: Readonly<
  Record<RowDirection, (shape: Shape) => { readonly extent: Extent; readonly strokes: number }>
> = {
  level: (shape) => ({ extent: shape, strokes: strokesAcross(shape) }),
  upright: (shape) => ({ extent: turned(shape), strokes: strokesDown(shape) }),
  falling: (shape) => ({ extent: shape.diagonal, strokes: (strokesAcross(shape) + strokesDown(shape)) / 2 }),
  rising: (shape) => ({
    extent: turned(shape.diagonal),
    strokes: (strokesAcross(shape) + strokesDown(shape)) / 2,
  }),
};

const strokesAcross = ({ runs, top, bottom }: Shape): number => runs / (bottom - top);
/**
 * Each run has two vertical edges. The rest of the outline is horizontal: two edges for each stroke that a column
 * crosses.
 */
const strokesDown = ({ outline, runs, left, right }: Shape): number => (outline / 2 - runs) / (right - left);

function turned({ left, top, right, bottom }: Extent): Extent {
  return { left: top, top: left, right: bottom, bottom: right };
}

export const isDiagonal = ({ direction }: LetterRow): boolean =>
  direction === 'falling' || direction === 'rising';

/** Letters are recognized from this many pixels up. */
export const SMALLEST_LETTER_PX = 7;

export function letterRows(shapes: readonly Shape[]): LetterRow[] {
  return (Object.keys(DIRECTIONS) as RowDirection[]).flatMap((direction) => {
    const letters = shapes.flatMap((shape): Letter[] => {
      const { extent, strokes } = DIRECTIONS[direction](shape);
      const { left, top, right, bottom } = extent;
      const letter = { left, top, right, bottom, shape, strokes };
      return isStroked(letter) ? [letter] : [];
    });
    return straightRows(letters)
      .map((row) => inLine(row, slopeOf(row)))
      .filter(({ letters }) => isEnough(letters))
      .map((row) => ({ ...row, direction }));
  });
}

/**
 * The height that most tall letters reach, so that a single tall shape among them (a bracket, a mark) does not count.
 */
export const tallHeight = (row: readonly Letter[]): number => {
  const heights = row.map(({ top, bottom }) => bottom - top).sort((a, b) => a - b);
  return heights[Math.floor(0.8 * (heights.length - 1))] ?? 0;
};

/** Mean width of the strokes of a shape: twice area over outline, which is exact for a long bar. */
const strokeOf = ({ area, outline }: Shape): number => (2 * area) / outline;

/** Whether a shape may be a letter: drawn in strokes, neither hairline nor blot. */
function isStroked({ left, top, right, bottom, shape }: Letter): boolean {
  const [w, h] = [right - left, bottom - top];
  const stroke = strokeOf(shape);
  const fill = shape.area / (w * h);
  return (
    h >= SMALLEST_LETTER_PX &&
    w / h > 0.06 &&
    w / h < 8 &&
    fill > 0.03 &&
    stroke / h > 0.008 &&
    stroke / h < 0.36
  );
}

/**
 * Rows: shapes joined wherever two are alike in height and shade, level with each other and no farther apart than
 * letters and words are.
 */
function joinedRows(letters: readonly Letter[], isJoined: (a: Letter, b: Letter) => boolean): Letter[][] {
  const byLeft = letters.toSorted((a, b) => a.left - b.left || a.top - b.top);
  const row = byLeft.map((_, i) => i);
  const find = (i: number): number => {
    let root = i;
    while (row[root] !== root) root = row[root]!;
    while (row[i] !== root) [row[i], i] = [root, row[i]!];
    return root;
  };
  const tallest = byLeft.reduce((most, s) => Math.max(most, s.bottom - s.top), 0);
  for (const [i, a] of byLeft.entries()) {
    const reach = a.right + Math.min(1.1 * tallest, 1.1 * 2.2 * (a.bottom - a.top));
    for (let j = i + 1; j < byLeft.length; j++) {
      const b = byLeft[j]!;
      if (b.left > reach) break;
      if (isJoined(a, b)) row[find(j)] = find(i);
    }
  }
  const rows = new Map<number, Letter[]>();
  for (const [i, letter] of byLeft.entries()) {
    const root = find(i);
    const joined = rows.get(root);
    if (joined) joined.push(letter);
    else rows.set(root, [letter]);
  }
  return [...rows.values()];
}

/** A row that climbs more than this, in letter heights, is a pattern or several closely set lines. */
const MOST_CLIMB = 3;

/** Splits rows that climb, as closely set text does where a tall letter reaches into the next line. */
const straightRows = (letters: readonly Letter[]): Letter[][] =>
  joinedRows(letters, isSameRow).flatMap((row) =>
    heightAlong(row, slopeOf(row)) > MOST_CLIMB * tallHeight(row)
      ? joinedRows(row, isSameRowStrictly)
      : [row],
  );

const isSameRowStrictly = (a: Letter, b: Letter): boolean => {
  const level = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
  return isSameRow(a, b) && level >= 0.6 * Math.max(a.bottom - a.top, b.bottom - b.top);
};

function isSameRow(a: Letter, b: Letter): boolean {
  const [ha, hb] = [a.bottom - a.top, b.bottom - b.top];
  const [small, tall] = [Math.min(ha, hb), Math.max(ha, hb)];
  const level = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
  const gap = Math.max(a.left, b.left) - Math.min(a.right, b.right);
  return (
    a.shape.isDark === b.shape.isDark && tall <= 2.2 * small && level >= 0.6 * small && gap <= 1.1 * tall
  );
}

/** Fewer letters than this can be aligned on a slope by chance. */
const FEWEST_ON_SLOPE = 4;

/** The median slope between the centers of letters that are some distance apart. */
function slopeOf(row: readonly Letter[]): number {
  if (row.length < FEWEST_ON_SLOPE) return 0;
  const step = Math.max(1, row.length >> 1);
  const slopes: number[] = [];
  for (let i = 0; i + step < row.length; i++) {
    const [a, b] = [row[i]!, row[i + step]!];
    const across = b.left + b.right - a.left - a.right;
    if (across > 0) slopes.push((b.top + b.bottom - a.top - a.bottom) / across);
  }
  const slope = median(slopes);
  return Math.abs(slope) < LEAST_SLOPE ? 0 : slope;
}

/** Descenders and capitals can make a level line appear to slope by this much. */
const LEAST_SLOPE = 0.05;

/** Height of a row perpendicular to its direction. */
function heightAlong(row: readonly Letter[], slope: number): number {
  let top = Infinity;
  let bottom = -Infinity;
  for (const letter of row) {
    const down = fallAt(letter, slope);
    if (letter.top - down < top) top = letter.top - down;
    if (letter.bottom - down > bottom) bottom = letter.bottom - down;
  }
  return bottom - top;
}

/** How far a row has fallen at a letter. */
const fallAt = ({ left, right }: Extent, slope: number): number => (slope * (left + right)) / 2;

export function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? 0;
}

/**
 * How far descenders and accents may extend above and below most of their row, relative to its height. An initial, which
 * ends within ON_LINE of the row's line, may extend farther above it.
 */
const MOST_REACH = 0.6;
const INITIAL_REACH = 1.2;
const ON_LINE = 0.4;

/** A row without shapes that are merely near it, such as a badge beside a name. */
function inLine(row: readonly Letter[], slope: number): Pick<LetterRow, 'letters' | 'slope'> {
  const tops = row.map((letter) => letter.top - fallAt(letter, slope));
  const bottoms = row.map((letter) => letter.bottom - fallAt(letter, slope));
  const [top, bottom] = [median(tops), median(bottoms)];
  const height = bottom - top;
  const letters = row.filter((_, i) => {
    const up = top - tops[i]!;
    const down = bottoms[i]! - bottom;
    const isInitial = Math.abs(down) <= ON_LINE * height && up <= INITIAL_REACH * height;
    return isInitial || Math.max(up, down) <= MOST_REACH * height + 1;
  });
  return { letters, slope };
}

/** A single letter may be any mark. Joined letters count by their width, and each has its strokes. */
const isEnough = (row: readonly Letter[]): boolean =>
  row.length > 1 ||
  row.some(({ left, top, right, bottom, strokes }) => right - left > 1.8 * (bottom - top) && strokes > 3);
