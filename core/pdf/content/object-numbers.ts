/** Arrays of numbers: lists, matrices, boxes. Elements may be references. */
import type { PDFArray, PDFObject } from 'pdf-lib';
import { arrayOf, numberOf } from '../file/dict-values.ts';
import type { PdfObjects } from '../file/pdf-objects.ts';
import type { Matrix, SourceBox } from '../page/page-space.ts';

export async function numbersOf(
  array: PDFArray | undefined,
  objects: PdfObjects,
): Promise<number[] | undefined> {
  if (array === undefined) return undefined;
  const items = await Promise.all(array.asArray().map((item) => objects.resolved(item)));
  return items.map((item) => numberOf(item) ?? 0);
}

export async function matrixOf(
  object: PDFObject | undefined,
  objects: PdfObjects,
): Promise<Matrix | undefined> {
  const numbers = await numbersOf(arrayOf(await objects.resolved(object)), objects);
  if (numbers === undefined || numbers.length < 6) return undefined;
  const [a, b, c, d, e, f] = numbers as [number, number, number, number, number, number];
  return [a, b, c, d, e, f];
}

export async function boxOf(
  object: PDFObject | undefined,
  objects: PdfObjects,
): Promise<SourceBox | undefined> {
  const numbers = await numbersOf(arrayOf(await objects.resolved(object)), objects);
  if (numbers === undefined || numbers.length < 4) return undefined;
  const [ax, ay, bx, by] = numbers as [number, number, number, number];
  return { x0: Math.min(ax, bx), y0: Math.min(ay, by), x1: Math.max(ax, bx), y1: Math.max(ay, by) };
}
