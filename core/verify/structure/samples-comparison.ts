/**
 * Checks that the pictures of panels have exactly the samples of the artwork: one pass over a picture of the artwork
 * for all the panels that show a part of it.
 */
import type { PDFStream } from 'pdf-lib';
import type { PdfFile } from '../../pdf/file/pdf-file.ts';
import { isPdfProblem } from '../../pdf/file/pdf-problem.ts';
import { ImageFault } from '../../pdf/images/image-problem.ts';
import type { SamplesClaimed, SampleWindow } from './image-match.ts';
import { type SampleCodecs, type SampleRows, sampleRows } from './sample-rows.ts';

export interface ClaimOfPanel extends SamplesClaimed {
  readonly file: PdfFile;
}

export type SamplesVerdict =
  | { readonly kind: 'same' }
  /** At a row and column of the artwork's picture. */
  | { readonly kind: 'different'; readonly x: number; readonly y: number }
  /** The coding is not read here, or the data end early in both. */
  | { readonly kind: 'unknown' };

export interface SampleTools {
  readonly codecs: SampleCodecs;
  /** Whether bytes of equal length are equal; a host compares many at a time. */
  areEqual(a: Uint8Array, b: Uint8Array): boolean;
  /** Called and awaited every few rows; it may throw to stop. */
  pause(): Promise<void> | void;
}

/** Results in the order of the claims, which must all be for one picture of `source`. */
export async function samplesCompared(
  source: PdfFile,
  claims: readonly ClaimOfPanel[],
  { codecs, areEqual, pause }: SampleTools,
): Promise<SamplesVerdict[]> {
  const verdicts: SamplesVerdict[] = claims.map(() => ({ kind: 'unknown' }));
  const original = await sampleRows(source, claims[0]!.source, codecs);
  const compared: Comparison[] = [];
  for (const [index, claim] of claims.entries()) {
    if (await isSamePacked(source, claim, areEqual, pause)) verdicts[index] = { kind: 'same' };
    else if (original) {
      const rows = await sampleRows(claim.file, claim.panel, codecs);
      const isComparable = rows && rows.kind === original.kind && rows.bitsPerPixel === original.bitsPerPixel;
      if (isComparable) compared.push(new Comparison(index, windowOfValues(claim.window, original), rows));
    }
  }
  if (!original || compared.length === 0) return verdicts;
  await compareRows(original, compared, areEqual, pause);
  for (const { index, verdict } of compared) verdicts[index] = verdict;
  return verdicts;
}

/** A picture that is copied whole usually keeps its packed bytes. */
export async function isSamePacked(
  source: PdfFile,
  claim: Pick<ClaimOfPanel, 'file' | 'panel' | 'source'>,
  areEqual: SampleTools['areEqual'],
  pause: SampleTools['pause'],
): Promise<boolean> {
  const [ours, theirs] = [claim.file, source] as const;
  const names = async (file: PdfFile, stream: PDFStream) =>
    (await file.streamFilters(stream)).map(({ name }) => name).join();
  if ((await names(ours, claim.panel)) !== (await names(theirs, claim.source))) return false;
  const [a, b] = [ours.streamChunks(claim.panel), theirs.streamChunks(claim.source)];
  let [left, right] = [new Uint8Array(), new Uint8Array()];
  try {
    for (;;) {
      if (left.length === 0) left = (await a.next()).value ?? left;
      if (right.length === 0) right = (await b.next()).value ?? right;
      const length = Math.min(left.length, right.length);
      if (length === 0) return left.length === right.length;
      if (!areEqual(left.subarray(0, length), right.subarray(0, length))) return false;
      left = left.subarray(length);
      right = right.subarray(length);
      await pause();
    }
  } finally {
    await a.return(undefined);
    await b.return(undefined);
  }
}

const windowOfValues = (
  { x, y, width, height }: SampleWindow,
  { samplesPerValue: n }: SampleRows,
): SampleWindow => ({
  x: Math.floor(x / n),
  y: Math.floor(y / n),
  width: Math.ceil(width / n),
  height: Math.ceil(height / n),
});

class Comparison {
  readonly index: number;
  readonly window: SampleWindow;
  readonly rows: AsyncGenerator<Uint8Array>;
  verdict: SamplesVerdict = { kind: 'same' };
  isDone = false;

  constructor(index: number, window: SampleWindow, rows: SampleRows) {
    this.index = index;
    this.window = window;
    this.rows = rows.rows();
  }

  get bottom(): number {
    return this.window.y + this.window.height;
  }
}

const PAUSE_ROWS = 16;

async function compareRows(
  original: SampleRows,
  compared: readonly Comparison[],
  areEqual: SampleTools['areEqual'],
  pause: SampleTools['pause'],
): Promise<void> {
  const bottom = Math.max(...compared.map((comparison) => comparison.bottom));
  const rows = original.rows();
  let y = 0;
  try {
    for await (const row of readable(rows)) {
      for (const comparison of compared) {
        if (!comparison.isDone && y >= comparison.window.y)
          await compareRow(comparison, original, row, y, areEqual);
      }
      if (++y >= bottom || compared.every(({ isDone }) => isDone)) return;
      if (y % PAUSE_ROWS === 0) await pause();
    }
    // Rows after the end of the data count as unknown, because readers show different things there.
    for (const comparison of compared) if (!comparison.isDone) comparison.verdict = { kind: 'unknown' };
  } finally {
    await rows.return(undefined);
    for (const comparison of compared) await comparison.rows.return(undefined);
  }
}

/** The rows before any damage. */
async function* readable(rows: AsyncGenerator<Uint8Array>): AsyncGenerator<Uint8Array> {
  try {
    yield* rows;
  } catch (error) {
    if (!(isPdfProblem(error) || error instanceof ImageFault)) throw error;
  }
}

async function compareRow(
  comparison: Comparison,
  { bitsPerPixel, kind }: SampleRows,
  row: Uint8Array,
  y: number,
  areEqual: SampleTools['areEqual'],
): Promise<void> {
  const { window } = comparison;
  let ours: Uint8Array | undefined;
  try {
    ours = (await comparison.rows.next()).value as Uint8Array | undefined;
  } catch (error) {
    if (!(isPdfProblem(error) || error instanceof ImageFault)) throw error;
  }
  const bits = kind === 'jpeg' && ours ? Math.floor(ours.length / window.width) * 8 : bitsPerPixel;
  const at = ours ? differentBit(row, window.x * bits, ours, window.width * bits, areEqual) : 0;
  if (at !== undefined) {
    comparison.isDone = true;
    comparison.verdict = { kind: 'different', x: window.x + Math.floor(at / Math.max(1, bits)), y };
    return;
  }
  comparison.isDone = y + 1 === comparison.bottom;
}

/** The first bit of `ours` that differs from `row`, counted from bit `from` of it. */
function differentBit(
  row: Uint8Array,
  from: number,
  ours: Uint8Array,
  count: number,
  areEqual: SampleTools['areEqual'],
): number | undefined {
  const shift = from % 8;
  const start = (from - shift) / 8;
  const whole = Math.floor(count / 8);
  if (ours.length < Math.ceil(count / 8) || row.length < Math.ceil((from + count) / 8)) return 0;
  if (shift === 0 && !areEqual(row.subarray(start, start + whole), ours.subarray(0, whole))) {
    for (let i = 0; i < whole; i++) if (row[start + i] !== ours[i]) return i * 8;
  } else if (shift > 0) {
    for (let i = 0; i < whole; i++) {
      const byte = ((row[start + i]! << shift) | (row[start + i + 1]! >> (8 - shift))) & 255;
      if (byte !== ours[i]) return i * 8;
    }
  }
  for (let bit = whole * 8; bit < count; bit++) {
    const at = from + bit;
    const theirs = (row[at >> 3]! >> (7 - (at & 7))) & 1;
    if (theirs !== ((ours[bit >> 3]! >> (7 - (bit & 7))) & 1)) return bit;
  }
  return undefined;
}
