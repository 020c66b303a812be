import type { PDFRef, PDFStream } from 'pdf-lib';
import type { SourceBox } from '../page/page-space.ts';

/** The content stream that an operator is in. */
export interface ContentLevel {
  /** How it came to be walked; pattern cells, soft masks and glyphs paint by proxy, not where they stand. */
  readonly kind: 'page' | 'form' | 'pattern' | 'soft-mask' | 'glyph';
  /** Undefined for the page's own content. */
  readonly stream: PDFStream | undefined;
  readonly ref: PDFRef | undefined;
  readonly parent: ContentLevel | undefined;
  readonly depth: number;
  /** Whether this or anything around it is a pattern cell, soft mask or glyph. */
  readonly isByProxy: boolean;
  /** Where content by proxy shows for the first time: the object that has the pattern, text or mask. */
  readonly area: SourceBox | undefined;
}
