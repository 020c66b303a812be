import type { Rect } from '../../core/measure/rect.ts';
import { ptFromMm } from '../../core/measure/units.ts';
import type { PageArea } from '../render/pdfium.ts';

/**
 * From drawn mm to points of the page as PDFium shows it: its origin is the corner of the CropBox, and it knows
 * no UserUnit. `crop` is the CropBox in drawn mm.
 */
export function pageArea(window: Rect<'drawn'>, crop: Rect<'drawn'>, userUnit: number): PageArea {
  const units = (mm: number) => ptFromMm(mm) / userUnit;
  return {
    xPt: units(window.x - crop.x),
    yPt: units(window.y - crop.y),
    widthPt: units(window.width),
    heightPt: units(window.height),
  };
}
