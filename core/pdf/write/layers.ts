import { PDFArray, type PDFContext, PDFDict, PDFHexString, PDFName, type PDFRef } from 'pdf-lib';
import type { PdfFile } from '../file/pdf-file.ts';
import type { ObjectCopier } from './object-copier.ts';

const OCGS = PDFName.of('OCGs');
const DEFAULT = PDFName.of('D');
const ORDER = PDFName.of('Order');

/**
 * The layers of the source with their default state, so that hidden content stays hidden (ISO 32000-1, 8.11.4).
 * Undefined where the source has none. The two dictionaries are copies, not references, because drawing marks adds a
 * group to them.
 */
export async function copyLayers(file: PdfFile, copier: ObjectCopier): Promise<PDFDict | undefined> {
  const properties = await file.entry(await file.catalog(), 'OCProperties');
  if (!(properties instanceof PDFDict)) return undefined;
  const copy = await copier.copyDict(properties, (key) => key !== DEFAULT);
  const state = await file.entry(properties, 'D');
  if (state instanceof PDFDict) copy.set(DEFAULT, await copier.copyDict(state));
  return copy;
}

/**
 * Adds a layer that is on by default, with extra entries if given. Returns the reference of its group and the
 * properties that list it.
 */
export function addLayer(
  context: PDFContext,
  existing: PDFDict | undefined,
  name: string,
  entries: Readonly<Record<string, Readonly<Record<string, string>>>> = {},
): { readonly group: PDFRef; readonly properties: PDFDict } {
  const properties = existing ?? context.obj({});
  const group = context.register(context.obj({ Type: 'OCG', Name: PDFHexString.fromText(name), ...entries }));
  const groups = properties.lookup(OCGS);
  properties.set(OCGS, arrayWith(context, groups, group));
  const found = properties.lookup(DEFAULT);
  const state = found instanceof PDFDict ? found : context.obj({});
  properties.set(DEFAULT, state);
  // With BaseState OFF, only listed groups show (Table 101).
  state.set(PDFName.of('ON'), arrayWith(context, state.lookup(PDFName.of('ON')), group));
  state.set(ORDER, arrayWith(context, state.lookup(ORDER), group));
  return { group, properties };
}

function arrayWith(context: PDFContext, existing: unknown, item: PDFRef): PDFArray {
  const array = PDFArray.withContext(context);
  if (existing instanceof PDFArray) for (const member of existing.asArray()) array.push(member);
  array.push(item);
  return array;
}
