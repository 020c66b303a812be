import type { PDFObject, PDFRef } from 'pdf-lib';
import type { Matrix } from '../page/page-space.ts';
import type { ColorSpace } from './color-space.ts';

/** A pattern that is set as a color. */
export interface PatternInfo {
  readonly kind: 'tiling' | 'shading';
  readonly object: PDFObject;
  readonly ref: PDFRef | undefined;
  readonly matrix: Matrix;
  /** The space of a shading; a tiling pattern's colors are in its cell. */
  readonly space: ColorSpace | undefined;
  /** A tiling pattern of PaintType 2 takes the color that is set with it. */
  readonly isUncolored: boolean;
}
