/**
 * Axial shadings that show one and the same light all over: of a sky in three inks the black plate is empty. A renderer asks
 * a shading about every pixel, and a flat color about none.
 */
import type { PDFContext, PDFDict, PDFObject } from 'pdf-lib';
import { boxTransformed, IDENTITY } from '../pdf/content/bounds.ts';
import { matrixOf, numbersOf } from '../pdf/content/object-numbers.ts';
import { arrayOf, boolOf, dictOf, numberOf } from '../pdf/file/dict-values.ts';
import type { PdfFile } from '../pdf/file/pdf-file.ts';
import { asciiBytes } from '../pdf/page/ascii-bytes.ts';
import { matrixInverse, type SourceBox } from '../pdf/page/page-space.ts';
import { PanelStream } from '../pdf/write/panel-stream.ts';

/** A component of a color; undefined where it changes or is not known. */
export type SteadyComponents = readonly (number | undefined)[];

/** Undefined of a shading that does not cover the whole plane. */
export async function steadyComponents(
  shading: PDFDict,
  file: PdfFile,
): Promise<SteadyComponents | undefined> {
  const isAxial = numberOf(await file.entry(shading, 'ShadingType')) === 2;
  if (!isAxial || (await file.entry(shading, 'BBox'))) return undefined;
  const extend = arrayOf(await file.entry(shading, 'Extend'))?.asArray() ?? [];
  if (extend.length < 2 || !extend.every((each) => boolOf(each) === true)) return undefined;
  const [x0, y0, x1, y1] = await numbersIn(shading, 'Coords', file, []);
  // An axis without length paints nothing (ISO 32000-1, 8.7.4.5.3).
  if (x1 === undefined || y1 === undefined || (x0 === x1 && y0 === y1)) return undefined;
  return await steadyOutputs(await file.entry(shading, 'Function'), file);
}

const numbersIn = async (
  dict: PDFDict,
  key: string,
  file: PdfFile,
  otherwise: readonly number[],
): Promise<readonly number[]> => (await numbersOf(arrayOf(await file.entry(dict, key)), file)) ?? otherwise;

async function steadyOutputs(object: PDFObject | undefined, file: PdfFile): Promise<SteadyComponents> {
  const functions = arrayOf(object)?.asArray();
  if (functions) {
    const each = await Promise.all(
      functions.map(async (one) => await steadyOutputs(await file.resolved(one), file)),
    );
    return each.map(([only]) => only);
  }
  const dict = dictOf(object);
  if (!dict || (await file.entry(dict, 'Range'))) return [];
  const type = numberOf(await file.entry(dict, 'FunctionType'));
  if (type === 2) {
    const from = await numbersIn(dict, 'C0', file, [0]);
    const to = await numbersIn(dict, 'C1', file, [1]);
    return from.map((value, i) => (value === to[i] ? value : undefined));
  }
  if (type !== 3) return [];
  const parts = arrayOf(await file.entry(dict, 'Functions'))?.asArray() ?? [];
  const [first = [], ...others] = await Promise.all(
    parts.map(async (part) => await steadyOutputs(await file.resolved(part), file)),
  );
  return first.map((value, i) => (others.every((other) => other[i] === value) ? value : undefined));
}

/**
 * A pattern of one light in the place of a shading pattern on a page with this box: one cell that covers more than the page.
 * Undefined where its matrix leads nowhere.
 */
export async function flatPattern(
  pattern: PDFDict,
  light: readonly number[],
  page: SourceBox,
  { file, context }: { readonly file: PdfFile; readonly context: PDFContext },
): Promise<PanelStream | undefined> {
  const matrix = (await matrixOf(await file.entry(pattern, 'Matrix'), file)) ?? IDENTITY;
  const back = matrixInverse(matrix);
  if (!back) return undefined;
  const { x0, y0, x1, y1 } = boxTransformed(page, back);
  const [width, height] = [x1 - x0, y1 - y0];
  const cell = [x0 - width / 2, y0 - height / 2, 2 * width, 2 * height].map((each) => each.toFixed(DIGITS));
  const [left, bottom, across, up] = cell.map(Number) as [number, number, number, number];
  const dict = context.obj({
    Type: 'Pattern',
    PatternType: 1,
    PaintType: 1,
    TilingType: 1,
    BBox: [left, bottom, left + across, bottom + up],
    XStep: across,
    YStep: up,
    Matrix: [...matrix],
    Resources: {},
  });
  const color = `${light.map((each) => each.toFixed(DIGITS)).join(' ')} ${light.length === 1 ? 'g' : 'rg'}`;
  const content = asciiBytes(`${color} ${cell.join(' ')} re f\n`);
  return new PanelStream(dict, { kind: 'made', bytes: () => content });
}

const DIGITS = 5;
