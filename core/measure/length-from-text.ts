/**
 * Lengths as people type them.
 *
 * ```ts
 * lengthFromText('1.37 m', 'mm'); // → { ok: true, value: 1370 }
 * lengthFromText(`3' 6 1/2"`, 'mm').value.toFixed(1); // → '1079.5'
 * lengthFromText('1,234', 'mm').problem.code; // → 'length-ambiguous'
 * ```
 */
import { type DecimalReading, decimalFromText } from './decimal-from-text.ts';
import { lengthText } from './length-text.ts';
import { itemAt } from './present.ts';
import { type Problem, type Result, resultOk, resultProblem } from './result.ts';
import { MM_PER_FOOT, MM_PER_INCH, type Mm } from './units.ts';

/** Units that a length may be typed in. */
export type LengthUnit = 'mm' | 'cm' | 'm' | 'in' | 'ft';

export type LengthProblemCode =
  | 'length-empty'
  | 'length-not-understood'
  | 'length-ambiguous'
  | 'length-out-of-range';

/** Smallest and greatest length that a field accepts, in mm. */
export interface LengthRange {
  readonly leastMm: Mm;
  readonly greatestMm: Mm;
}

/** No vehicle is longer than 100 m; positions may be before the origin. */
export const LENGTH_RANGE_ANY: LengthRange = { leastMm: -100_000, greatestMm: 100_000 };

const MM_PER_UNIT: Readonly<Record<LengthUnit, Mm>> = {
  mm: 1,
  cm: 10,
  m: 1000,
  in: MM_PER_INCH,
  ft: MM_PER_FOOT,
};

const UNIT_BY_WORD: ReadonlyMap<string, LengthUnit> = new Map(
  Object.entries({
    mm: ['mm', 'millimetre', 'millimetres', 'millimeter', 'millimeters'],
    cm: ['cm', 'centimetre', 'centimetres', 'centimeter', 'centimeters'],
    m: ['m', 'metre', 'metres', 'meter', 'meters'],
    in: ['in', 'in.', 'inch', 'inches', '"'],
    ft: ['ft', 'ft.', 'foot', 'feet', "'"],
  } satisfies Record<LengthUnit, string[]>).flatMap(([unit, words]) =>
    words.map((word) => [word, unit as LengthUnit] as const),
  ),
);

const VULGAR_FRACTIONS: Readonly<Record<string, string>> = {
  '½': '1/2',
  '⅓': '1/3',
  '⅔': '2/3',
  '¼': '1/4',
  '¾': '3/4',
  '⅕': '1/5',
  '⅖': '2/5',
  '⅗': '3/5',
  '⅘': '4/5',
  '⅙': '1/6',
  '⅚': '5/6',
  '⅛': '1/8',
  '⅜': '3/8',
  '⅝': '5/8',
  '⅞': '7/8',
};

/** Longer texts are not lengths and are not matched. */
const LONGEST_TEXT = 60;

const QUANTITY = String.raw`(?:\d+[ -]+)?\d+ ?/ ?\d+|[\d.,]+(?: \d{3}(?![\d/]))*(?:[.,]\d+)?`;
const UNIT_WORD = String.raw`[a-z]+\.?|["']`;
const ONE_QUANTITY = new RegExp(`^(${QUANTITY}) ?(${UNIT_WORD})?$`);
const FEET_AND_INCHES = new RegExp(`^([\\d.,]+) ?('|[a-z]+\\.?) ?-? ?(${QUANTITY}) ?("|[a-z]+\\.?)?$`);

/**
 * Reads a length as people type it: `54in`, `1.37 m`, `3' 6 1/2"`, `7 ft 3 in`, `5½"`, `1.234,5 mm`. A number without a
 * unit is in `defaultUnit`. See decimalFromText for commas and points; an ambiguous text is rejected rather than
 * guessed at.
 */
export function lengthFromText(
  text: string,
  defaultUnit: LengthUnit,
  range: LengthRange = LENGTH_RANGE_ANY,
): Result<Mm, Problem<LengthProblemCode>> {
  const plain = plainText(text);
  if (plain === '') {
    return lengthProblem(
      'length-empty',
      'No length is given.',
      `Type a length such as ${exampleOf(defaultUnit)}.`,
    );
  }
  const sign = /^[+-]/.exec(plain)?.[0];
  const body = sign ? plain.slice(1).trimStart() : plain;
  const reading: DecimalReading =
    plain.length > LONGEST_TEXT ? { kind: 'not-a-number' } : lengthReading(body, defaultUnit);
  if (reading.kind === 'ambiguous') {
    return lengthProblem(
      'length-ambiguous',
      `“${text.trim()}” can be read in two ways, with a decimal mark or with a thousands mark.`,
      `Write ${reading.grouped} or ${reading.decimal}.`,
    );
  }
  if (reading.kind === 'not-a-number') {
    return lengthProblem(
      'length-not-understood',
      `“${shortened(text.trim())}” is not a length.`,
      `Write a number with a unit, such as ${exampleOf(defaultUnit)}.`,
    );
  }
  const mm = sign === '-' && reading.value !== 0 ? -reading.value : reading.value;
  if (!(mm >= range.leastMm && mm <= range.greatestMm)) {
    const format = defaultUnit === 'in' || defaultUnit === 'ft' ? 'in' : 'mm';
    const [least, greatest] = [lengthText(range.leastMm, format), lengthText(range.greatestMm, format)];
    return lengthProblem(
      'length-out-of-range',
      `“${shortened(text.trim())}” is outside ${least} to ${greatest}.`,
      `Give a length from ${least} to ${greatest}.`,
    );
  }
  return resultOk(mm);
}

/** Normalizes characters that have several spellings: primes, dashes, spaces, vulgar fractions, capitals. */
function plainText(text: string): string {
  return text
    .replace(/[½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞]/g, (sign) => ` ${VULGAR_FRACTIONS[sign]}`)
    .replace(/[″”“„]|''|′′|’’/g, '"')
    .replace(/[′’‘`´]/g, "'")
    .replace(/[−–‐‑—]/g, '-')
    .replace(/[⁄∕]/g, '/')
    .replace(/[\s\u00a0\u2009\u202f]+/g, ' ')
    .trim()
    .toLowerCase();
}

function lengthReading(body: string, defaultUnit: LengthUnit): DecimalReading {
  const one = ONE_QUANTITY.exec(body);
  if (one) {
    const unit = one[2] === undefined ? defaultUnit : UNIT_BY_WORD.get(one[2]);
    if (!unit) return { kind: 'not-a-number' };
    return scaled(quantityReading(itemAt(one, 1), unit), MM_PER_UNIT[unit]);
  }
  const both = FEET_AND_INCHES.exec(body);
  const isFeet = both && UNIT_BY_WORD.get(itemAt(both, 2)) === 'ft';
  const isInches = both && (both[4] === undefined || UNIT_BY_WORD.get(both[4]) === 'in');
  // Feet followed by inches must be whole: 3.5' 6" is a typing error.
  if (!isFeet || !isInches || !/^\d+$/.test(itemAt(both, 1))) return { kind: 'not-a-number' };
  const inches = scaled(quantityReading(itemAt(both, 3), 'in'), MM_PER_INCH);
  if (inches.kind !== 'number') return inches;
  return { kind: 'number', value: Number(both[1]) * MM_PER_FOOT + inches.value };
}

function quantityReading(text: string, unit: LengthUnit): DecimalReading {
  const fraction = /^(?:(\d+)[ -]+)?(\d+) ?\/ ?(\d+)$/.exec(text);
  if (!fraction) return decimalFromText(text, unit === 'mm');
  const [whole, above, below] = [Number(fraction[1] ?? 0), Number(fraction[2]), Number(fraction[3])];
  return below === 0 ? { kind: 'not-a-number' } : { kind: 'number', value: whole + above / below };
}

const scaled = (reading: DecimalReading, factor: number): DecimalReading =>
  reading.kind === 'number' ? { kind: 'number', value: reading.value * factor } : reading;

const exampleOf = (unit: LengthUnit): string =>
  ({ mm: '1370 mm', cm: '137 cm', m: '1.37 m', in: '54 in', ft: `4' 6"` })[unit];

const shortened = (text: string): string => (text.length > 40 ? `${text.slice(0, 39)}…` : text);

const lengthProblem = (code: LengthProblemCode, message: string, remedy: string) =>
  resultProblem<Problem<LengthProblemCode>>({ code, message, remedy });
