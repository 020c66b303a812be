import {
  PDFArray,
  type PDFContext,
  PDFDict,
  PDFName,
  PDFNull,
  type PDFObject,
  PDFRef,
  PDFStream,
} from 'pdf-lib';
import type { PdfFile } from '../file/pdf-file.ts';
import { PanelStream } from './panel-stream.ts';

/** These never affect the print, and they refer to much of the rest of the document. */
const LEFT_OUT = new Set(
  ['StructParent', 'StructParents', 'PieceInfo', 'LastModified'].map((key) => PDFName.of(key)),
);
/** A stream's length changes; its XMP describes the file that it came from. */
const LEFT_OUT_OF_STREAMS = new Set([...LEFT_OUT, PDFName.Length, PDFName.of('Metadata')]);
/** The structure of the source document: a stray reference to it must not copy every page. */
const SKELETON = new Set(
  ['Page', 'Pages', 'Catalog', 'StructTreeRoot', 'StructElem'].map((name) => PDFName.of(name)),
);

/** Returns the replacement of a source object in the copy, or undefined to copy it unchanged. */
export type Replacement = (
  ref: PDFRef,
  object: PDFObject,
) => PDFObject | undefined | Promise<PDFObject | undefined>;

/**
 * Copies objects from a file into a new document. Shared objects are copied once. References are followed from a list,
 * not by recursion, so chains of any length are safe. New numbers follow the order of first meeting, so the same copy
 * always has the same numbers. Stream data is not read here: it is transferred when the copy is written.
 */
export class ObjectCopier {
  readonly #source: PdfFile;
  readonly #target: PDFContext;
  readonly #replacement: Replacement;
  readonly #copied = new Map<PDFRef, PDFObject>();
  readonly #waiting: { readonly original: PDFObject; readonly ref: PDFRef; readonly copy: PDFRef }[] = [];

  constructor(source: PdfFile, target: PDFContext, replacement: Replacement = () => undefined) {
    this.#source = source;
    this.#target = target;
    this.#replacement = replacement;
  }

  /** From now on `source` is copied as a reference to `target`, an object of the new document. */
  substitute(source: PDFRef, target: PDFRef): void {
    this.#copied.set(source, target);
  }

  /** Copies `object` and everything that it refers to. A reference becomes a reference in the target. */
  async copy(object: PDFObject): Promise<PDFObject> {
    const copy = await this.#copyOne(object);
    await this.follow();
    return copy;
  }

  async follow(): Promise<void> {
    for (let next = this.#waiting.pop(); next; next = this.#waiting.pop()) {
      const { original, ref } = next;
      const written = (await this.#replacement(ref, original)) ?? original;
      this.#target.assign(next.copy, await this.#copyOne(written));
    }
  }

  /** Copies a dictionary without the excluded entries, and everything it refers to. */
  async copyDict(dict: PDFDict, isKept: (key: PDFName) => boolean = () => true): Promise<PDFDict> {
    const kept = PDFDict.withContext(this.#target);
    for (const [key, value] of dict.entries()) if (isKept(key)) kept.set(key, value);
    return (await this.copy(kept)) as PDFDict;
  }

  /** The copy of an object itself, even where something else replaces it in the document. */
  async copyItself(original: PDFObject): Promise<PDFObject> {
    const copy = await this.#copyOne(original);
    await this.follow();
    return copy;
  }

  async #copyOne(object: PDFObject): Promise<PDFObject> {
    if (object instanceof PDFRef) return this.#copyRef(object);
    if (object instanceof PDFArray) {
      const copy = PDFArray.withContext(this.#target);
      for (const item of object.asArray())
        copy.push(isSimple(item) ? item.clone() : await this.#copyOne(item));
      return copy;
    }
    if (object instanceof PDFStream) {
      const dict = await this.#copyEntries(object.dict, LEFT_OUT_OF_STREAMS);
      const data = object instanceof PanelStream ? object.data : ({ kind: 'carried', from: object } as const);
      return new PanelStream(dict, data);
    }
    if (object instanceof PDFDict) return this.#copyEntries(object, LEFT_OUT);
    return object.clone();
  }

  async #copyEntries(dict: PDFDict, leftOut: ReadonlySet<PDFName>): Promise<PDFDict> {
    const copy = PDFDict.withContext(this.#target);
    for (const [key, value] of dict.entries()) {
      if (leftOut.has(key)) continue;
      const entry = isSimple(value) ? value.clone() : await this.#copyOne(value);
      // A stand-in may hold a stream directly, but a written stream must be an indirect object (7.3.8.1).
      copy.set(key, entry instanceof PDFStream ? this.#target.register(entry) : entry);
    }
    return copy;
  }

  /** A reference to a missing object is null (ISO 32000-1, 7.3.10), and is written as null. */
  async #copyRef(ref: PDFRef): Promise<PDFObject> {
    const known = this.#copied.get(ref);
    if (known) return known;
    const original = await this.#source.object(ref);
    const copy = !original || isSkeleton(original) ? PDFNull : this.#target.nextRef();
    this.#copied.set(ref, copy);
    if (original && copy instanceof PDFRef) this.#waiting.push({ original, ref, copy });
    return copy;
  }
}

/** Numbers, names, strings: they contain no references, and they are by far the most. */
const isSimple = (object: PDFObject): boolean =>
  !(
    object instanceof PDFRef ||
    object instanceof PDFArray ||
    object instanceof PDFDict ||
    object instanceof PDFStream
  );

function isSkeleton(object: PDFObject): boolean {
  if (!(object instanceof PDFDict)) return false;
  const type = object.get(PDFName.Type);
  return type instanceof PDFName && SKELETON.has(type);
}
