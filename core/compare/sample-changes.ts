/**
 * Finds where the samples of a picture have changed, row by row, so that a picture of any size takes the memory of two
 * rows.
 */
import { PDFName, PDFStream } from 'pdf-lib';
import { numberOf } from '../pdf/file/dict-values.ts';
import type { PdfFile } from '../pdf/file/pdf-file.ts';
import { isPdfProblem } from '../pdf/file/pdf-problem.ts';
import { ImageFault } from '../pdf/images/image-problem.ts';
import type { SourceBox } from '../pdf/page/page-space.ts';
import { ObjectDigests } from '../verify/structure/object-digests.ts';
import { type SampleRows, sampleRows } from '../verify/structure/sample-rows.ts';
import { isSamePacked, type SampleTools } from '../verify/structure/samples-comparison.ts';

export interface PictureOfFile {
  readonly file: PdfFile;
  readonly stream: PDFStream;
}

export type SampleChanges =
  | { readonly kind: 'same' }
  /** Parts of the unit square that the picture fills, y up. */
  | { readonly kind: 'changed'; readonly parts: readonly SourceBox[] }
  /** The coding is not read here, or the samples differ by no more than a new coding causes. */
  | { readonly kind: 'unknown' };

const PARAMS = PDFName.of('DecodeParms');
const SHORT_PARAMS = PDFName.of('DP');
const WHOLE: SourceBox = { x0: 0, y0: 0, x1: 1, y1: 1 };
/** The difference, in levels of 255, that a new coding may cause; for JPEGs, between the means of blocks. */
const RECODED = { raster: 2, jpeg: 6 } as const;
/** A picture is divided into this many parts in each direction, to say where it has changed. */
const PARTS = 48;
const PAUSE_ROWS = 16;

/** Compares the picture and its masks. */
export async function sampleChanges(
  before: PictureOfFile,
  after: PictureOfFile,
  tools: SampleTools,
): Promise<SampleChanges> {
  let isUnknown = false;
  const parts: SourceBox[] = [];
  for (const key of ['', 'SMask', 'Mask']) {
    const [a, b] = [await partOf(before, key), await partOf(after, key)];
    if (!a && !b) continue;
    const found = a && b ? await ofOneStream(a, b, tools) : ({ kind: 'changed', parts: [WHOLE] } as const);
    if (found.kind === 'unknown') isUnknown = true;
    if (found.kind === 'changed') parts.push(...found.parts);
  }
  if (parts.length > 0) return { kind: 'changed', parts };
  return { kind: isUnknown ? 'unknown' : 'same' };
}

async function partOf({ file, stream }: PictureOfFile, key: string): Promise<PictureOfFile | undefined> {
  const part = key === '' ? stream : await file.entry(stream.dict, key);
  return part instanceof PDFStream ? { file, stream: part } : undefined;
}

async function ofOneStream(
  before: PictureOfFile,
  after: PictureOfFile,
  tools: SampleTools,
): Promise<SampleChanges> {
  if (await isPackedAlike(before, after, tools)) return { kind: 'same' };
  const sizes = [await sizeOf(before), await sizeOf(after)] as const;
  if (sizes[0].width !== sizes[1].width || sizes[0].height !== sizes[1].height) return { kind: 'unknown' };
  const [a, b] = [
    await sampleRows(before.file, before.stream, tools.codecs),
    await sampleRows(after.file, after.stream, tools.codecs),
  ];
  if (!a || !b || a.kind !== b.kind || a.bitsPerPixel !== b.bitsPerPixel) return { kind: 'unknown' };
  return await ofRows(a, b, sizes[0], await depthOf(before), tools);
}

async function isPackedAlike(
  before: PictureOfFile,
  after: PictureOfFile,
  { areEqual, pause }: SampleTools,
): Promise<boolean> {
  const digest = ({ file, stream }: PictureOfFile) =>
    new ObjectDigests(file).of(stream.dict.get(PARAMS) ?? stream.dict.get(SHORT_PARAMS));
  if ((await digest(before)) !== (await digest(after))) return false;
  const claim = { file: after.file, panel: after.stream, source: before.stream };
  return await isSamePacked(before.file, claim, areEqual, pause);
}

interface Size {
  readonly width: number;
  readonly height: number;
}

async function sizeOf({ file, stream }: PictureOfFile): Promise<Size> {
  const length = async (key: string) => numberOf(await file.entry(stream.dict, key)) ?? 0;
  return { width: await length('Width'), height: await length('Height') };
}

const depthOf = async ({ file, stream }: PictureOfFile): Promise<number> =>
  (await file.entry(stream.dict, 'ImageMask'))?.toString() === 'true'
    ? 1
    : (numberOf(await file.entry(stream.dict, 'BitsPerComponent')) ?? 8);

async function ofRows(
  before: SampleRows,
  after: SampleRows,
  { width, height }: Size,
  depth: number,
  { areEqual, pause }: SampleTools,
): Promise<SampleChanges> {
  const { samplesPerValue, kind } = before;
  const rowCount = Math.ceil(height / samplesPerValue);
  // With other depths a byte is several samples, or half of one, so any difference counts.
  const recoded = kind === 'jpeg' || depth === 8 ? RECODED[kind] : 0;
  const found = new ChangedParts(rowCount);
  const [rows, others] = [before.rows(), after.rows()];
  let isAlike = kind === 'raster';
  try {
    for (let y = 0; y < rowCount; y++) {
      const [row, other] = [(await rows.next()).value, (await others.next()).value] as (
        | Uint8Array
        | undefined
      )[];
      if (!row || !other) {
        isAlike = false;
        if (row || other) found.addRest(y);
        break;
      }
      if (row.length !== other.length) return { kind: 'unknown' };
      if (!areEqual(row, other)) {
        isAlike = false;
        const bits = kind === 'jpeg' ? 0 : before.bitsPerPixel * width;
        found.addRow(y, row, other, recoded, bits === 0 ? row.length : bits / 8);
      }
      if (y % PAUSE_ROWS === 0) await pause();
    }
  } catch (error) {
    if (!(isPdfProblem(error) || error instanceof ImageFault)) throw error;
    return { kind: 'unknown' };
  } finally {
    await rows.return(undefined);
    await others.return(undefined);
  }
  const parts = found.boxes();
  if (parts.length > 0) return { kind: 'changed', parts };
  // The mean of a block does not show everything in it.
  return { kind: isAlike ? 'same' : 'unknown' };
}

/** Boxes around the samples that differ, one for each part of a picture. */
class ChangedParts {
  /** For each part: first and last row, first and last place in a row, as shares of the whole. */
  readonly #boxes: (SourceBox | undefined)[] = [];
  readonly #rowCount: number;

  constructor(rowCount: number) {
    this.#rowCount = rowCount;
  }

  addRow(y: number, row: Uint8Array, other: Uint8Array, recoded: number, usedBytes: number): void {
    const first = this.#firstOfRow(y);
    let [part, from, to] = [-1, 0, 0];
    for (let i = 0; i < row.length; i++) {
      const difference = row[i]! - other[i]!;
      if (difference <= recoded && difference >= -recoded) continue;
      const at = Math.min(PARTS - 1, Math.floor((i * PARTS) / usedBytes));
      if (at !== part) {
        if (part >= 0) this.#add(first + part, y, from / usedBytes, (to + 1) / usedBytes);
        [part, from] = [at, i];
      }
      to = i;
    }
    if (part >= 0) this.#add(first + part, y, from / usedBytes, (to + 1) / usedBytes);
  }

  addRest(y: number): void {
    for (let row = y; row < this.#rowCount; row++) this.#add(this.#firstOfRow(row), row, 0, 1);
  }

  boxes(): SourceBox[] {
    return this.#boxes.filter((box) => box !== undefined);
  }

  #firstOfRow(y: number): number {
    return Math.floor((y * PARTS) / this.#rowCount) * PARTS;
  }

  #add(part: number, y: number, x0: number, x1: number): void {
    const [bottom, top] = [1 - (y + 1) / this.#rowCount, 1 - y / this.#rowCount];
    const known = this.#boxes[part];
    this.#boxes[part] = known
      ? { x0: Math.min(known.x0, x0), x1: Math.max(known.x1, x1), y0: bottom, y1: known.y1 }
      : { x0, x1: Math.min(1, x1), y0: bottom, y1: top };
  }
}
