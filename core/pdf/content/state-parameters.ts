import { PDFDict, PDFName, type PDFObject } from 'pdf-lib';
import { arrayOf, boolOf, dictOf, nameOf, numberOf } from '../file/dict-values.ts';
import type { PdfObjects } from '../file/pdf-objects.ts';
import type { Font } from './font.ts';

/** A graphics state parameter dictionary, ISO 32000-1, Table 58; parameters that it does not set are undefined. */
export interface StateParameters {
  readonly lineWidth: number | undefined;
  readonly lineCap: number | undefined;
  readonly lineJoin: number | undefined;
  readonly miterLimit: number | undefined;
  readonly strokeAlpha: number | undefined;
  readonly fillAlpha: number | undefined;
  readonly isStrokeOverprint: boolean | undefined;
  readonly isFillOverprint: boolean | undefined;
  readonly overprintMode: number | undefined;
  readonly blendMode: string | undefined;
  readonly font: Font | undefined;
  readonly fontSize: number;
  /** Whether it sets a transfer function or halftone (true), or restores the device's (false). */
  readonly hasTransfer: boolean | undefined;
  readonly hasHalftone: boolean | undefined;
  readonly softMask: PDFDict | 'none' | undefined;
}

export async function stateParametersFrom(
  dict: PDFDict,
  objects: PdfObjects,
  fontOf: (dict: PDFDict) => Promise<Font>,
): Promise<StateParameters> {
  const get = (key: string) => objects.resolved(dict.get(PDFName.of(key)));
  const number = async (key: string) => numberOf(await get(key));
  const overprint = boolOf(await get('OP'));
  const blend = await get('BM');
  const font = arrayOf(await get('Font'))?.asArray();
  const fontDict = dictOf(await objects.resolved(font?.[0]));
  const mask = await get('SMask');
  return {
    lineWidth: await number('LW'),
    lineCap: await number('LC'),
    lineJoin: await number('LJ'),
    miterLimit: await number('ML'),
    strokeAlpha: await number('CA'),
    fillAlpha: await number('ca'),
    isStrokeOverprint: overprint,
    // OP alone sets both.
    isFillOverprint: boolOf(await get('op')) ?? overprint,
    overprintMode: await number('OPM'),
    blendMode: nameOf(blend) ?? nameOf(await objects.resolved(arrayOf(blend)?.asArray()[0])),
    font: fontDict === undefined ? undefined : await fontOf(fontDict),
    fontSize: numberOf(await objects.resolved(font?.[1])) ?? 0,
    // If both are present, TR2 counts.
    hasTransfer: isOwn((await get('TR2')) ?? (await get('TR')), ['Default', 'Identity']),
    hasHalftone: isOwn(await get('HT'), ['Default']),
    softMask: mask instanceof PDFDict ? mask : mask === undefined ? undefined : 'none',
  };
}

/** Undefined where nothing is set. A name selects what the device does anyway. */
function isOwn(value: PDFObject | undefined, none: readonly string[]): boolean | undefined {
  if (value === undefined) return undefined;
  const parts = arrayOf(value)?.asArray() ?? [value];
  return !parts.every((part) => none.includes(nameOf(part) ?? ''));
}
