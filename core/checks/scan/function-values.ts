/** Functions of one number (ISO 32000-1, 7.10): sampled, exponential and stitched ones. Calculators are not run. */
import { type PDFDict, PDFName, type PDFObject, PDFStream } from 'pdf-lib';
import { itemAt } from '../../measure/present.ts';
import { arrayOf, dictOf, numberOf } from '../../pdf/file/dict-values.ts';
import type { PdfObjects } from '../../pdf/file/pdf-objects.ts';

/** One output of an input that is in the function's domain. */
export type FunctionOfOne = (x: number) => readonly number[];

/** Greatest depth of stitched functions; deeper ones are circular. */
const MAX_DEPTH = 8;
const MAX_SAMPLES = 1 << 16;

/** Undefined where the function takes more than one number, is a calculator, or is damaged. @throws PdfProblem */
export async function functionOfOne(
  object: PDFObject | undefined,
  file: PdfObjects,
  depth = 0,
): Promise<FunctionOfOne | undefined> {
  const value = await file.resolved(object);
  const list = arrayOf(value);
  if (list) return functionsSideBySide(list.asArray(), file, depth);
  const dict = dictOf(value);
  if (dict === undefined || depth > MAX_DEPTH) return undefined;
  const numbers = (key: string) => numbersOf(dict.get(PDFName.of(key)), file);
  const [low, high, more] = (await numbers('Domain')) ?? [];
  if (low === undefined || high === undefined || more !== undefined) return undefined;
  const stream = value instanceof PDFStream ? value : undefined;
  const inner = await functionInside({ dict, stream, numbers, file, domain: [low, high] }, depth);
  const range = await numbers('Range');
  return inner && ((x) => clipped(inner(Math.min(high, Math.max(low, x))), range));
}

interface FunctionFrom {
  readonly dict: PDFDict;
  /** A sampled function is a stream. */
  readonly stream: PDFStream | undefined;
  readonly numbers: (key: string) => Promise<number[] | undefined>;
  readonly file: PdfObjects;
  readonly domain: readonly [low: number, high: number];
}

async function functionInside(from: FunctionFrom, depth: number): Promise<FunctionOfOne | undefined> {
  const { dict, stream, numbers, file, domain } = from;
  switch (numberOf(await file.resolved(dict.get(PDFName.of('FunctionType'))))) {
    case 0:
      return stream && sampled(stream, from);
    case 2:
      return exponential(numbers, numberOf(await file.resolved(dict.get(PDFName.of('N')))) ?? 1);
    case 3: {
      const parts = arrayOf(await file.resolved(dict.get(PDFName.of('Functions'))))?.asArray() ?? [];
      const functions = await functionsOf(parts, file, depth);
      const [bounds, encode] = [await numbers('Bounds'), await numbers('Encode')];
      if (!functions || bounds?.length !== functions.length - 1 || encode?.length !== 2 * functions.length)
        return undefined;
      return stitched(functions, [domain[0], ...bounds, domain[1]], encode);
    }
    default:
      return undefined;
  }
}

async function functionsSideBySide(
  parts: readonly PDFObject[],
  file: PdfObjects,
  depth: number,
): Promise<FunctionOfOne | undefined> {
  const functions = await functionsOf(parts, file, depth);
  return functions && ((x) => functions.flatMap((part) => part(x)));
}

/** Undefined where there is none, or one of them cannot be read. */
async function functionsOf(
  parts: readonly PDFObject[],
  file: PdfObjects,
  depth: number,
): Promise<readonly FunctionOfOne[] | undefined> {
  const functions = await Promise.all(parts.map((part) => functionOfOne(part, file, depth + 1)));
  const had = functions.filter((part) => part !== undefined);
  return had.length > 0 && had.length === functions.length ? had : undefined;
}

async function exponential(
  numbers: (key: string) => Promise<number[] | undefined>,
  exponent: number,
): Promise<FunctionOfOne> {
  const c0 = (await numbers('C0')) ?? [0];
  const c1 = (await numbers('C1')) ?? [1];
  return (x) => c0.map((from, i) => from + x ** exponent * ((c1[i] ?? from) - from));
}

function stitched(
  functions: readonly FunctionOfOne[],
  edges: readonly number[],
  encode: readonly number[],
): FunctionOfOne {
  return (x) => {
    const found = edges.findIndex((edge, i) => i > 0 && x < edge) - 1;
    const i = found < 0 ? functions.length - 1 : found;
    const part = itemAt(functions, i);
    const [from, to] = [itemAt(encode, 2 * i), itemAt(encode, 2 * i + 1)];
    return part(between(x, itemAt(edges, i), itemAt(edges, i + 1), from, to));
  };
}

async function sampled(
  stream: PDFStream,
  { numbers, file, domain: [low, high] }: FunctionFrom,
): Promise<FunctionOfOne | undefined> {
  const [size] = (await numbers('Size')) ?? [];
  const [bits] = (await numbers('BitsPerSample')) ?? [];
  const bitsPerSample = bits ?? numberOf(await file.resolved(stream.dict.get(PDFName.of('BitsPerSample'))));
  const range = await numbers('Range');
  const decode = (await numbers('Decode')) ?? range;
  if (size === undefined || bitsPerSample === undefined || !range || !decode) return undefined;
  if (size < 1 || ![1, 2, 4, 8, 12, 16, 24, 32].includes(bitsPerSample)) return undefined;
  const outputs = range.length / 2;
  if (!Number.isInteger(outputs) || decode.length < range.length) return undefined;
  const [first = 0, last = size - 1] = (await numbers('Encode')) ?? [];
  const { bytes, remaining } = await file.streamDecoded(stream);
  const count = size * outputs;
  if (remaining.length > 0 || count > MAX_SAMPLES || bytes.length * 8 < count * bitsPerSample)
    return undefined;
  const full = 2 ** bitsPerSample - 1;
  const samples = Float64Array.from({ length: count }, (_, i) =>
    bitsAt(bytes, i * bitsPerSample, bitsPerSample),
  );
  return (x) => {
    const at = Math.min(size - 1, Math.max(0, between(x, low, high, first, last)));
    const i = Math.min(Math.floor(at), Math.max(0, size - 2));
    return Array.from({ length: outputs }, (_, j) => {
      const a = itemAt(samples, i * outputs + j);
      const b = itemAt(samples, Math.min(size - 1, i + 1) * outputs + j);
      return between(a + (at - i) * (b - a), 0, full, itemAt(decode, 2 * j), itemAt(decode, 2 * j + 1));
    });
  };
}

/** A number of up to 32 bits, highest bit first. */
export function bitsAt(bytes: Uint8Array, bit: number, length: number): number {
  let value = 0;
  for (let i = bit; i < bit + length; i++) value = value * 2 + (((bytes[i >> 3] ?? 0) >> (7 - (i & 7))) & 1);
  return value;
}

/** Maps a number from one interval to another (7.10.2, Interpolate). */
const between = (x: number, low: number, high: number, from: number, to: number): number =>
  high === low ? from : from + ((x - low) * (to - from)) / (high - low);

const clipped = (values: readonly number[], range: readonly number[] | undefined): readonly number[] =>
  range === undefined
    ? values
    : values.map((value, i) => Math.min(range[2 * i + 1] ?? value, Math.max(range[2 * i] ?? value, value)));

/** The numbers of an array, or a single number. */
export async function numbersOf(
  object: PDFObject | undefined,
  file: PdfObjects,
): Promise<number[] | undefined> {
  const value = await file.resolved(object);
  const single = numberOf(value);
  if (single !== undefined) return [single];
  const items = await Promise.all((arrayOf(value)?.asArray() ?? []).map((item) => file.resolved(item)));
  const numbers = items.flatMap((item) => numberOf(item) ?? []);
  return arrayOf(value) && numbers.length === items.length ? numbers : undefined;
}
