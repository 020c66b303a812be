/// <reference path="./fontkit.d.ts" />
import { create } from 'fontkit';
import { codePointOf } from '../measure/present.ts';

/** The part of fontkit that sheets and marks use. Lengths are font units, y up. */
export interface FontFace {
  readonly postscriptName: string | null;
  readonly unitsPerEm: number;
  readonly ascent: number;
  readonly descent: number;
  readonly capHeight: number;
  readonly bbox: {
    readonly minX: number;
    readonly minY: number;
    readonly maxX: number;
    readonly maxY: number;
  };
  hasGlyphForCodePoint(codePoint: number): boolean;
  glyphForCodePoint(codePoint: number): FontGlyph;
  layout(
    text: string,
    features?: Readonly<Record<string, boolean>>,
  ): { readonly glyphs: readonly FontGlyph[] };
  createSubset(): FontSubset;
}

export interface FontGlyph {
  readonly id: number;
  readonly advanceWidth: number;
  /**
   * Characters for which the glyph was first requested since the font was opened, possibly by another document: another
   * sign, or none for part of one.
   */
  readonly codePoints: readonly number[];
  /** Its outline. */
  readonly path: {
    readonly commands: readonly {
      readonly command: 'moveTo' | 'lineTo' | 'quadraticCurveTo' | 'bezierCurveTo' | 'closePath';
      readonly args: readonly number[];
    }[];
  };
}

export interface FontSubset {
  /** Returns the glyph's number in the subset. */
  includeGlyph(glyph: FontGlyph): number;
  encode(): Uint8Array;
}

/** A font takes tens of milliseconds to open and caches its tables, so one instance serves every document. */
const opened = new WeakMap<Uint8Array, FontFace>();

/** Ligatures are off, so that a width is the sum of its characters and text can be read back as typed. */
const FEATURES = { liga: false, clig: false, dlig: false, calt: false } as const;

/**
 * Latin, Greek, Cyrillic and signs, without combining marks, direction and join controls (soft hyphen, U+202A, U+2060)
 * and ǹ, which fonts decompose: one glyph per character, whatever its neighbors.
 */
const SIMPLE_TEXT =
  /^[\u0020-\u00ac\u00ae-\u01f8\u01fa-\u02ff\u0370-\u0482\u048a-\u058f\u2010-\u2029\u202f-\u205f\u2070-\u22ff\u25a1]*$/u;

export const isSimpleText = (text: string): boolean => SIMPLE_TEXT.test(text);

/** From left to right. Characters with separate glyphs are looked up; other scripts join and change. */
export const glyphsOfText = (font: FontFace, text: string): readonly FontGlyph[] =>
  isSimpleText(text)
    ? Array.from(text, (character) => font.glyphForCodePoint(codePointOf(character)))
    : shapedGlyphs(font, text);

/**
 * Shaped by the font's rules for the script of the text. The layout adds the script's features to the list that it
 * receives, so it gets a copy.
 */
export const shapedGlyphs = (font: FontFace, text: string): readonly FontGlyph[] =>
  font.layout(text, { ...FEATURES }).glyphs;

/** Throws where the bytes are not a font, because fonts ship with the program. The bytes must not change afterwards. */
export function fontFaceFromBytes(bytes: Uint8Array): FontFace {
  const known = opened.get(bytes);
  if (known) return known;
  const font: unknown = create(bytes);
  opened.set(bytes, font as FontFace);
  return font as FontFace;
}
