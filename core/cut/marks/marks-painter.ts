import type { PDFContext, PDFDict } from 'pdf-lib';
import type { Mm } from '../../measure/units.ts';

/** Draws labels and marks, or cut contours, for the cut. They get their own layer, above the art. */
export interface MarksPainter {
  /** Name of the layer, for the RIP operator. */
  readonly layer: string;
  /** Other entries of the layer's dictionary. */
  readonly layerEntries?: Readonly<Record<string, LayerEntry>>;
  /** Everything that decides how the marks look, so that other marks give another file identifier. */
  readonly key: string;
  /** Sentences about marks that had to be left out. */
  readonly notes?: readonly string[];
  /**
   * Draws the marks. Coordinates are film millimeters with y up from the bottom left corner of the film, so text is
   * upright. Fonts and other objects are registered in `context`.
   */
  draw(context: PDFContext, film: { readonly widthMm: Mm; readonly heightMm: Mm }): MarksContent;
}

type LayerEntry = Readonly<Record<string, string>>;

export interface MarksContent {
  /** Content stream operators. */
  readonly operators: string | Uint8Array;
  readonly resources: PDFDict;
}
