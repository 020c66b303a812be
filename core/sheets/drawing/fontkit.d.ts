/** The little of fontkit that is used here; the package brings no types of its own. */
declare module 'fontkit' {
  export interface FontkitGlyph {
    readonly id: number;
    readonly advanceWidth: number;
    readonly codePoints: number[];
  }
  export interface FontkitSubset {
    /** The glyph's number in the subset. */
    includeGlyph(glyph: FontkitGlyph): number;
    encode(): Uint8Array;
  }
  export interface FontkitFont {
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
    ): { readonly glyphs: readonly FontkitGlyph[] };
    createSubset(): FontkitSubset;
  }
  export function create(bytes: Uint8Array): FontkitFont;
}
