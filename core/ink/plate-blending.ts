/** How inks are blended in artwork that blends light, gray or inks (ISO 32000-1, 11.3.5 and 11.7.4). */
import type { PDFDict, PDFObject } from 'pdf-lib';
import { colorSpaceFrom } from '../pdf/content/color-space.ts';
import { arrayOf, boolOf, dictOf, nameOf } from '../pdf/file/dict-values.ts';
import type { PdfFile } from '../pdf/file/pdf-file.ts';
import { kindOf, type PlatePass } from './plate-spaces.ts';

/** What a group blends: the inks of the press unless a group sets something else. */
export type Blending = 'inks' | 'light' | 'gray';

/** In these modes, white beneath gives the same result as nothing beneath. */
const SAME_ON_WHITE: ReadonlySet<string> = new Set(['Normal', 'Compatible', 'Multiply', 'Darken']);
/** In these modes, no ink over no ink gives full ink. */
const NOT_WHITE_PRESERVING: ReadonlySet<string> = new Set(['Difference', 'Exclusion']);

/** A group without a color space blends like the group around it. */
export async function blendingOf(
  group: PDFObject | undefined,
  around: Blending,
  file: PdfFile,
): Promise<Blending> {
  const space = await file.entry(dictOf(await file.resolved(group)), 'CS');
  if (space === undefined) return around;
  switch (kindOf(await colorSpaceFrom(space, file))) {
    case 'gray':
      return 'gray';
    case 'rgb':
    case 'lab':
      return 'light';
    default:
      return 'inks';
  }
}

export interface StateBlend {
  /** The mode to set; undefined: unchanged. */
  readonly mode: string | undefined;
  /** Whether it looks different on paper than on the empty page that a page's group begins with. */
  readonly isOtherOnWhite: boolean;
}

/**
 * The blend mode of a graphics state in plates. Inks that a group does not blend are treated as spot inks (11.7.4.2),
 * so that no ink over no ink gives no ink; overprint keeps the larger amount.
 */
export async function stateBlend(
  state: PDFDict,
  blending: Blending,
  pass: PlatePass,
  file: PdfFile,
): Promise<StateBlend> {
  const blend = await file.entry(state, 'BM');
  // Of several names, the first that a reader knows; today that is always the first name.
  const mode = nameOf(blend) ?? nameOf(await file.resolved(arrayOf(blend)?.asArray()[0]));
  const isPlain = mode === undefined || mode === 'Normal' || mode === 'Compatible';
  if (isPlain) {
    const flags = await Promise.all(['OP', 'op'].map(async (key) => boolOf(await file.entry(state, key))));
    const isTold = flags.some((flag) => flag !== undefined);
    return {
      mode: isTold ? (flags.includes(true) ? 'Darken' : 'Normal') : undefined,
      isOtherOnWhite: false,
    };
  }
  const isForeign = (blending === 'light' && pass === 'black') || (blending === 'gray' && pass !== 'black');
  if (isForeign && NOT_WHITE_PRESERVING.has(mode)) return { mode: 'Normal', isOtherOnWhite: false };
  return { mode: undefined, isOtherOnWhite: !SAME_ON_WHITE.has(mode) };
}
