import { MM_PER_FOOT, MM_PER_INCH, type Mm } from './units.ts';

/** The format of a length; inches are in sixteenths, as on a tape. */
export type LengthFormat = 'mm' | 'cm' | 'm' | 'in' | 'ft' | 'ft-in';

const SIXTEENTHS = 16;
const NO_BREAK = '\u00a0';

const DECIMAL_FORMATS = {
  mm: { unitMm: 1, decimals: 1, suffix: ' mm' },
  cm: { unitMm: 10, decimals: 2, suffix: ' cm' },
  m: { unitMm: 1000, decimals: 3, suffix: ' m' },
  ft: { unitMm: MM_PER_FOOT, decimals: 3, suffix: ' ft' },
} as const;

/**
 * Writes a length: `1371.6 mm`, `54 1/2 in`, `3' 6 1/2"`. The decimal mark is a point and digits are never grouped, so
 * that the text can be typed back everywhere. Spaces within inches are no-break spaces. Throws where `mm` is not
 * finite, so that it never reaches a screen. Keeps LEN1.
 */
export function lengthText(mm: Mm, format: LengthFormat): string {
  if (!Number.isFinite(mm)) throw new RangeError(`a length of ${mm} mm cannot be shown`);
  if (format === 'in') return signed(mm, (length) => `${inchesText(sixteenthsOf(length))}${NO_BREAK}in`);
  if (format === 'ft-in') return signed(mm, (length) => feetInchesText(sixteenthsOf(length)));
  const { unitMm, decimals, suffix } = DECIMAL_FORMATS[format];
  return signed(mm, (length) => decimalText(length / unitMm, decimals) + suffix);
}

/** A length this near to a sixteenth counts as one. */
const SIXTEENTH_SLACK_MM = 0.02;

/**
 * A length in an edit field: like `lengthText`, but `0.591 in` where sixteenths cannot express it, so that a field
 * always shows the stored length.
 */
export function typedLengthText(mm: Mm, format: LengthFormat): string {
  const off = Math.abs(mm - (Math.round((mm / MM_PER_INCH) * SIXTEENTHS) / SIXTEENTHS) * MM_PER_INCH);
  if (format !== 'in' || off <= SIXTEENTH_SLACK_MM) return lengthText(mm, format);
  return `${decimalText(mm / MM_PER_INCH, 3)}${NO_BREAK}in`;
}

/** A number with at most `decimals` places, without trailing zeros and never `-0`. */
export function decimalText(value: number, decimals: number): string {
  // The small addition rounds halves that binary cannot hold (1.005) as people expect.
  const nudged = value + Math.sign(value) * Math.abs(value) * Number.EPSILON;
  const fixed = nudged.toFixed(decimals);
  const trimmed = fixed.includes('.') ? fixed.replace(/\.?0+$/, '') : fixed;
  return trimmed === '-0' ? '0' : trimmed;
}

function signed(mm: Mm, textOf: (length: Mm) => string): string {
  const text = textOf(Math.abs(mm));
  const isZero = !/[1-9]/.test(text.replace(/\/16|\/8|\/4|\/2/, ''));
  return mm < 0 && !isZero ? `-${text}` : text;
}

const sixteenthsOf = (length: Mm): number => Math.round((length / MM_PER_INCH) * SIXTEENTHS);

/** `54 1/2`, `7/16`, `0`: whole inches and the fraction in lowest terms. */
function inchesText(sixteenths: number): string {
  const whole = Math.floor(sixteenths / SIXTEENTHS);
  let [above, below] = [sixteenths % SIXTEENTHS, SIXTEENTHS];
  if (above === 0) return String(whole);
  while (above % 2 === 0) [above, below] = [above / 2, below / 2];
  return whole === 0 ? `${above}/${below}` : `${whole}${NO_BREAK}${above}/${below}`;
}

function feetInchesText(sixteenths: number): string {
  const perFoot = 12 * SIXTEENTHS;
  const feet = Math.floor(sixteenths / perFoot);
  const inches = `${inchesText(sixteenths % perFoot)}"`;
  return feet === 0 ? inches : `${feet}'${NO_BREAK}${inches}`;
}
