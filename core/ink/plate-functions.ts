/**
 * Tint transforms that return inks: selected outputs of a function in the file, turned into light (1 minus the ink).
 * Exact for every type of function, because only the outputs change.
 */
import { PDFArray, type PDFContext, PDFDict, PDFName, type PDFObject, PDFStream } from 'pdf-lib';
import { itemAt } from '../measure/present.ts';
import { bytesJoined } from '../pdf/file/byte-stream.ts';
import { arrayOf, dictOf, numberOf } from '../pdf/file/dict-values.ts';
import type { PdfFile } from '../pdf/file/pdf-file.ts';
import { asciiBytes } from '../pdf/page/ascii-bytes.ts';
import type { ObjectCopier } from '../pdf/write/object-copier.ts';
import { PanelStream } from '../pdf/write/panel-stream.ts';

/** One output of the new function: an output of the old one, unchanged or subtracted from 1. */
export interface OutputPick {
  /** Counted from 0; undefined: always 1, which means no ink. */
  readonly output: number | undefined;
  readonly isInverted: boolean;
}

export interface FunctionTools {
  readonly file: PdfFile;
  readonly context: PDFContext;
  readonly plain: ObjectCopier;
}

const SAMPLE_BITS = 16;
const SAMPLE_FULL = 2 ** SAMPLE_BITS - 1;
const LEFT_OUT = new Set([
  'Length',
  'Filter',
  'DecodeParms',
  'Range',
  'Decode',
  'BitsPerSample',
  'Functions',
]);

/** A function that gives no ink for all inputs: paper white in `outputs` components. */
export const functionWhite = (context: PDFContext, inputs: number, outputs: number): PDFObject =>
  functionOfInputs(
    context,
    inputs,
    Array.from({ length: outputs }, () => ({ output: undefined, isInverted: false })),
  );

/** The table of corners doubles with every input. */
const MAX_TABLE_INPUTS = 8;

/**
 * A function whose outputs are selected from its `inputs` numbers, for colors that are inks already. It is a table of
 * the corners, and readers interpolate between them; selecting is linear, so this is exact. With many inputs it is a
 * program, which is slower.
 */
export function functionOfInputs(
  context: PDFContext,
  inputs: number,
  picks: readonly OutputPick[],
): PDFObject {
  if (inputs > MAX_TABLE_INPUTS) {
    const program = asciiBytes(`{ ${picksProgram(inputs, picks)}}`);
    const dict = context.obj({
      FunctionType: 4,
      Domain: unitPairs(inputs),
      Range: unitPairs(picks.length),
    });
    return context.register(new PanelStream(dict, { kind: 'made', bytes: () => program }));
  }
  const corners = Array.from({ length: 2 ** inputs }, (_, corner) =>
    // The first input varies fastest (7.10.2).
    picks.map((pick) => 255 * picked((input) => (corner >> input) & 1, pick)),
  );
  const dict = context.obj({
    FunctionType: 0,
    Domain: unitPairs(inputs),
    Range: unitPairs(picks.length),
    Size: Array.from({ length: inputs }, () => 2),
    BitsPerSample: 8,
  });
  const samples = Uint8Array.from(corners.flat());
  return context.register(new PanelStream(dict, { kind: 'made', bytes: () => samples }));
}

/** Undefined where the function cannot be read. */
export async function functionPicked(
  tools: FunctionTools,
  object: PDFObject | undefined,
  outputs: number,
  picks: readonly OutputPick[],
): Promise<PDFObject | undefined> {
  const { file, context } = tools;
  const value = await file.resolved(object);
  const dict = dictOf(value);
  if (dict === undefined) return undefined;
  const copy = PDFDict.withContext(context);
  for (const [key, entry] of dict.entries()) {
    if (!LEFT_OUT.has(key.decodeText())) copy.set(key, await tools.plain.copy(entry));
  }
  copy.set(PDFName.of('Range'), context.obj(unitPairs(picks.length)));
  switch (numberOf(await file.entry(dict, 'FunctionType'))) {
    case 0:
      return value instanceof PDFStream ? sampled(tools, value, copy, outputs, picks) : undefined;
    case 2:
      return exponential(tools, dict, copy, picks);
    case 3:
      return stitched(tools, dict, copy, outputs, picks);
    case 4:
      return value instanceof PDFStream ? calculated(tools, value, copy, outputs, picks) : undefined;
    default:
      return undefined;
  }
}

function picked(value: (output: number) => number, { output, isInverted }: OutputPick): number {
  if (output === undefined) return 1;
  return isInverted ? 1 - value(output) : value(output);
}

/** C0 + x^N × (C1 − C0) keeps its form when it is subtracted from 1. */
async function exponential(
  { file, context }: FunctionTools,
  dict: PDFDict,
  copy: PDFDict,
  picks: readonly OutputPick[],
): Promise<PDFObject> {
  for (const [key, initial] of [
    ['C0', 0],
    ['C1', 1],
  ] as const) {
    const given = await numbersOf(file, dict, key);
    copy.set(
      PDFName.of(key),
      context.obj(picks.map((pick) => picked((output) => given?.[output] ?? initial, pick))),
    );
  }
  return context.register(copy);
}

async function stitched(
  tools: FunctionTools,
  dict: PDFDict,
  copy: PDFDict,
  outputs: number,
  picks: readonly OutputPick[],
): Promise<PDFObject | undefined> {
  const parts = PDFArray.withContext(tools.context);
  for (const part of arrayOf(await tools.file.entry(dict, 'Functions'))?.asArray() ?? []) {
    const made = await functionPicked(tools, part, outputs, picks);
    if (made === undefined) return undefined;
    parts.push(made);
  }
  copy.set(PDFName.of('Functions'), parts);
  return tools.context.register(copy);
}

async function calculated(
  { file, context }: FunctionTools,
  stream: PDFStream,
  copy: PDFDict,
  outputs: number,
  picks: readonly OutputPick[],
): Promise<PDFObject | undefined> {
  const { bytes } = await file.streamDecoded(stream);
  const end = bytes.lastIndexOf('}'.charCodeAt(0));
  if (end < 0) return undefined;
  // The old range clips before the new one selects.
  const range = (await numbersOf(file, stream.dict, 'Range')) ?? [];
  const clip = range.length >= 2 * outputs ? clipProgram(range, outputs) : '';
  const program = bytesJoined(
    [bytes.subarray(0, end), asciiBytes(`${clip}${picksProgram(outputs, picks)}}`)],
    asciiBytes(' '),
  );
  return context.register(new PanelStream(copy, { kind: 'made', bytes: () => program }));
}

/** Clips each of the topmost numbers to its range; the first range is for the lowest of them on the stack. */
function clipProgram(range: readonly number[], outputs: number): string {
  return Array.from({ length: outputs }, (_, i) => {
    const [low, high] = [itemAt(range, 2 * i), itemAt(range, 2 * i + 1)];
    const clip = `dup ${low} lt { pop ${low} } if dup ${high} gt { pop ${high} } if`;
    // Each number is brought to the top, then moved below the others; after all of them the original order is back.
    return `${outputs} -1 roll ${clip} `;
  }).join('');
}

/** Leaves the selected outputs on a stack that holds `outputs` numbers. */
function picksProgram(outputs: number, picks: readonly OutputPick[]): string {
  const made = picks.map(({ output, isInverted }, done) => {
    if (output === undefined) return '1 ';
    const depth = outputs - 1 - output + done;
    return `${depth} index ${isInverted ? '1 exch sub ' : ''}`;
  });
  // Then the old numbers are removed from below.
  const count = picks.length;
  return `${made.join('')}${outputs + count} ${count} roll ${'pop '.repeat(outputs)}`;
}

async function sampled(
  { file, context }: FunctionTools,
  stream: PDFStream,
  copy: PDFDict,
  outputs: number,
  picks: readonly OutputPick[],
): Promise<PDFObject | undefined> {
  const bits = numberOf(await file.entry(stream.dict, 'BitsPerSample'));
  const sizes = await numbersOf(file, stream.dict, 'Size');
  const range = await numbersOf(file, stream.dict, 'Range');
  if (bits === undefined || sizes === undefined || range === undefined) return undefined;
  if (range.length < 2 * outputs) return undefined;
  const decode = (await numbersOf(file, stream.dict, 'Decode')) ?? range;
  const points = sizes.reduce((product, size) => product * size, 1);
  const { bytes } = await file.streamDecoded(stream);
  if (bytes.length * 8 < points * outputs * bits) return undefined;
  const made = new Uint8Array(points * picks.length * 2);
  const view = new DataView(made.buffer);
  const valueAt = (point: number, output: number): number => {
    const sample = bitsAt(bytes, (point * outputs + output) * bits, bits) / (2 ** bits - 1);
    const [low, high] = [itemAt(range, 2 * output), itemAt(range, 2 * output + 1)];
    const [from = low, to = high] = decode.slice(2 * output, 2 * output + 2);
    return Math.min(high, Math.max(low, from + sample * (to - from)));
  };
  for (let point = 0; point < points; point += 1) {
    for (const [at, pick] of picks.entries()) {
      const share = Math.min(
        1,
        Math.max(
          0,
          picked((output) => valueAt(point, output), pick),
        ),
      );
      view.setUint16((point * picks.length + at) * 2, Math.round(share * SAMPLE_FULL));
    }
  }
  copy.set(PDFName.of('BitsPerSample'), context.obj(SAMPLE_BITS));
  return context.register(new PanelStream(copy, { kind: 'made', bytes: () => made }));
}

function bitsAt(bytes: Uint8Array, at: number, bits: number): number {
  let value = 0;
  for (let bit = at; bit < at + bits; bit += 1) {
    value = value * 2 + (((bytes[bit >> 3] ?? 0) >> (7 - (bit & 7))) & 1);
  }
  return value;
}

async function numbersOf(file: PdfFile, dict: PDFDict, key: string): Promise<number[] | undefined> {
  const array = arrayOf(await file.entry(dict, key));
  if (array === undefined) return undefined;
  const numbers: number[] = [];
  for (const item of array.asArray()) numbers.push(numberOf(await file.resolved(item)) ?? 0);
  return numbers;
}

const unitPairs = (count: number): number[] => Array.from({ length: count * 2 }, (_, i) => i % 2);
