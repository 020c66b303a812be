/**
 * Joins several PDFs into one artwork, such as one for each side of a vehicle: their pages follow one another. Page
 * content is copied unchanged, packed as it was; layers keep their states, and each page keeps the print condition of
 * its file.
 */
import { PDFArray, PDFContext, PDFDict, PDFName, type PDFObject, type PDFRef, PDFStream } from 'pdf-lib';
import type { FlateCodec } from '../file/byte-stream.ts';
import { nameOf } from '../file/dict-values.ts';
import { pageAttribute } from '../file/pages.ts';
import type { PdfFile } from '../file/pdf-file.ts';
import { writeCarriedStream } from '../write/carried-stream.ts';
import { copyLayers } from '../write/layers.ts';
import { ObjectCopier } from '../write/object-copier.ts';
import { PanelStream } from '../write/panel-stream.ts';
import { type FileOutput, PdfWriter } from '../write/pdf-writer.ts';
import type { Artwork } from './artwork.ts';
import { documentVersion } from './page-facts.ts';

export interface JoinTools {
  readonly flate: FlateCodec;
  /** Called and awaited now and then; it may throw to stop. */
  pause(): Promise<void>;
}

const INHERITED = ['Resources', 'MediaBox', 'CropBox', 'Rotate'] as const;
/** Annotations are not artwork; articles and thumbnails refer to other parts of the document. */
const LEFT_OUT_OF_PAGES = new Set(['Parent', 'Annots', 'B', 'Thumb', 'Metadata', ...INHERITED]);
const INTENTS = PDFName.of('OutputIntents');
/** From PDF 2.0 on, each page may have its own output intents (ISO 32000-2, 14.11.5); older readers ignore them. */
const LEAST_VERSION = 1.7;

/** @throws PdfProblem where a file cannot be read */
export async function joinArtworks(
  artworks: readonly Artwork[],
  output: FileOutput,
  { flate, pause }: JoinTools,
): Promise<void> {
  const context = PDFContext.create();
  const [catalogRef, pagesRef] = [context.nextRef(), context.nextRef()];
  const files = new Map<PDFStream, PdfFile>();
  const kids: PDFRef[] = [];
  const layers: PDFDict[] = [];
  let intents: PDFObject | undefined;
  let version = LEAST_VERSION;
  for (const { file, pages } of artworks) {
    const copier = new ObjectCopier(file, context, (_, object) => {
      if (object instanceof PDFStream) files.set(object, file);
      return undefined;
    });
    const properties = await copyLayers(file, copier);
    if (properties) layers.push(properties);
    const ofFile = (await file.catalog()).get(INTENTS);
    const copied = ofFile && (await copier.copy(ofFile));
    intents ??= copied;
    for (const { page } of pages) {
      await pause();
      const copy = await copier.copyDict(page.dict, (key) => !LEFT_OUT_OF_PAGES.has(key.decodeText()));
      copy.set(PDFName.Type, PDFName.of('Page'));
      copy.set(PDFName.of('Parent'), pagesRef);
      for (const key of INHERITED) {
        const value = await pageAttribute(file, page, key);
        if (value) copy.set(PDFName.of(key), await copier.copy(value));
      }
      if (copied && copied !== intents && !copy.has(INTENTS)) copy.set(INTENTS, copied);
      kids.push(context.register(copy));
    }
    version = Math.max(version, await documentVersion(file));
  }
  context.assign(pagesRef, context.obj({ Type: 'Pages', Kids: kids, Count: kids.length }));
  const catalog = context.obj({ Type: 'Catalog', Pages: pagesRef });
  if (intents) catalog.set(INTENTS, intents);
  if (layers.length > 0) catalog.set(PDFName.of('OCProperties'), layersJoined(context, layers));
  context.assign(catalogRef, catalog);
  await written(context, files, output, { flate, pause, version, root: catalogRef });
}

/** Hidden layers stay hidden, even those that the files' configurations do not name (ISO 32000-1, Table 101). */
function layersJoined(context: PDFContext, layers: readonly PDFDict[]): PDFDict {
  const groups: PDFObject[] = [];
  const lists = { ON: [], OFF: [], Order: [], AS: [], Locked: [], RBGroups: [] } as Record<
    string,
    PDFObject[]
  >;
  for (const properties of layers) {
    const own = itemsOf(properties, 'OCGs');
    groups.push(...own);
    const state = properties.lookup(PDFName.of('D'));
    if (!(state instanceof PDFDict)) continue;
    for (const [key, list] of Object.entries(lists)) list.push(...itemsOf(state, key));
    if (nameOf(state.get(PDFName.of('BaseState'))) !== 'OFF') continue;
    const on = new Set(itemsOf(state, 'ON'));
    lists.OFF?.push(...own.filter((group) => !on.has(group)));
  }
  const kept = Object.entries(lists).filter(([, list]) => list.length > 0);
  const state = Object.fromEntries(kept.map(([key, list]) => [key, context.obj([...new Set(list)])]));
  return context.obj({ OCGs: context.obj(groups), D: context.obj(state) });
}

function itemsOf(dict: PDFDict, key: string): readonly PDFObject[] {
  const list = dict.lookup(PDFName.of(key));
  return list instanceof PDFArray ? list.asArray() : [];
}

async function written(
  context: PDFContext,
  files: ReadonlyMap<PDFStream, PdfFile>,
  output: FileOutput,
  { flate, pause, version, root }: JoinTools & { readonly version: number; readonly root: PDFRef },
): Promise<void> {
  const writer = new PdfWriter(output, context, flate, pause);
  await writer.begin(version);
  for (const [ref, object] of context.enumerateIndirectObjects()) {
    await pause();
    if (!(object instanceof PanelStream)) {
      await writer.writeObject(ref, object);
      continue;
    }
    const { data } = object;
    const file = data.kind === 'carried' ? files.get(data.from) : undefined;
    if (data.kind !== 'carried' || !file) throw new Error('an artwork is joined of streams that are carried');
    await writeCarriedStream(writer, ref, object.dict, { file, from: data.from });
  }
  await writer.finish({ Root: root });
}
