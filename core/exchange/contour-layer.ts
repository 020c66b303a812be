/** The cut contours of a panel as a layer of its file, for shops whose cutter reads them there. */
import type { MarksPainter } from '../cut/marks/marks-painter.ts';
import { numberText } from '../drawing/pdf-content.ts';
import {
  CONTOUR_LINE_MM,
  CONTOUR_SETTINGS,
  CUTTING_STEP,
  contourInkResources,
  pathOperators,
} from './contour-pdf.ts';
import type { Contours } from './contours.ts';

/** One layer for outline and openings, so that panels on one strip of a roll have the same layers. Keeps CC2. */
export function contourLayer({ heightMm, paths }: Contours, ink: string): MarksPainter {
  const lines = paths.map((path) => pathOperators(path, heightMm, 1));
  const operators = [CONTOUR_SETTINGS, `${numberText(CONTOUR_LINE_MM)} w`, ...lines].join('\n');
  return {
    layer: 'Cut contours',
    layerEntries: CUTTING_STEP,
    key: JSON.stringify([ink, operators]),
    draw: (context) => ({ operators, resources: context.obj(contourInkResources(context, ink)) }),
  };
}
