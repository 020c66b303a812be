/// <reference path="./fontkit.d.ts" />
import { create } from 'fontkit';

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
  layout(
    text: string,
    features?: Readonly<Record<string, boolean>>,
  ): { readonly glyphs: readonly FontGlyph[] };
  createSubset(): FontSubset;
}

export interface FontGlyph {
  readonly id: number;
  readonly advanceWidth: number;
  readonly codePoints: readonly number[];
}

export interface FontSubset {
  /** The glyph's number in the subset. */
  includeGlyph(glyph: FontGlyph): number;
  encode(): Uint8Array;
}

/** A font takes tens of milliseconds to open and keeps the tables that it has read: one serves every document. */
const opened = new WeakMap<Uint8Array, FontFace>();

/** Throws where the bytes are no font: fonts ship with the program. The bytes must stay as they are. */
export function fontFaceFromBytes(bytes: Uint8Array): FontFace {
  const known = opened.get(bytes);
  if (known) return known;
  const font: unknown = create(bytes);
  opened.set(bytes, font as FontFace);
  return font as FontFace;
}
