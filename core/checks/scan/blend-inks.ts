/** The highest ink sum of a shading (ISO 32000-1, 8.7.4.5). */
import { PDFDict, PDFName, type PDFObject, PDFStream } from 'pdf-lib';
import { present } from '../../measure/present.ts';
import { type ColorSpace, colorSpaceFrom } from '../../pdf/content/color-space.ts';
import { dictOf, numberOf } from '../../pdf/file/dict-values.ts';
import type { PdfObjects } from '../../pdf/file/pdf-objects.ts';
import { isPdfProblem } from '../../pdf/file/pdf-problem.ts';
import { inkPercent } from './color-values.ts';
import { bitsAt, functionOfOne, numbersOf } from './function-values.ts';
import type { Occurrences, PageScan, ScannedBlend } from './schema.ts';

/** Number of samples of a color function: both ends, and enough between them for any step of a blend. */
const SAMPLES = 257;
/** Most corners of a mesh that are read. */
const MAX_CORNERS = 200_000;

export type PageBlends = Pick<PageScan, 'blends' | 'blendsUncounted'>;

/** Blends with less ink than this are no problem for any film. */
const HEAVY_PERCENT = 150;
const MAX_BLENDS = 100;
/** Most kinds of blends read on a page; the rest count as unknown. */
const MAX_READ = 2000;

/** The heavy blends of a page, by shading or shading pattern, with the places where they are painted. */
export async function pageBlends(
  seen: readonly (readonly [PDFObject, Occurrences])[],
  file: PdfObjects,
): Promise<PageBlends> {
  const blends: ScannedBlend[] = [];
  let blendsUncounted = Math.max(0, seen.length - MAX_READ);
  for (const [object, at] of seen.slice(0, MAX_READ)) {
    const percent = await blendInkPercent(await shadingOf(object, file), file);
    if (percent === 'unknown') blendsUncounted++;
    else if (percent !== 'none' && percent > HEAVY_PERCENT) blends.push({ percent, ...at });
  }
  return { blends: blends.sort((a, b) => b.percent - a.percent).slice(0, MAX_BLENDS), blendsUncounted };
}

/** The shading of a shading pattern. */
async function shadingOf(object: PDFObject, file: PdfObjects): Promise<PDFObject> {
  const inPattern =
    object instanceof PDFDict ? await file.resolved(object.get(PDFName.of('Shading'))) : undefined;
  return inPattern ?? object;
}

/** Ink in percent; `none` for a space that states no inks, `unknown` where the colors are calculated or unreadable. */
export async function blendInkPercent(
  object: PDFObject,
  file: PdfObjects,
): Promise<number | 'none' | 'unknown'> {
  try {
    const dict = dictOf(object);
    const space = await colorSpaceFrom(dict?.get(PDFName.of('ColorSpace')), file);
    const zero = Array.from({ length: space.components }, () => 0);
    if (inkPercent({ space, values: zero }) === undefined) return 'none';
    const shade = dict?.get(PDFName.of('Function'));
    const largest =
      shade === undefined
        ? await meshLargest(object, space, file)
        : await functionLargest(shade, object, space, file);
    return largest ?? 'unknown';
  } catch (error) {
    if (!isPdfProblem(error)) throw error;
    return 'unknown';
  }
}

async function functionLargest(
  shade: PDFObject,
  object: PDFObject,
  space: ColorSpace,
  file: PdfObjects,
): Promise<number | undefined> {
  const color = await functionOfOne(shade, file);
  if (color === undefined) return undefined;
  const dict = present(dictOf(object), 'The dictionary of a shading');
  // In a mesh, the interval of the parameter ends the Decode array.
  const domain =
    (await numbersOf(dict.get(PDFName.of('Domain')), file)) ??
    (await numbersOf(dict.get(PDFName.of('Decode')), file))?.slice(4) ??
    [];
  const [low = 0, high = 1] = domain;
  let largest = 0;
  for (let i = 0; i < SAMPLES; i++) {
    const values = color(low + ((high - low) * i) / (SAMPLES - 1));
    if (values.length !== space.components) return undefined;
    largest = Math.max(largest, inkPercent({ space, values }) ?? 0);
  }
  return largest;
}

const FREE_TRIANGLES = 4;
const LATTICE = 5;
const COONS = 6;
const TENSOR = 7;

/** Colors inside a mesh lie between those of its corners, so checking the corners is enough. */
async function meshLargest(
  object: PDFObject,
  space: ColorSpace,
  file: PdfObjects,
): Promise<number | undefined> {
  if (!(object instanceof PDFStream)) return undefined;
  const number = async (key: string) => numberOf(await file.resolved(object.dict.get(PDFName.of(key)))) ?? 0;
  const kind = await number('ShadingType');
  if (kind < FREE_TRIANGLES || kind > TENSOR) return undefined;
  const [perCoordinate, perComponent] = [await number('BitsPerCoordinate'), await number('BitsPerComponent')];
  const perFlag = kind === LATTICE ? 0 : await number('BitsPerFlag');
  const decode = await numbersOf(object.dict.get(PDFName.of('Decode')), file);
  const { bytes, remaining } = await file.streamDecoded(object);
  if (remaining.length > 0 || !(perCoordinate > 0) || !(perComponent > 0) || !decode) return undefined;
  const { components } = space;
  const full = 2 ** perComponent - 1;
  const corner = (bit: number): number => {
    const values = Array.from({ length: components }, (_, i) => {
      const [low = 0, high = 1] = decode.slice(4 + 2 * i);
      return low + (bitsAt(bytes, bit + i * perComponent, perComponent) * (high - low)) / full;
    });
    return inkPercent({ space, values }) ?? 0;
  };
  let largest: number | undefined;
  let bit = 0;
  for (let corners = 0; ; ) {
    const { points, colors } = recordShape(kind, perFlag > 0 ? bitsAt(bytes, bit, perFlag) & 3 : 0);
    const from = bit + perFlag + points * 2 * perCoordinate;
    const end = from + colors * components * perComponent;
    if (end > bytes.length * 8) return largest;
    for (let i = 0; i < colors; i++) {
      largest = Math.max(largest ?? 0, corner(from + i * components * perComponent));
    }
    corners += colors;
    if (corners > MAX_CORNERS) return undefined;
    bit = 8 * Math.ceil(end / 8);
  }
}

/** Points and colors of one record: a patch that joins another one has fewer. */
function recordShape(kind: number, flag: number): { readonly points: number; readonly colors: number } {
  if (kind < COONS) return { points: 1, colors: 1 };
  const inner = kind === TENSOR ? 4 : 0;
  return flag === 0 ? { points: 12 + inner, colors: 4 } : { points: 8 + inner, colors: 2 };
}
