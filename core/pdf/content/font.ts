/** The facts about fonts that placing text needs: how strings split into glyphs, and how wide and high those are. */
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
  /** Whether the font program is in the file. The glyphs of a Type 3 font always are. */
  readonly isEmbedded: boolean;
  readonly isVertical: boolean;
  /** The box around any glyph set at the origin, in ems; generous where the font does not state it. */
  readonly box: SourceBox;
  /** Top and bottom of a line of text, in ems; bottom is negative. */
  readonly ascent: number;
  readonly descent: number;
  glyphs(string: Uint8Array): GlyphCode[];
  /** Unicode text of a code, where the font or its encoding states it. */
  text(code: number): string | undefined;
  readonly type3: Type3Glyphs | undefined;
}

/** A Type 3 font's glyphs are content streams, ISO 32000-1, 9.6.5. */
export interface Type3Glyphs {
  readonly matrix: Matrix;
  readonly resources: PDFDict | undefined;
  procedure(code: number): Promise<PDFStream | undefined>;
}
