/** The part of fontkit that the lettering needs; the package brings no types. */
declare module 'fontkit' {
  export interface Glyph {
    readonly id: number;
    readonly advanceWidth: number;
    readonly codePoints: readonly number[];
    /** A composed glyph names the glyphs that it is composed of; null for one without ink. */
    _decode(): { readonly components?: readonly { readonly glyphID: number }[] } | null;
    readonly path: {
      readonly commands: readonly { readonly command: string; readonly args: readonly number[] }[];
    };
  }

  export interface GlyphRun {
    readonly glyphs: readonly Glyph[];
    readonly positions: readonly { readonly xAdvance: number }[];
    readonly advanceWidth: number;
    readonly bbox: {
      readonly minX: number;
      readonly minY: number;
      readonly maxX: number;
      readonly maxY: number;
    };
  }

  export interface Subset {
    includeGlyph(glyph: Glyph | number): number;
    encode(): Uint8Array;
  }

  export interface Font {
    readonly postscriptName: string;
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
    layout(text: string): GlyphRun;
    getGlyph(id: number): Glyph;
    createSubset(): Subset;
  }

  export function create(bytes: Uint8Array): Font;
}
