import type { PDFRef, PDFStream } from 'pdf-lib';
import type { SourceBox } from '../page/page-space.ts';

/** The content stream that an operator is in. */
export interface ContentLevel {
  /**
   * Why it is walked. Pattern cells, soft masks and glyphs are "by proxy": they paint where another object uses them.
   */
  readonly kind: 'page' | 'form' | 'pattern' | 'soft-mask' | 'glyph';
  /** Undefined for the page's own content. */
  readonly stream: PDFStream | undefined;
  readonly ref: PDFRef | undefined;
  readonly parent: ContentLevel | undefined;
  readonly depth: number;
  /** Whether this or anything around it is a pattern cell, soft mask or glyph. */
  readonly isByProxy: boolean;
  /** For content by proxy: the first place where it shows, that of the object with the pattern, text or mask. */
  readonly area: SourceBox | undefined;
}
