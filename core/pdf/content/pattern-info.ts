import type { PDFObject, PDFRef } from 'pdf-lib';
import type { Matrix } from '../page/page-space.ts';
import type { ColourSpace } from './colour-space.ts';

/** A pattern that is set as a colour. */
export interface PatternInfo {
  readonly kind: 'tiling' | 'shading';
  readonly object: PDFObject;
  readonly ref: PDFRef | undefined;
  readonly matrix: Matrix;
  /** Of a shading; a tiling pattern's colours are in its cell. */
  readonly space: ColourSpace | undefined;
  /** A tiling pattern of PaintType 2 takes the colour that is set with it. */
  readonly isUncoloured: boolean;
}
