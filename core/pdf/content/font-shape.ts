import { type PDFDict, PDFName, type PDFObject } from 'pdf-lib';
import { arrayOf, numberOf } from '../file/dict-values.ts';
import type { PdfObjects } from '../file/pdf-objects.ts';
import type { Matrix, SourceBox } from '../page/page-space.ts';
import { numbersOf } from './object-numbers.ts';

const DEFAULT_BOX: SourceBox = { x0: -0.2, y0: -0.35, x1: 1.2, y1: 1.1 };

export interface FontShape {
  readonly box: SourceBox;
  readonly ascent: number;
  readonly descent: number;
}

/** Height and extents from the descriptor; values that no real font has are replaced by usual ones. */
export async function fontShape(
  descriptor: PDFDict | undefined,
  objects: PdfObjects,
  fallbackBox?: readonly number[],
): Promise<FontShape> {
  const get = (key: string) => objects.resolved(descriptor?.get(PDFName.of(key)));
  const stated = (await numbersOf(arrayOf(await get('FontBBox')), objects)) ?? fallbackBox ?? [];
  const [x0 = 0, y0 = 0, x1 = 0, y1 = 0] = stated.map((value) => value / 1000);
  // A wrong box is usually empty or tiny, so a stated box never makes the usual one smaller.
  const box = {
    x0: Math.min(x0, x1, DEFAULT_BOX.x0),
    y0: Math.min(y0, y1, DEFAULT_BOX.y0),
    x1: Math.max(x0, x1, DEFAULT_BOX.x1),
    y1: Math.max(y0, y1, DEFAULT_BOX.y1),
  };
  const ascent = (numberOf(await get('Ascent')) ?? 0) / 1000;
  const descent = -Math.abs((numberOf(await get('Descent')) ?? 0) / 1000);
  const isUsual = (value: number, low: number, high: number) => value >= low && value <= high;
  return {
    box,
    ascent: isUsual(ascent, 0.3, 1.6) ? ascent : isUsual(y1, 0.3, 1.6) ? y1 : 0.75,
    descent: isUsual(descent, -0.8, -0.01) ? descent : isUsual(y0, -0.8, -0.01) ? y0 : -0.25,
  };
}

/** Whether a font descriptor refers to a font program, Table 126. */
export const isProgramPresent = (descriptor: PDFDict | undefined): boolean =>
  ['FontFile', 'FontFile2', 'FontFile3'].some((key) => descriptor?.has(PDFName.of(key)));

export async function type3Shape(
  object: PDFObject | undefined,
  matrix: Matrix,
  objects: PdfObjects,
): Promise<FontShape> {
  const [x0 = 0, y0 = 0, x1 = 0, y1 = 0] = (await numbersOf(arrayOf(object), objects)) ?? [];
  const xs = [x0 * matrix[0], x1 * matrix[0]];
  const ys = [y0 * matrix[3], y1 * matrix[3]];
  const box = { x0: Math.min(...xs), y0: Math.min(...ys), x1: Math.max(...xs), y1: Math.max(...ys) };
  const isStated = box.x1 > box.x0 && box.y1 > box.y0;
  const known = isStated ? box : DEFAULT_BOX;
  return { box: known, ascent: Math.max(0.01, known.y1), descent: Math.min(0, known.y0) };
}
