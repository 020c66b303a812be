/** Fonts as far as placing text asks: how strings split into glyphs, how wide those are, how high they reach. */
import type { PDFDict, PDFStream } from 'pdf-lib';
import type { Matrix, SourceBox } from '../page/page-space.ts';

/** One glyph of a string. Lengths are in ems: 1 is the font size. */
export interface GlyphCode {
  readonly code: number;
  readonly advance: number;
  /** Whether word spacing (Tw) applies: the single byte 32. */
  readonly isWordSpace: boolean;
}

export interface Font {
  readonly name: string;
  /** Whether the file brings the font's program along. The glyphs of a Type 3 font always are in the file. */
  readonly isEmbedded: boolean;
  readonly isVertical: boolean;
  /** Around any glyph set at the origin, ems; generous where the font does not say. */
  readonly box: SourceBox;
  /** Top and bottom of a line of text, ems; bottom is negative. */
  readonly ascent: number;
  readonly descent: number;
  glyphs(string: Uint8Array): GlyphCode[];
  /** Unicode of a code, where the font or its encoding says so. */
  text(code: number): string | undefined;
  readonly type3: Type3Glyphs | undefined;
}

/** A Type 3 font's glyphs are content streams, ISO 32000-1, 9.6.5. */
export interface Type3Glyphs {
  readonly matrix: Matrix;
  readonly resources: PDFDict | undefined;
  procedure(code: number): Promise<PDFStream | undefined>;
}
