import { PDFContext, PDFDict, PDFName, PDFNumber, type PDFObject, PDFRawStream, PDFRef } from 'pdf-lib';
import { type Result, resultOk, resultProblem } from '../measure/result.ts';
import { type ArtworkProblem, artworkProblem, EXPORT_AGAIN } from './artwork-problem.ts';
import { asciiBytes, bytesIndexOf } from './byte-search.ts';
import { type CrossReference, crossReferenceFromFile, type ObjectPlace } from './cross-reference.ts';
import { contextDecrypted } from './decryption.ts';
import { ObjectParser } from './file/object-parser.ts';
import { directObjectAt, indirectObjectAt } from './object-reader.ts';
import { crossReferenceByRepair } from './repair.ts';
import { streamData } from './stream-data.ts';

/** Readers look for the header in the first 1,024 bytes (ISO 32000-1, Annex H, note 13). */
const HEADER_SEARCH_BYTES = 1024;
const ROOT = PDFName.of('Root');
const PAGES = PDFName.of('Pages');

/** A PDF whose objects are all at hand, decrypted, whatever the file looked like. */
export interface SourceDocument {
  readonly context: PDFContext;
  readonly catalog: PDFDict;
  readonly info: PDFDict | undefined;
  /** The later of the header's version and the catalog's (7.2.2), such as 1.7. */
  readonly version: number;
  readonly isEncrypted: boolean;
  /** Whether the cross-reference was damaged and was built anew. */
  readonly isRepaired: boolean;
}

interface LoadedObjects {
  readonly context: PDFContext;
  readonly trailer: PDFDict;
  readonly places: ReadonlyMap<number, ObjectPlace>;
  /** Numbers whose place in the table holds something else. */
  readonly missing: readonly number[];
}

/** Reads all objects of a PDF. The empty password is always tried. */
export async function sourceDocumentFromBytes(
  bytes: Uint8Array,
  password: string | undefined,
): Promise<Result<SourceDocument, ArtworkProblem>> {
  const header = bytesIndexOf(bytes.subarray(0, HEADER_SEARCH_BYTES), asciiBytes('%PDF-'));
  if (header < 0) {
    return resultProblem(
      artworkProblem(
        'pdf-not-a-pdf',
        'This file is not a PDF: it does not begin with %PDF.',
        'Choose a PDF, or export the artwork as PDF from the program that made it.',
      ),
    );
  }
  // Offsets count from the header, also where a mail program has put bytes before it.
  const file = bytes.subarray(header);
  const intact = await documentFrom(file, objectsByTable(file), password, false);
  if (intact?.ok || (intact && intact.problem.code !== 'pdf-damaged')) return intact;
  const repaired = await documentFrom(file, objectsByRepair(file), password, true);
  return (
    repaired ??
    resultProblem(
      artworkProblem(
        'pdf-damaged',
        'This PDF is damaged or cut short: its pages cannot be found, even by searching the whole file.',
        EXPORT_AGAIN,
      ),
    )
  );
}

async function documentFrom(
  file: Uint8Array,
  loaded: LoadedObjects | undefined,
  password: string | undefined,
  isRepaired: boolean,
): Promise<Result<SourceDocument, ArtworkProblem> | undefined> {
  if (!loaded) return undefined;
  const encrypt = loaded.context.lookup(loaded.trailer.get(PDFName.of('Encrypt')));
  const isEncrypted = encrypt instanceof PDFDict;
  let { context } = loaded;
  if (isEncrypted) {
    const decrypted = await contextDecrypted(context, loaded.trailer, password);
    if (!decrypted.ok) return decrypted;
    context = decrypted.value;
  }
  expandObjectStreams(context, loaded.places, isRepaired);
  const catalog = catalogOf(context, loaded.trailer, isRepaired);
  if (!catalog) return undefined;
  const info = context.lookup(loaded.trailer.get(PDFName.of('Info')));
  return resultOk({
    context,
    catalog,
    info: info instanceof PDFDict ? info : undefined,
    version: documentVersion(file, catalog),
    isEncrypted,
    isRepaired: isRepaired || loaded.missing.length > 0,
  });
}

function objectsByTable(file: Uint8Array): LoadedObjects | undefined {
  const context = PDFContext.create();
  let reference: CrossReference;
  try {
    reference = crossReferenceFromFile(file, context);
  } catch {
    return undefined;
  }
  const missing = loadPlaced(file, context, reference.places);
  if (missing.length > 0) {
    const found = crossReferenceByRepair(file, context).places;
    const places = new Map(
      missing.flatMap((number) => (found.has(number) ? [[number, found.get(number)!]] : [])),
    );
    loadPlaced(file, context, places);
  }
  return { context, ...reference, missing };
}

function objectsByRepair(file: Uint8Array): LoadedObjects | undefined {
  const context = PDFContext.create();
  const reference = crossReferenceByRepair(file, context);
  const missing = loadPlaced(file, context, reference.places);
  return reference.places.size > 0 ? { context, ...reference, missing } : undefined;
}

/** Loads every object that stands at an offset; returns the numbers that were not found where they should be. */
function loadPlaced(
  file: Uint8Array,
  context: PDFContext,
  places: ReadonlyMap<number, ObjectPlace>,
): number[] {
  const missing: number[] = [];
  const lengthOf = (ref: PDFRef): number | undefined => {
    const known = context.lookup(ref);
    if (known instanceof PDFNumber) return known.asNumber();
    const place = places.get(ref.objectNumber);
    if (place?.kind !== 'offset') return undefined;
    try {
      const { object } = indirectObjectAt(file, context, place.offset);
      return object instanceof PDFNumber ? object.asNumber() : undefined;
    } catch {
      return undefined;
    }
  };
  for (const [number, place] of places) {
    if (place.kind !== 'offset') continue;
    try {
      const { ref, object } = indirectObjectAt(file, context, place.offset, lengthOf);
      if (ref.objectNumber === number) context.assign(ref, object);
      else missing.push(number);
    } catch {
      missing.push(number);
    }
  }
  return missing;
}

/**
 * Unpacks the object streams (7.5.7). An intact table says which objects each of them holds; in a repaired
 * file they hold what stands nowhere else, and later ones win.
 */
function expandObjectStreams(
  context: PDFContext,
  places: ReadonlyMap<number, ObjectPlace>,
  isRepaired: boolean,
): void {
  const loose = new Set([...places].flatMap(([number, place]) => (place.kind === 'offset' ? [number] : [])));
  for (const [ref, object] of context.enumerateIndirectObjects()) {
    if (!(object instanceof PDFRawStream)) continue;
    if (object.dict.get(PDFName.Type) !== PDFName.of('ObjStm')) continue;
    for (const [number, value] of packedObjects(context, object)) {
      const place = places.get(number);
      const isHere = place?.kind === 'object-stream' && place.stream === ref.objectNumber;
      if (isHere || (isRepaired && !loose.has(number))) context.assign(PDFRef.of(number, 0), value);
    }
  }
}

function packedObjects(context: PDFContext, stream: PDFRawStream): [number, PDFObject][] {
  const count = stream.dict.lookup(PDFName.of('N'));
  const first = stream.dict.lookup(PDFName.of('First'));
  if (!(count instanceof PDFNumber) || !(first instanceof PDFNumber)) return [];
  const found: [number, PDFObject][] = [];
  try {
    const data = streamData(stream);
    const header = new ObjectParser(data, context);
    for (let index = 0; index < count.asNumber(); index += 1) {
      const number = header.takeWhole();
      const offset = header.takeWhole();
      if (number === undefined || offset === undefined) break;
      found.push([number, directObjectAt(data, context, first.asNumber() + offset)]);
    }
  } catch {
    // What was read before the damage is kept; what is missing shows as missing pages or resources.
  }
  return found;
}

/** The catalog with a page tree; in a repaired file, loose pages will do. */
function catalogOf(context: PDFContext, trailer: PDFDict, isRepaired: boolean): PDFDict | undefined {
  const named = context.lookup(trailer.get(ROOT));
  if (named instanceof PDFDict && named.lookup(PAGES) instanceof PDFDict) return named;
  for (const [, object] of context.enumerateIndirectObjects().reverse()) {
    if (!(object instanceof PDFDict) || object.get(PDFName.Type) !== PDFName.of('Catalog')) continue;
    if (object.lookup(PAGES) instanceof PDFDict) return object;
  }
  const hasPages = context.enumerateIndirectObjects().some(([, object]) => isPage(object));
  return isRepaired && hasPages
    ? named instanceof PDFDict
      ? named
      : PDFDict.withContext(context)
    : undefined;
}

const isPage = (object: PDFObject): boolean =>
  object instanceof PDFDict && object.get(PDFName.Type) === PDFName.Page;

function documentVersion(file: Uint8Array, catalog: PDFDict): number {
  const header = Number.parseFloat(String.fromCharCode(...file.subarray(5, 8)));
  const stated = catalog.lookup(PDFName.of('Version'));
  const later = stated instanceof PDFName ? Number.parseFloat(stated.decodeText()) : Number.NaN;
  return Math.max(...[header, later, 1.3].filter((version) => version >= 1 && version <= 2));
}
