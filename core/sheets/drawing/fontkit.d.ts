/** The little of fontkit that is used here; the package brings no types of its own. */
declare module 'fontkit' {
  export interface FontkitGlyph {
    readonly id: number;
    readonly advanceWidth: number;
    readonly codePoints: number[];
    readonly path: { readonly commands: readonly FontkitPathCommand[] };
  }
  export interface FontkitPathCommand {
    readonly command: 'moveTo' | 'lineTo' | 'quadraticCurveTo' | 'bezierCurveTo' | 'closePath';
    /** In font units, y up. */
    readonly args: readonly number[];
  }
  export interface FontkitFont {
    readonly postscriptName: string | null;
    readonly unitsPerEm: number;
    hasGlyphForCodePoint(codePoint: number): boolean;
    glyphForCodePoint(codePoint: number): FontkitGlyph;
    layout(text: string, features?: Record<string, boolean>): { glyphs: FontkitGlyph[] };
  }
  export function create(bytes: Uint8Array, postscriptName?: string): FontkitFont & import('pdf-lib').Font;
}
