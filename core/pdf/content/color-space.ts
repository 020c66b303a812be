import { PDFArray, type PDFDict, PDFName, type PDFObject, PDFStream } from 'pdf-lib';
import { arrayOf, nameOf, nameText, numberOf } from '../file/dict-values.ts';
import type { PdfObjects } from '../file/pdf-objects.ts';

export type ColorFamily =
  | 'DeviceGray'
  | 'DeviceRGB'
  | 'DeviceCMYK'
  | 'CalGray'
  | 'CalRGB'
  | 'Lab'
  | 'ICCBased'
  | 'Indexed'
  | 'Separation'
  | 'DeviceN'
  | 'Pattern'
  | 'unknown';

/** The facts about a color space that printing needs: its kind, number of components, and inks. */
export interface ColorSpace {
  readonly family: ColorFamily;
  /** Components of a color; 0 where it is not known. */
  readonly components: number;
  /** Names of the inks of Separation and DeviceN, including `All` and `None`. */
  readonly inks: readonly string[];
  /** Base of Indexed, alternate of Separation, DeviceN and ICCBased, underlying space of an uncolored Pattern. */
  readonly base: ColorSpace | undefined;
  /** The function that turns an amount of ink into a color of the alternate space; for Separation only. */
  readonly tint: PDFObject | undefined;
}

const space = (
  family: ColorFamily,
  components: number,
  base?: ColorSpace,
  inks: string[] = [],
  tint?: PDFObject,
): ColorSpace => ({
  family,
  components,
  inks,
  base,
  tint,
});

export const DEVICE_GRAY = space('DeviceGray', 1);
export const DEVICE_RGB = space('DeviceRGB', 3);
export const DEVICE_CMYK = space('DeviceCMYK', 4);
export const LAB = space('Lab', 3);
export const PATTERN = space('Pattern', 0);
const UNKNOWN = space('unknown', 0);

/** Names that are a space by themselves; the short ones are for inline images. */
const NAMED: Readonly<Record<string, ColorSpace>> = {
  DeviceGray: DEVICE_GRAY,
  G: DEVICE_GRAY,
  CalGray: DEVICE_GRAY,
  DeviceRGB: DEVICE_RGB,
  RGB: DEVICE_RGB,
  CalRGB: DEVICE_RGB,
  DeviceCMYK: DEVICE_CMYK,
  CMYK: DEVICE_CMYK,
  CalCMYK: DEVICE_CMYK,
  Pattern: PATTERN,
};

const MAX_DEPTH = 8;

/** The space that a name stands for without any resource, or undefined. */
export const colorSpaceNamed = (name: string): ColorSpace | undefined => NAMED[name];

/** Reads a color space object, ISO 32000-1, 8.6. A space that cannot be read is `unknown`, never a guess. */
export async function colorSpaceFrom(
  object: PDFObject | undefined,
  objects: PdfObjects,
  depth = 0,
): Promise<ColorSpace> {
  const value = await objects.resolved(object);
  if (value instanceof PDFName) return NAMED[value.decodeText()] ?? UNKNOWN;
  if (!(value instanceof PDFArray) || value.size() === 0 || depth > MAX_DEPTH) return UNKNOWN;
  const family = nameOf(await objects.resolved(value.get(0))) ?? '';
  const part = (i: number) => objects.resolved(value.asArray()[i]);
  const spaceAt = (i: number) => colorSpaceFrom(value.asArray()[i], objects, depth + 1);
  switch (family) {
    case 'CalGray':
      return space('CalGray', 1);
    case 'CalRGB':
      return space('CalRGB', 3);
    case 'Lab':
      return LAB;
    case 'ICCBased':
      return iccBased(await part(1), objects, depth);
    case 'Indexed':
    case 'I':
      return space('Indexed', 1, await spaceAt(1));
    case 'Pattern':
      return value.size() > 1 ? space('Pattern', 0, await spaceAt(1)) : PATTERN;
    case 'Separation':
      return space('Separation', 1, await spaceAt(2), [nameText(await part(1)) ?? ''], await part(3));
    case 'DeviceN': {
      const names = arrayOf(await part(1))?.asArray() ?? [];
      const inks = await Promise.all(names.map(async (name) => nameText(await objects.resolved(name)) ?? ''));
      return space('DeviceN', inks.length, await spaceAt(2), inks);
    }
    default:
      return NAMED[family] ?? UNKNOWN;
  }
}

async function iccBased(
  profile: PDFObject | undefined,
  objects: PdfObjects,
  depth: number,
): Promise<ColorSpace> {
  if (!(profile instanceof PDFStream)) return UNKNOWN;
  const { dict } = profile;
  const components = numberOf(await objects.resolved(dict.get(PDFName.of('N')))) ?? 0;
  const alternate = dict.get(PDFName.of('Alternate'));
  const base = alternate === undefined ? undefined : await colorSpaceFrom(alternate, objects, depth + 1);
  return space('ICCBased', components, base);
}

/** The space whose components the color has: the space itself, or the base of an Indexed or Pattern space. */
export function spaceUnder(s: ColorSpace): ColorSpace {
  const isWrapper = s.family === 'Indexed' || s.family === 'Pattern';
  return isWrapper && s.base !== undefined ? spaceUnder(s.base) : s;
}

/** The name of a space for people: `DeviceCMYK`, `ICC (3 components)`, `Separation Signal Red`. */
export function colorSpaceLabel(s: ColorSpace): string {
  switch (s.family) {
    case 'ICCBased':
      return `ICC (${s.components} components)`;
    case 'Indexed':
      return `Indexed, ${s.base === undefined ? 'unknown' : colorSpaceLabel(s.base)}`;
    case 'Separation':
    case 'DeviceN':
      return `${s.family} ${s.inks.join(' + ')}`;
    case 'Pattern':
      return s.base === undefined ? 'Pattern' : `Pattern, ${colorSpaceLabel(s.base)}`;
    default:
      return s.family;
  }
}

/** The color space entry of an image, by its long or short key. */
export const imageColorSpace = (dict: PDFDict): PDFObject | undefined =>
  dict.get(PDFName.of('ColorSpace')) ?? dict.get(PDFName.of('CS'));
