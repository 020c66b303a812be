/**
 * Reads scales and lengths as drawings state them in words: `SCALE 1:10` (ISO 5455), `1/2" = 1'-0"` as on an
 * architect's scale, `6,000 × 2,100 mm`, `20'-6"`, and the bare number of millimeters that ISO 129-1 requires on a
 * dimension line.
 */

import { itemAt } from '../measure/present.ts';
import { MM_PER_FOOT, MM_PER_INCH, type Mm } from '../measure/units.ts';
import { plainDashes } from './plain-dashes.ts';

const MAX_SCALE = 200;

/** `Scale 1:10`, `drawn at 1:20`, `M 1:5`, and `1:10` without other words. */
const NAMED_RATIO =
  /(?:\bscale\b|\bdrawn(?:\s+(?:at|to))?\b|^\s*m\b)\D{0,12}1\s*[:∶/]\s*(\d{1,3}(?:[.,]\d+)?)(?![\d:])/i;
const BARE_RATIO = /^\s*\(?1\s*[:∶]\s*(\d{1,3}(?:[.,]\d+)?)\)?\s*$/;
/** `1/10 scale`, `1/10th scale`. */
const SHARE_SCALE = /\b1\s*\/\s*(\d{1,3})(?:st|nd|rd|th)?[\s-]+scale\b/i;
/** `10 % of full size`, `10% scale`. */
const PERCENT = /(\d{1,3}(?:[.,]\d+)?)\s*%\s*(?:scale\b|of\s+(?:(?:full|true|finished|actual)\s+)?size\b)/i;
const FULL_SIZE = /\bscale\W{0,4}full(?:\s+size)?\b|^\s*full\s+(?:size|scale)\s*$/i;

/** The scale that a text states, as finished size ÷ drawn size; undefined where it states none. */
export function scaleStated(text: string): number | undefined {
  const ratio = NAMED_RATIO.exec(text) ?? BARE_RATIO.exec(text) ?? SHARE_SCALE.exec(text);
  if (ratio) return usableScale(decimal(itemAt(ratio, 1)));
  const percent = PERCENT.exec(text);
  if (percent) return usableScale(100 / decimal(itemAt(percent, 1)));
  if (FULL_SIZE.test(text)) return 1;
  return equationScale(text);
}

const usableScale = (scale: number): number | undefined =>
  scale >= 1 && scale <= MAX_SCALE ? scale : undefined;

const decimal = (digits: string): number => Number(digits.replace(',', '.'));

/** `1/2" = 1'-0"` is 24, `1" = 10"` is 10, `1 cm = 20 cm` is 20. */
function equationScale(text: string): number | undefined {
  const [left, right, ...more] = text.split('=');
  if (left === undefined || right === undefined || more.length > 0) return undefined;
  const drawn = lengthsStated(left).at(-1);
  const finished = lengthsStated(right)[0];
  if (!drawn?.isUnitGiven || !finished?.isUnitGiven || drawn.mm <= 0) return undefined;
  return usableScale(Math.round((finished.mm / drawn.mm) * 1e6) / 1e6);
}

export interface StatedLength {
  readonly mm: Mm;
  /** If false, millimeters are assumed. */
  readonly isUnitGiven: boolean;
}

const UNITS_MM = { mm: 1, cm: 10, m: 1000, in: MM_PER_INCH, ft: MM_PER_FOOT } as const;
type Unit = keyof typeof UNITS_MM;

/** A number with grouped digits, or with a decimal mark. */
const NUMBER = String.raw`\d{1,3}(?:[,.\s\u00a0\u202f]\d{3})+(?:[.,]\d+)?|\d+(?:[.,]\d+)?`;
const FRACTION = String.raw`\d+\s*[/⁄]\s*\d+`;
const INCHES = String.raw`(?:(\d+(?:\.\d+)?)(?:[\s-]+(${FRACTION}))?|(${FRACTION}))\s*"`;
const FEET_INCHES = new RegExp(String.raw`(\d+(?:\.\d+)?)\s*'(?:\s*-?\s*${INCHES})?`, 'g');
const INCHES_ALONE = new RegExp(INCHES, 'g');
const METRIC = new RegExp(String.raw`(${NUMBER})(?:\s*(mm|cm|m)\b)?`, 'gi');
const BARE_LENGTH = new RegExp(String.raw`^\s*[LWHB]?\s*=?\s*(${NUMBER})\s*$`, 'i');
const SIZE = new RegExp(
  String.raw`(?:^|[^\d.,])(${NUMBER})\s*(mm|cm|m)?\s*[x×]\s*(${NUMBER})\s*(mm|cm|m)?(?![\w.,]*\d)`,
  'i',
);

/** Replaces the various signs and words for feet and inches by the plain signs. */
const withSigns = (text: string): string =>
  plainDashes(text)
    .replaceAll(/[″”“]|''|\s*\b(?:inch(?:es)?|in)\b\.?/gi, '"')
    .replaceAll(/[′’]|\s*\b(?:foot|feet|ft)\b\.?/gi, "'");

/** All lengths in a text, in order; two for `6,000 × 2,100 mm`. */
export function lengthsStated(text: string): readonly StatedLength[] {
  const signed = withSigns(text);
  if (/["']/.test(signed)) return imperialLengths(signed);
  const size = SIZE.exec(text);
  if (size) {
    const [, first = '', unitOfFirst, second = '', unitOfSecond] = size;
    const unit = unitOfSecond ?? unitOfFirst;
    return [metricLength(first, unitOfFirst ?? unit), metricLength(second, unitOfSecond ?? unit)];
  }
  const bare = BARE_LENGTH.exec(text);
  if (bare) return [metricLength(itemAt(bare, 1), undefined)];
  return [...text.matchAll(METRIC)]
    .filter(([, , unit]) => unit !== undefined)
    .map(([, digits = '', unit]) => metricLength(digits, unit));
}

function metricLength(digits: string, unit: string | undefined): StatedLength {
  const name = (unit?.toLowerCase() ?? 'mm') as Unit;
  return { mm: numberFrom(digits, name) * UNITS_MM[name], isUnitGiven: unit !== undefined };
}

/** `6,000 mm` and `6.000 mm` are six thousand; in meters, three digits after the mark are decimals. */
function numberFrom(digits: string, unit: Unit): number {
  const isGrouped = /^\d{1,3}(?:[,.\s\u00a0\u202f]\d{3})+/.test(digits) && unit !== 'm';
  if (!isGrouped) return decimal(digits.replaceAll(/[\s\u00a0\u202f]/g, ''));
  const [, whole = '', decimals = '0'] = /^(.*?\d{3})(?:[.,](\d{1,2}|\d{4,}))?$/.exec(digits) ?? [];
  return Number(`${whole.replaceAll(/\D/g, '')}.${decimals}`);
}

function imperialLengths(signed: string): readonly StatedLength[] {
  const found = signed.includes("'") ? [...signed.matchAll(FEET_INCHES)] : [];
  if (found.length > 0) {
    return found.map(([, feet, inches, fraction, fractionAlone]) => ({
      mm: Number(feet) * MM_PER_FOOT + inchesFrom(inches, fraction ?? fractionAlone) * MM_PER_INCH,
      isUnitGiven: true,
    }));
  }
  return [...signed.matchAll(INCHES_ALONE)].map(([, inches, fraction, fractionAlone]) => ({
    mm: inchesFrom(inches, fraction ?? fractionAlone) * MM_PER_INCH,
    isUnitGiven: true,
  }));
}

function inchesFrom(whole: string | undefined, fraction: string | undefined): number {
  const [above = '0', below = '1'] = fraction?.split(/[/⁄]/) ?? [];
  return Number(whole ?? 0) + (Number(below) > 0 ? Number(above) / Number(below) : 0);
}
