/**
 * Turns color spaces into inks. Every space of the artwork gets a stand-in with the same number of components that
 * shows, as light, how much of some inks a color needs: 1 is none, 0 is full ink. The content itself can stay
 * unchanged.
 *
 * Process colors are taken as written. Gray is black ink. Red, green and blue, with a profile or without, count as
 * their complements cyan, magenta and yellow, and no black: more ink than most profiles make of them. A spot ink counts
 * as its alternate color in the file, because a wide-format printer has no plate for it.
 */
import { PDFArray, type PDFContext, PDFName, type PDFObject } from 'pdf-lib';
import { itemAt } from '../measure/present.ts';
import { type ColorSpace, colorSpaceFrom } from '../pdf/content/color-space.ts';
import { arrayOf } from '../pdf/file/dict-values.ts';
import type { PdfFile } from '../pdf/file/pdf-file.ts';
import type { ObjectCopier } from '../pdf/write/object-copier.ts';
import { functionOfInputs, functionPicked, functionWhite, type OutputPick } from './plate-functions.ts';
import type { PickedImage } from './row-averages.ts';

/** The inks of one rendering: cyan, magenta and yellow as red, green and blue, or black as gray. */
export type PlatePass = 'cyan-magenta-yellow' | 'black';
export const PLATE_PASSES: readonly PlatePass[] = ['cyan-magenta-yellow', 'black'];

export type Kind = 'gray' | 'rgb' | 'cmyk' | 'lab';

const COMPONENTS: Readonly<Record<Kind, number>> = { gray: 1, rgb: 3, cmyk: 4, lab: 3 };
const PROCESS = ['Cyan', 'Magenta', 'Yellow', 'Black'];

const direct = (...outputs: number[]): OutputPick[] =>
  outputs.map((output) => ({ output, isInverted: false }));
const inverted = (...outputs: number[]): OutputPick[] =>
  outputs.map((output) => ({ output, isInverted: true }));

/** Which component of a color becomes which light; undefined: the color has no such ink. */
const PICKS: Readonly<Record<PlatePass, Readonly<Record<Kind, readonly OutputPick[] | undefined>>>> = {
  'cyan-magenta-yellow': { gray: undefined, rgb: direct(0, 1, 2), cmyk: inverted(0, 1, 2), lab: undefined },
  black: { gray: direct(0), rgb: undefined, cmyk: inverted(3), lab: undefined },
};

export interface ShownParts {
  /** Components of the picture's color space. */
  readonly components: number;
  readonly parts: readonly number[];
}

export class PlateSpaces {
  readonly pass: PlatePass;
  readonly #file: PdfFile;
  readonly #context: PDFContext;
  readonly #plain: ObjectCopier;
  readonly #made = new Map<PDFObject, PDFObject>();
  readonly #kinds = new Map<Kind, PDFObject>();

  constructor(pass: PlatePass, file: PdfFile, context: PDFContext, plain: ObjectCopier) {
    this.pass = pass;
    this.#file = file;
    this.#context = context;
    this.#plain = plain;
  }

  /** Number of light components in this pass. */
  get #outputs(): number {
    return this.pass === 'black' ? 1 : 3;
  }

  /** The color space of the light. */
  get target(): PDFName {
    return PDFName.of(this.pass === 'black' ? 'DeviceGray' : 'DeviceRGB');
  }

  /** One pixel of no ink. */
  get paper(): PickedImage {
    return { widthPx: 1, heightPx: 1, samples: new Uint8Array(this.#outputs).fill(255) };
  }

  /**
   * Which components this pass shows of a picture whose samples are light or process inks; empty where it shows none of
   * them. Undefined where samples are something else.
   */
  async shownOf(object: PDFObject): Promise<ShownParts | undefined> {
    const kind = kindOf(await colorSpaceFrom(object, this.#file));
    if (kind === undefined || kind === 'lab') return undefined;
    const picks = PICKS[this.pass][kind] ?? [];
    return { components: COMPONENTS[kind], parts: picks.flatMap(({ output }) => output ?? []) };
  }

  /** The stand-in of a device space. */
  ofKind(kind: Kind): PDFObject {
    const known = this.#kinds.get(kind);
    if (known) return known;
    const picks = PICKS[this.pass][kind];
    const count = COMPONENTS[kind];
    const isSame = picks?.length === count && picks.every(({ isInverted }) => !isInverted);
    const tint = picks
      ? functionOfInputs(this.#context, count, picks)
      : functionWhite(this.#context, count, this.#outputs);
    const space = isSame ? this.target : this.#inks(count, tint);
    this.#kinds.set(kind, space);
    return space;
  }

  /** The stand-in of a space that the file does not describe as an object; undefined where colors stay unchanged. */
  ofColors(space: ColorSpace): PDFObject | undefined {
    const kind = kindOf(space);
    if (kind === undefined || (kind === 'lab' && this.pass === 'cyan-magenta-yellow')) return undefined;
    return this.ofKind(kind);
  }

  async of(object: PDFObject): Promise<PDFObject> {
    const value = (await this.#file.resolved(object)) ?? object;
    const known = this.#made.get(value);
    if (known) return known;
    const made = await this.#standIn(value);
    const kept = made instanceof PDFArray ? this.#context.register(made) : made;
    this.#made.set(value, kept);
    return kept;
  }

  /**
   * The number of zeros that a color of this space begins with when selected, where its stand-in would begin with full
   * ink; 0 where both begin alike (ISO 32000-1, 8.6.5 and 8.6.6).
   */
  async zerosAtFirst(object: PDFObject | undefined): Promise<number> {
    const space = await colorSpaceFrom(object, this.#file);
    const kind = kindOf(space);
    return kind !== undefined && kind !== 'lab' ? COMPONENTS[kind] : 0;
  }

  async #standIn(value: PDFObject): Promise<PDFObject> {
    const space = await colorSpaceFrom(value, this.#file);
    const kind = kindOf(space);
    if (kind === 'lab' && this.pass === 'cyan-magenta-yellow') return this.#plain.copy(value);
    if (kind !== undefined) return this.ofKind(kind);
    const parts = arrayOf(value)?.asArray() ?? [];
    if (parts.length > 1 && (space.family === 'Indexed' || space.family === 'Pattern')) {
      return this.#withBase(parts, space.family);
    }
    if (space.family === 'Separation' || space.family === 'DeviceN') return this.#ofInks(value, parts, space);
    return this.#plain.copy(value);
  }

  async #withBase(parts: readonly PDFObject[], family: string): Promise<PDFArray> {
    const copy = PDFArray.withContext(this.#context);
    copy.push(PDFName.of(family));
    copy.push(await this.of(itemAt(parts, 1)));
    for (const part of parts.slice(2)) copy.push(await this.#plain.copy(part));
    return copy;
  }

  async #ofInks(value: PDFObject, parts: readonly PDFObject[], space: ColorSpace): Promise<PDFObject> {
    const { inks, base } = space;
    const count = inks.length;
    if (inks.every((ink) => ink === 'None')) return this.#none(count);
    if (inks.some((ink) => ink === 'All')) {
      const all = Array.from({ length: this.#outputs }, () => inks.indexOf('All'));
      return this.#inks(count, functionOfInputs(this.#context, count, inverted(...all)));
    }
    if (inks.every((ink) => ink === 'None' || PROCESS.includes(ink)))
      return this.#inks(count, this.#processTint(inks));
    const kind = base && kindOf(base);
    if (kind === undefined) return this.#plain.copy(value);
    const picks = PICKS[this.pass][kind];
    if (picks === undefined) {
      if (kind === 'lab' && this.pass === 'cyan-magenta-yellow') return this.#plain.copy(value);
      return this.#inks(count, functionWhite(this.#context, count, this.#outputs));
    }
    const tools = { file: this.#file, context: this.#context, plain: this.#plain };
    const tint = await functionPicked(tools, parts[3], COMPONENTS[kind], picks);
    return tint ? this.#inks(count, tint) : this.#plain.copy(value);
  }

  /**
   * A space that paints nothing (8.6.6.4). Renderers know it only with one component, so one with several paints paper.
   */
  #none(count: number): PDFArray {
    const white = functionWhite(this.#context, count, this.#outputs);
    if (count !== 1) return this.#inks(count, white);
    return this.#context.obj([PDFName.of('Separation'), PDFName.of('None'), this.target, white]) as PDFArray;
  }

  /** Named process inks need no tint transform; an ink that is not named counts as none. */
  #processTint(inks: readonly string[]): PDFObject {
    const shown = this.pass === 'black' ? ['Black'] : PROCESS.slice(0, 3);
    const picks = shown.map((ink): OutputPick => {
      const output = inks.indexOf(ink);
      return { output: output < 0 ? undefined : output, isInverted: true };
    });
    return functionOfInputs(this.#context, inks.length, picks);
  }

  #inks(count: number, tint: PDFObject): PDFArray {
    const names = Array.from({ length: count }, (_, i) => PDFName.of(`Plate${i + 1}`));
    return this.#context.obj([PDFName.of('DeviceN'), names, this.target, tint]) as PDFArray;
  }
}

/** The kind of a space with regard to ink; undefined for spaces that refer to others. */
export function kindOf({ family, components, base }: ColorSpace): Kind | undefined {
  switch (family) {
    case 'DeviceGray':
    case 'CalGray':
      return 'gray';
    case 'DeviceRGB':
    case 'CalRGB':
      return 'rgb';
    case 'DeviceCMYK':
      return 'cmyk';
    case 'Lab':
      return 'lab';
    case 'ICCBased':
      if (components === 4) return 'cmyk';
      if (components === 3) return base?.family === 'Lab' ? 'lab' : 'rgb';
      return components === 1 ? 'gray' : undefined;
    default:
      return undefined;
  }
}
