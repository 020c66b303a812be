/**
 * The part of the graphics state that the verification compares: one number per parameter. Equal numbers mean equal
 * parameters.
 */
import { itemAt, valueAt } from '../../measure/present.ts';
import type { Matrix, SourceBox } from '../../pdf/page/page-space.ts';
import { type ContentHash, hashed } from './content-hash.ts';

const PARAMETERS = [
  'place',
  'clip',
  'group',
  'fillSpace',
  'fill',
  'strokeSpace',
  'stroke',
  // Line style, by the keys of Table 58 (ISO 32000-1) where they exist.
  'LW',
  'LC',
  'LJ',
  'ML',
  'D',
  'RI',
  'FL',
  'Font',
  'Tc',
  'Tw',
  'Tz',
  'TL',
  'Ts',
  'Tr',
  'OP',
  'op',
  'OPM',
  'BG',
  'BG2',
  'UCR',
  'UCR2',
  'TR',
  'TR2',
  'HT',
  'SM',
  'SA',
  'BM',
  'SMask',
  'CA',
  'ca',
  'AIS',
  'TK',
  'other',
] as const;
export type Parameter = (typeof PARAMETERS)[number];
const INDEX = new Map<string, number>(PARAMETERS.map((name, index) => [name, index]));

/** The parameters that each question of the report is about. */
const LINE = indexes('LW', 'LC', 'LJ', 'ML', 'D');
const TEXT = indexes('Font', 'Tc', 'Tw', 'Tz', 'Ts', 'Tr', 'TK');
const RENDERING = indexes('RI', 'FL', 'BG', 'BG2', 'UCR', 'UCR2', 'TR', 'TR2', 'HT', 'SM', 'SA', 'other');
const OVERPRINT = indexes('OP', 'op', 'OPM');
const TRANSPARENCY = indexes('group', 'BM', 'SMask', 'CA', 'ca', 'AIS');

function indexes(...names: Parameter[]): readonly number[] {
  return names.map((name) => valueAt(INDEX, name));
}

export class PaintState {
  readonly #values: Float64Array;
  ctm: Matrix;
  /** Box around points that are certainly inside the clip. */
  clip: SourceBox;
  /** Box around the whole clip. */
  clipHull: SourceBox;
  /** Leading as a number, to find where lines begin. */
  leading = 0;
  /** In units of the state's space; 1 until it is set (Table 52). */
  lineWidth = 1;
  fontSize = 0;
  /** How text is painted (Table 106). */
  textMode = 0;
  /** Whether the font is known and draws its glyphs at the pen's place. */
  isFontPlain = false;
  /** In words, for a report. */
  fillWords = 'DeviceGray 0';
  strokeWords = 'DeviceGray 0';

  constructor(ctm: Matrix, clip: SourceBox, values = new Float64Array(PARAMETERS.length)) {
    this.#values = values;
    this.ctm = ctm;
    this.clip = clip;
    this.clipHull = clip;
  }

  copy(): PaintState {
    const copy = new PaintState(this.ctm, this.clip, this.#values.slice());
    copy.clipHull = this.clipHull;
    copy.leading = this.leading;
    copy.lineWidth = this.lineWidth;
    copy.fontSize = this.fontSize;
    copy.textMode = this.textMode;
    copy.isFontPlain = this.isFontPlain;
    copy.fillWords = this.fillWords;
    copy.strokeWords = this.strokeWords;
    return copy;
  }

  get(parameter: Parameter): ContentHash {
    return itemAt(this.#values, valueAt(INDEX, parameter));
  }

  set(parameter: Parameter, value: ContentHash): void {
    this.#values[valueAt(INDEX, parameter)] = value;
  }

  /** Sets a parameter by its key in an ExtGState; all unknown keys share one number. */
  setByKey(key: string, value: ContentHash): void {
    const index = INDEX.get(key);
    if (index === undefined) this.set('other', hashed(this.get('other'), value));
    else this.#values[index] = value;
  }

  /** Whether nothing but the matrix was ever set. */
  get isInitial(): boolean {
    return this.#values.every((value, index) => index === 0 || value === 0);
  }

  get line(): ContentHash {
    return this.#all(LINE);
  }

  get text(): ContentHash {
    return this.#all(TEXT);
  }

  get rendering(): ContentHash {
    return this.#all(RENDERING);
  }

  get overprint(): ContentHash {
    return this.#all(OVERPRINT);
  }

  get transparency(): ContentHash {
    return this.#all(TRANSPARENCY);
  }

  #all(parameters: readonly number[]): ContentHash {
    let hash = 0;
    for (const index of parameters) hash = hashed(hash, itemAt(this.#values, index));
    return hash;
  }
}
