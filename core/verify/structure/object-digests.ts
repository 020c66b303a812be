/**
 * The content of a file's object as a number: equal for the artwork's object and a panel's copy of it, no matter what
 * numbers the objects have, and however streams are packed. Unused resources do not count.
 */
import { PDFArray, PDFDict, PDFName, PDFNull, PDFNumber, type PDFObject, PDFStream } from 'pdf-lib';
import { bytesOf, nameOf, numberOf } from '../../pdf/file/dict-values.ts';
import type { PdfFile } from '../../pdf/file/pdf-file.ts';
import { isPdfProblem, problemTooLarge } from '../../pdf/file/pdf-problem.ts';
import { type ContentHash, hashed, hashedBytes, hashedText, RunningHash } from './content-hash.ts';
import { ContentReader } from './content-reader.ts';

/** How a stream is packed, and entries that do not affect print. */
const NOT_COMPARED = new Set([
  'Length',
  'Filter',
  'DecodeParms',
  'DL',
  'StructParent',
  'StructParents',
  'PieceInfo',
  'LastModified',
  'Metadata',
  'Parent',
]);
/**
 * A form may be given the resources that it borrowed, and only those that it uses, so they are compared where they are
 * used.
 */
const NOT_OF_CONTENT = new Set([...NOT_COMPARED, 'Resources']);
/**
 * An image and its masks may be cropped, so they are compared sample by sample. The entries that give samples their
 * meaning must be equal.
 */
const NOT_OF_IMAGES = new Set([...NOT_COMPARED, 'Width', 'Height', 'Alternates', 'OPI', 'ID', 'SMask']);
/** A stray reference to the artwork's own pages is not copied. */
const SKELETON = new Set(['Page', 'Pages', 'Catalog', 'StructTreeRoot', 'StructElem']);

const SUBSET_TAG = /^[A-Z]{6}[+]/;
const DEFAULT_SPACES = ['DefaultGray', 'DefaultRGB', 'DefaultCMYK'];
const NOTHING: ContentHash = 1;
const CYCLE: ContentHash = 2;
/** Counted in objects and operators; far above any drawing. */
const MAX_WORK = 50_000_000;

/** Which resource an operator names: its category, and whether the name is its first operand or its last. */
export type NamedOperand = readonly [category: string, operand: number];

export const NAMED_BY_OPERATOR = new Map<string, NamedOperand>(
  Object.entries({
    gs: ['ExtGState', 0],
    cs: ['ColorSpace', 0],
    CS: ['ColorSpace', 0],
    scn: ['Pattern', -1],
    SCN: ['Pattern', -1],
    sh: ['Shading', 0],
    Do: ['XObject', 0],
    Tf: ['Font', 0],
    BDC: ['Properties', 1],
  }),
);

export class ObjectDigests {
  readonly #file: PdfFile;
  readonly #known = new Map<PDFObject, Map<PDFDict | undefined, ContentHash>>();
  readonly #resources = new Map<PDFDict, Map<string, PDFObject | undefined>>();
  readonly #open: PDFObject[] = [];
  /** The outermost open object that another object led back to; the objects inside it have no complete hash yet. */
  #ledBackTo = Number.POSITIVE_INFINITY;
  /** Whether an open object used resources of its surroundings. */
  #hasBorrowed = false;
  #work = 0;
  readonly #isOfFileWrittenAnew: boolean;

  /**
   * `isOfFileWrittenAnew` ignores two changes of a file that was saved again: other letters before the names of subset
   * fonts (ISO 32000-1, 9.6.4), and rounded numbers.
   */
  constructor(file: PdfFile, { isOfFileWrittenAnew = false } = {}) {
    this.#file = file;
    this.#isOfFileWrittenAnew = isOfFileWrittenAnew;
  }

  /** `around` are the resources of the object that paints it, which a form without Resources uses. */
  async of(object: PDFObject | undefined, around?: PDFDict): Promise<ContentHash> {
    const value = await this.#file.resolved(object);
    if (value === undefined || value === PDFNull || isSkeleton(value)) return NOTHING;
    if (value instanceof PDFNumber)
      return hashed(3, this.#isOfFileWrittenAnew ? rounded(value.asNumber()) : value.asNumber());
    if (value instanceof PDFName) {
      const text = value.decodeText();
      return hashedText(4, this.#isOfFileWrittenAnew ? text.replace(SUBSET_TAG, '') : text);
    }
    const bytes = bytesOf(value);
    if (bytes) return hashedBytes(5, bytes);
    if (value instanceof PDFArray || value instanceof PDFDict || value instanceof PDFStream)
      return await this.#ofCompound(value, around);
    return hashedText(6, value.toString());
  }

  /** An image without its samples and its size. */
  async imageSettings(stream: PDFStream): Promise<ContentHash> {
    const mask = await this.#file.entry(stream.dict, 'Mask');
    const isByteWide = await this.#isByteWide(stream);
    const left = new Set([
      ...NOT_OF_IMAGES,
      ...(mask instanceof PDFStream ? ['Mask'] : []),
      ...(isByteWide ? ['BitsPerComponent'] : []),
    ]);
    return await this.#ofEntries(stream.dict, left, undefined, 7);
  }

  /** JPEG 2000 need not state its depth (ISO 32000-1, Table 89); a cropped one always states its eight bits. */
  async #isByteWide(stream: PDFStream): Promise<boolean> {
    const filters = await this.#file.streamFilters(stream);
    if (filters.at(-1)?.name === 'JPXDecode') return true;
    return numberOf(await this.#file.entry(stream.dict, 'BitsPerComponent')) === 8;
  }

  /** A form without its content. */
  async formSettings(stream: PDFStream): Promise<ContentHash> {
    return await this.#ofEntries(stream.dict, NOT_OF_CONTENT, undefined, 8);
  }

  /** The color spaces that replace device spaces without being named (8.6.5.6). */
  async defaultSpaces(resources: PDFDict | undefined): Promise<ContentHash> {
    let hash = 9;
    for (const name of DEFAULT_SPACES) {
      hash = hashed(hash, await this.of(await this.resource(resources, 'ColorSpace', name)));
    }
    return hash;
  }

  async resource(
    resources: PDFDict | undefined,
    category: string,
    name: string,
  ): Promise<PDFObject | undefined> {
    if (!resources) return undefined;
    let found = this.#resources.get(resources);
    if (!found) {
      found = new Map();
      this.#resources.set(resources, found);
    }
    const key = `${category} ${name}`;
    if (!found.has(key)) {
      const entries = await this.#file.entry(resources, category);
      found.set(key, entries instanceof PDFDict ? await this.#file.entry(entries, name) : undefined);
    }
    return found.get(key);
  }

  /** The hash of what content draws; unreadable content gets a special number. */
  async content(bytes: Uint8Array, resources: PDFDict | undefined): Promise<ContentHash> {
    let hash = hashed(10, await this.defaultSpaces(resources));
    const reader = new ContentReader(bytes);
    while (reader.next()) {
      this.#countWork();
      const { operator } = reader;
      hash = hashed(hashedText(hash, operator), reader.operandsHash);
      if (reader.data) hash = hashedBytes(hash, reader.data);
      const named = NAMED_BY_OPERATOR.get(operator);
      const name = named && reader.name(named[1]);
      if (named === undefined || name === undefined) continue;
      hash = hashed(hash, await this.of(await this.resource(resources, named[0], name), resources));
    }
    return hash;
  }

  async #ofCompound(
    value: PDFArray | PDFDict | PDFStream,
    around: PDFDict | undefined,
  ): Promise<ContentHash> {
    this.#countWork();
    const known = this.#known.get(value) ?? new Map<PDFDict | undefined, ContentHash>();
    const own = known.get(undefined);
    if (own !== undefined) return own;
    const borrowing = around && known.get(around);
    if (borrowing !== undefined) {
      this.#hasBorrowed = true;
      return borrowing;
    }
    const depth = this.#open.indexOf(value);
    if (depth >= 0) {
      this.#ledBackTo = Math.min(this.#ledBackTo, depth);
      return hashed(CYCLE, this.#open.length - depth);
    }
    const outer = { ledBackTo: this.#ledBackTo, hasBorrowed: this.#hasBorrowed };
    this.#ledBackTo = Number.POSITIVE_INFINITY;
    this.#hasBorrowed = false;
    this.#open.push(value);
    let hash: ContentHash;
    try {
      hash = await this.#ofOpen(value, around);
    } finally {
      this.#open.pop();
    }
    if (this.#ledBackTo >= this.#open.length) {
      this.#ledBackTo = Number.POSITIVE_INFINITY;
      this.#known.set(value, known.set(this.#hasBorrowed ? around : undefined, hash));
    }
    this.#ledBackTo = Math.min(outer.ledBackTo, this.#ledBackTo);
    this.#hasBorrowed ||= outer.hasBorrowed;
    return hash;
  }

  async #ofOpen(value: PDFArray | PDFDict | PDFStream, around: PDFDict | undefined): Promise<ContentHash> {
    if (value instanceof PDFStream) return await this.#ofStream(value, around);
    if (value instanceof PDFDict) {
      const isType3 = nameOf(await this.#file.entry(value, 'Subtype')) === 'Type3';
      return await (isType3
        ? this.#ofType3(value, around)
        : this.#ofEntries(value, NOT_COMPARED, around, 12));
    }
    let hash = 11;
    for (const item of value.asArray()) hash = hashed(hash, await this.of(item, around));
    return hash;
  }

  async #ofEntries(
    dict: PDFDict,
    left: ReadonlySet<string>,
    around: PDFDict | undefined,
    seed: number,
  ): Promise<ContentHash> {
    const entries = dict.entries().map(([key, value]) => [key.decodeText(), value] as const);
    entries.sort(([a], [b]) => (a < b ? -1 : 1));
    let hash: ContentHash = seed;
    for (const [name, value] of entries) {
      if (left.has(name)) continue;
      const digest = await this.of(value, around);
      // An entry that is null counts as absent.
      if (digest !== NOTHING) hash = hashed(hashedText(hash, name), digest);
    }
    return hash;
  }

  async #ofStream(stream: PDFStream, around: PDFDict | undefined): Promise<ContentHash> {
    const { dict } = stream;
    const subtype = nameOf(await this.#file.entry(dict, 'Subtype'));
    if (subtype === 'Form' || dict.has(PDFName.of('PatternType')) || dict.has(PDFName.of('PaintType'))) {
      const settings = await this.formSettings(stream);
      return hashed(settings, await this.#ofContent(stream, await this.#resourcesOf(dict, around)));
    }
    if (subtype === 'Image') {
      let hash = hashed(13, await this.imageSettings(stream));
      for (const key of ['Width', 'Height', 'SMask', 'Mask'])
        hash = hashed(hash, await this.of(dict.get(PDFName.of(key))));
      return await this.#ofPackedBytes(stream, hash);
    }
    const settings = await this.#ofEntries(dict, NOT_COMPARED, around, 14);
    try {
      const { bytes, remaining } = await this.#file.streamDecoded(stream);
      if (remaining.length === 0) return hashedBytes(settings, bytes);
    } catch (error) {
      if (!isPdfProblem(error)) throw error;
    }
    return await this.#ofPackedBytes(stream, settings);
  }

  async #resourcesOf(dict: PDFDict, around: PDFDict | undefined): Promise<PDFDict | undefined> {
    const own = await this.#file.entry(dict, 'Resources');
    if (own instanceof PDFDict) return own;
    this.#hasBorrowed = true;
    return around;
  }

  async #ofContent(stream: PDFStream, resources: PDFDict | undefined): Promise<ContentHash> {
    try {
      return await this.content((await this.#file.streamDecoded(stream)).bytes, resources);
    } catch (error) {
      if (!isPdfProblem(error)) throw error;
      return await this.#ofPackedBytes(stream, 15);
    }
  }

  /** Glyphs are content, with the resources of the font or of the content that uses it (9.6.5). */
  async #ofType3(font: PDFDict, around: PDFDict | undefined): Promise<ContentHash> {
    const left = new Set([...NOT_OF_CONTENT, 'CharProcs']);
    let hash = await this.#ofEntries(font, left, around, 16);
    const resources = await this.#resourcesOf(font, around);
    const glyphs = await this.#file.entry(font, 'CharProcs');
    if (!(glyphs instanceof PDFDict)) return hash;
    for (const [key, value] of glyphs
      .entries()
      .toSorted(([a], [b]) => (a.toString() < b.toString() ? -1 : 1))) {
      const glyph = await this.#file.resolved(value);
      if (!(glyph instanceof PDFStream)) continue;
      hash = hashedText(hash, key.decodeText());
      hash = hashed(hash, await this.#ofContent(glyph, resources));
    }
    return hash;
  }

  /** Piece by piece, because a picture may be larger than memory. */
  async #ofPackedBytes(stream: PDFStream, seed: ContentHash): Promise<ContentHash> {
    let hash = seed;
    for (const { name, params } of await this.#file.streamFilters(stream)) {
      hash = hashed(hashedText(hash, name), await this.of(params));
    }
    const bytes = new RunningHash();
    for await (const piece of this.#file.streamChunks(stream)) bytes.add(piece);
    return bytes.after(hash);
  }

  #countWork(): void {
    this.#work++;
    if (this.#work > MAX_WORK) throw problemTooLarge('The page draws more than fifty million operations.');
  }
}

/** The digits that are exact in programs that calculate with 24 bits. */
const SURE_DIGITS = 5;

function rounded(value: number): number {
  if (Number.isInteger(value) && Math.abs(value) < 10 ** SURE_DIGITS) return value;
  return Number(value.toPrecision(SURE_DIGITS));
}

const isSkeleton = (object: PDFObject): boolean => {
  const type = object instanceof PDFDict ? nameOf(object.get(PDFName.Type)) : undefined;
  return type !== undefined && SKELETON.has(type);
};
