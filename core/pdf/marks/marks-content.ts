import type { FontLibrary } from '../../sheets/drawing/font-library.ts';
import { outlinedContentFromDrawing } from '../../sheets/drawing/outlined-content.ts';
import type { PanelMarks } from './panel-marks.ts';

/**
 * The marks as content operators that need no resources: black of the K plate alone, letters as outlines.
 * Unit: points at film size, origin at the film's bottom left; a reduction puts a `cm` before it.
 */
export const panelMarksContent = (marks: PanelMarks, fonts: FontLibrary): string =>
  outlinedContentFromDrawing(marks.drawing, 'black-plate', fonts);
