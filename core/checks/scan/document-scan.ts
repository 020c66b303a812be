import { PDFArray, type PDFDict, type PDFObject, PDFStream } from 'pdf-lib';
import { arrayOf, dictOf, nameOf, numberOf, textOf } from '../../pdf/file/dict-values.ts';
import type { PdfFile } from '../../pdf/file/pdf-file.ts';
import type { DocumentScan, OutputIntent, ScannedLayer } from './schema.ts';

const MAX_LAYERS = 500;
const MAX_INTENTS = 50;

/** What the catalog says about the whole file. @throws PdfProblem when the catalog cannot be read */
export async function documentScan(file: PdfFile): Promise<DocumentScan> {
  const catalog = await file.catalog();
  return {
    layers: await layers(file, catalog),
    outputIntents: await outputIntents(file, catalog),
    isEncrypted: file.isEncrypted,
    isRepaired: file.isRepaired,
  };
}

/** Output intents of the catalog, or, since PDF 2.0, of a page. */
export async function outputIntents(file: PdfFile, holder: PDFDict): Promise<OutputIntent[]> {
  const listed = await file.entry(holder, 'OutputIntents');
  const intents: OutputIntent[] = [];
  for (const item of (listed instanceof PDFArray ? listed.asArray() : []).slice(0, MAX_INTENTS)) {
    const intent = dictOf(await file.resolved(item));
    if (intent === undefined) continue;
    const profile = await file.entry(intent, 'DestOutputProfile');
    const components =
      profile instanceof PDFStream ? numberOf(await file.entry(profile.dict, 'N')) : undefined;
    intents.push({
      kind: nameOf(await file.entry(intent, 'S')) ?? '',
      condition: textOf(await file.entry(intent, 'OutputConditionIdentifier')) ?? '',
      ...(components !== undefined && Number.isInteger(components) && { profileComponents: components }),
    });
  }
  return intents;
}

/** Layers with their default state, and what their usage says of printing (ISO 32000-1, 8.11.4.4). */
async function layers(file: PdfFile, catalog: PDFDict): Promise<ScannedLayer[]> {
  const properties = dictOf(await file.entry(catalog, 'OCProperties'));
  const groups = arrayOf(await file.entry(properties, 'OCGs'))?.asArray() ?? [];
  const config = dictOf(await file.entry(properties, 'D'));
  const isOnByDefault = nameOf(await file.entry(config, 'BaseState')) !== 'OFF';
  const exceptions = await resolvedSet(file, await file.entry(config, isOnByDefault ? 'OFF' : 'ON'));
  const found: ScannedLayer[] = [];
  for (const item of groups.slice(0, MAX_LAYERS)) {
    const group = dictOf(await file.resolved(item));
    if (group === undefined) continue;
    const usage = dictOf(await file.entry(group, 'Usage'));
    const print = nameOf(await file.entry(dictOf(await file.entry(usage, 'Print')), 'PrintState'));
    found.push({
      name: textOf(await file.entry(group, 'Name')) ?? '',
      isOn: exceptions.has(group) !== isOnByDefault,
      ...((print === 'ON' || print === 'OFF') && { prints: print === 'ON' }),
    });
  }
  return found;
}

async function resolvedSet(file: PdfFile, list: PDFObject | undefined): Promise<Set<PDFObject>> {
  const items = await Promise.all((arrayOf(list)?.asArray() ?? []).map((item) => file.resolved(item)));
  return new Set(items.filter((item) => item !== undefined));
}
