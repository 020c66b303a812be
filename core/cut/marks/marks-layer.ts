import { PDFDict } from 'pdf-lib';
import { embeddedFaces } from '../../drawing/embedded-faces.ts';
import type { FontLibrary } from '../../drawing/font-library.ts';
import { type BlackKind, contentFromDrawing } from '../../drawing/pdf-content.ts';
import type { MarksPainter } from './marks-painter.ts';
import { omittedSentence } from './omitted-marks.ts';
import type { PanelMarks } from './panel-marks.ts';

/** Black on the K plate only: a gray could be built from four inks, and would then show the press's misregister. */
const BLACK: BlackKind = 'black-plate';

/** The name of the marks' layer, as the RIP operator sees it. */
export const MARKS_LAYER = 'Panel marks';

/**
 * The marks in the form that the cut takes: operators in film millimeters, y up from the bottom left, with subset
 * fonts, so that a label can be searched and read back. No overprint, no transparency, no picture. Keeps MK8.
 */
export function marksLayer(marks: PanelMarks, fonts: FontLibrary): MarksPainter {
  const { drawing, omitted } = marks;
  return {
    layer: MARKS_LAYER,
    key: JSON.stringify(drawing),
    notes: omitted.length > 0 ? [omittedSentence(omitted)] : [],
    draw(context) {
      const faces = embeddedFaces(context, [drawing], fonts);
      const fontNames = PDFDict.withContext(context);
      const operators = contentFromDrawing(drawing, 'mm', BLACK, {
        text: (item, units) => faces.text(item, units, fontNames),
        square: ({ kind }) => {
          throw new Error(`marks cannot hold a ${kind}`);
        },
        veil: () => {
          throw new Error('marks cannot hold a faint picture');
        },
      });
      faces.finish();
      const resources = context.obj({ Font: fontNames });
      return { operators, resources };
    },
  };
}
