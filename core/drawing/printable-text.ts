/**
 * Makes typed text fit for a line of print: names pasted from order forms may contain tabs, line breaks, invisible
 * marks and similar characters.
 */
import { codePointOf } from '../measure/present.ts';

const REPLACEMENT = '\u25a1';

/** Most combining marks on a letter; more would climb over the lines above. */
const MAX_MARKS_ON_A_LETTER = 2;

export interface PrintableText {
  readonly text: string;
  /** Characters that no font can draw; a box replaces them. */
  readonly missing: readonly string[];
}

/**
 * One line: white space and control characters become single spaces, invisible format characters are removed,
 * characters without a glyph become □ and are listed in `missing`.
 */
export function printableText(text: string, hasGlyph: (codePoint: number) => boolean): PrintableText {
  const missing = new Set<string>();
  const replacement = hasGlyph(codePointOf(REPLACEMENT)) ? REPLACEMENT : '?';
  const oneLine = text
    .normalize('NFC')
    .replace(/[\p{Cf}\p{Variation_Selector}]/gu, '')
    .replace(/[\s\p{Cc}]+/gu, ' ')
    .trim();
  let marks = 0;
  let out = '';
  for (const character of oneLine) {
    marks = /\p{M}/u.test(character) ? marks + 1 : 0;
    if (marks > MAX_MARKS_ON_A_LETTER) continue;
    // Private-use and unassigned code points are not text, even where a font has a glyph for them.
    const isDrawn = !/[\p{Co}\p{Cn}\p{Cs}]/u.test(character) && hasGlyph(codePointOf(character));
    if (!isDrawn) missing.add(character);
    out += isDrawn ? character : replacement;
  }
  return { text: out, missing: [...missing] };
}

export interface DirectedText {
  readonly text: string;
  readonly isRightToLeft: boolean;
}

const RIGHT_TO_LEFT =
  /[\p{Script=Hebrew}\p{Script=Arabic}\p{Script=Syriac}\p{Script=Thaana}\p{Script=Nko}\p{Script=Samaritan}\p{Script=Mandaic}]/u;
const LEFT_TO_RIGHT = /[\p{L}\p{N}]/u;

const MIRRORED: Readonly<Record<string, string>> = {
  '(': ')',
  ')': '(',
  '[': ']',
  ']': '[',
  '{': '}',
  '}': '{',
  '<': '>',
  '>': '<',
  '«': '»',
  '»': '«',
};

/** True: right to left. Undefined: a sign that follows the text around it. */
type Direction = boolean | undefined;

/**
 * Divides a line into stretches of one direction, in visual order. It implements the part of the bidirectional
 * algorithm (UAX #9) that single names need: one level; the first letter sets the direction of the line; both brackets
 * of a pair have one direction (N0); signs between two stretches take their direction where both agree, else that of
 * the line (N1, N2).
 */
export function directedTexts(line: string): DirectedText[] {
  const characters = [...line];
  if (!characters.some((c) => RIGHT_TO_LEFT.test(c)))
    return line ? [{ text: line, isRightToLeft: false }] : [];
  const strong = characters.map(
    (c): Direction => (RIGHT_TO_LEFT.test(c) ? true : LEFT_TO_RIGHT.test(c) ? false : undefined),
  );
  const base = strong.find((direction) => direction !== undefined) ?? false;
  directBrackets(characters, strong, base);
  const resolved = signsDirected(strong, base);

  const stretches: { text: string; isRightToLeft: boolean }[] = [];
  for (const [index, character] of characters.entries()) {
    const isRightToLeft = resolved[index] === true;
    const drawn = isRightToLeft ? (MIRRORED[character] ?? character) : character;
    const last = stretches.at(-1);
    if (last && last.isRightToLeft === isRightToLeft) last.text += drawn;
    else stretches.push({ text: drawn, isRightToLeft });
  }
  const inOrder = base ? stretches.reverse() : stretches;
  // A font reverses letters, but knows no direction for signs alone.
  return inOrder.map((stretch) =>
    stretch.isRightToLeft && !RIGHT_TO_LEFT.test(stretch.text)
      ? { text: [...stretch.text].reverse().join(''), isRightToLeft: false }
      : stretch,
  );
}

/**
 * Gives both brackets of a pair one direction: that of the line, unless the text inside and before them has the other
 * one.
 */
function directBrackets(characters: readonly string[], strong: Direction[], base: boolean): void {
  const open: { closing: string; index: number }[] = [];
  for (const [index, character] of characters.entries()) {
    const closing = '([{'.includes(character) ? MIRRORED[character] : undefined;
    if (closing) open.push({ closing, index });
    if (!')]}'.includes(character)) continue;
    const pair = open.findLast(({ closing }) => closing === character);
    if (!pair) continue;
    open.length = open.indexOf(pair);
    const inside = strong.slice(pair.index + 1, index).filter((direction) => direction !== undefined);
    if (inside.length === 0) continue;
    const before = strong.slice(0, pair.index).findLast((direction) => direction !== undefined) ?? base;
    const direction = inside.includes(base) ? base : before;
    strong[pair.index] = direction;
    strong[index] = direction;
  }
}

function signsDirected(strong: readonly Direction[], base: boolean): boolean[] {
  let before = base;
  return strong.map((own, index) => {
    if (own !== undefined) {
      before = own;
      return own;
    }
    const after = strong.slice(index).find((direction) => direction !== undefined) ?? base;
    return before === after ? before : base;
  });
}

export const isRightToLeftLetter = (character: string): boolean => RIGHT_TO_LEFT.test(character);
