/** Finds the rows of shapes that look like lettering, with their confidence. */
import { isDiagonal, type LetterRow, letterRows } from './letter-rows.ts';
import { rowConfidence } from './row-likeness.ts';
import { FAINT_CONTRAST, type Shape } from './stable-shapes.ts';
import type { StrokeForm } from './stroke-form.ts';

export interface LikelyRow {
  readonly row: LetterRow;
  /** Confidence from 0 to 1. */
  readonly confidence: number;
}

/** Rows below this confidence are not offered. */
const LEAST_CONFIDENCE = 0.25;
/** Minimum confidence of pairs of letters, of long slanting rows and of other common shapes; and of faint shapes. */
const PAIR_CONFIDENCE = 0.6;
const SLANTING_CONFIDENCE = 0.6;
const DOUBTED_CONFIDENCE = 0.8;
const FAINT_CONFIDENCE = 0.97;
/** Factor on the confidence of a doubtful row: too low for a warning, enough for a note. */
export const DOUBTED_SHARE = 0.65;

/** Rows of shapes that stand out, and rows of faint shapes. */
export function likelyRows(
  shapes: readonly Shape[],
  formOf: (shape: Shape) => StrokeForm,
): { readonly clear: readonly LikelyRow[]; readonly faint: readonly LikelyRow[] } {
  const clear = shapes.filter(({ contrast }) => contrast >= FAINT_CONTRAST);
  const faint = shapes.filter(({ contrast }) => contrast < FAINT_CONTRAST);
  return {
    clear: rowsApart(letterRows(clear).flatMap((row) => clearRow(row, rowConfidence(row, formOf)))),
    // More than this are the grain of a picture.
    faint:
      faint.length > MOST_FAINT
        ? []
        : rowsApart(letterRows(faint).flatMap((row) => faintRow(row, rowConfidence(row, formOf)))),
  };
}

const MOST_FAINT = 1000;
const FEWEST_FAINT = 8;

function clearRow(row: LetterRow, confidence: number): LikelyRow[] {
  if (isPlain(row)) return confidence >= LEAST_CONFIDENCE ? [{ row, confidence }] : [];
  return confidence >= leastConfidence(row) ? [{ row, confidence: confidence * DOUBTED_SHARE }] : [];
}

function leastConfidence(row: LetterRow): number {
  if (isDiagonal(row)) return row.letters.length > 3 ? SLANTING_CONFIDENCE : DOUBTED_CONFIDENCE;
  return row.direction === 'level' && row.letters.length === 2 ? PAIR_CONFIDENCE : DOUBTED_CONFIDENCE;
}

const faintRow = (row: LetterRow, confidence: number): LikelyRow[] =>
  isPlain(row) && row.letters.length >= FEWEST_FAINT && confidence >= FAINT_CONFIDENCE
    ? [{ row, confidence: confidence * DOUBTED_SHARE }]
    : [];

/** A row like most lines of lettering. One or two shapes, and slanting rows, are too common to count. */
const isPlain = (row: LetterRow): boolean =>
  !isDiagonal(row) && row.letters.length >= (row.direction === 'level' ? 3 : 4);

/** Assigns each letter to one row: letters below each other belong to their lines first. */
function rowsApart(rows: readonly LikelyRow[]): LikelyRow[] {
  const taken = new Set<Shape>();
  const kept: LikelyRow[] = [];
  for (const likely of rows.toSorted((a, b) => weightOf(b) - weightOf(a))) {
    const { letters } = likely.row;
    if (letters.filter(({ shape }) => taken.has(shape)).length > MOST_SHARED * letters.length) continue;
    for (const { shape } of letters) taken.add(shape);
    kept.push(likely);
  }
  return kept;
}

const MOST_SHARED = 0.3;
const weightOf = ({ row, confidence }: LikelyRow): number =>
  (row.direction === 'level' ? 1 : 0.8) * confidence * Math.min(row.letters.length, 6);
