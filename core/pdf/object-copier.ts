import {
  PDFArray,
  type PDFContext,
  PDFDict,
  PDFName,
  PDFNull,
  type PDFObject,
  PDFRawStream,
  PDFRef,
} from 'pdf-lib';

/** Never part of what a page prints, and reaching far into the rest of the document. */
const LEFT_OUT = new Set(
  ['StructParent', 'StructParents', 'PieceInfo', 'LastModified'].map((key) => PDFName.of(key)),
);
/** A stream's length is written anew; its XMP describes a file that it is no longer in. */
const LEFT_OUT_OF_STREAMS = new Set([...LEFT_OUT, PDFName.Length, PDFName.of('Metadata')]);
/** The skeleton of the source document: a stray reference to it must not pull in every page. */
const SKELETON = new Set(
  ['Page', 'Pages', 'Catalog', 'StructTreeRoot', 'StructElem'].map((name) => PDFName.of(name)),
);

/** Gives what stands in for a source object in the copy, or undefined to copy it as it is. */
export type Replacement = (ref: PDFRef, object: PDFObject) => PDFObject | undefined;

/**
 * Copies objects from one document into another. Shared objects are copied once; references are followed by a
 * list, not by recursion, so chains of any length are safe; new numbers follow the order of the first meeting,
 * so the same copy always has the same numbers. Bytes of streams are shared, not copied.
 */
export class ObjectCopier {
  readonly #source: PDFContext;
  readonly #target: PDFContext;
  readonly #replacement: Replacement;
  readonly #copied = new Map<PDFRef, PDFRef>();
  readonly #waiting: PDFRef[] = [];

  constructor(source: PDFContext, target: PDFContext, replacement: Replacement = () => undefined) {
    this.#source = source;
    this.#target = target;
    this.#replacement = replacement;
  }

  /** From now on `source` is copied as a reference to `target`, an object of the new document. */
  stand(source: PDFRef, target: PDFRef): void {
    this.#copied.set(source, target);
  }

  /** The copy of `object` and of all that it refers to. A reference becomes a reference in the target. */
  copy(object: PDFObject): PDFObject {
    const copy = this.#copyOne(object);
    for (let ref = this.#waiting.pop(); ref; ref = this.#waiting.pop()) {
      const original = this.#source.lookup(ref)!;
      this.#target.assign(
        this.#copied.get(ref)!,
        this.#copyOne(this.#replacement(ref, original) ?? original),
      );
    }
    return copy;
  }

  /** A dictionary with the given entries left out, and all it refers to. */
  copyDict(dict: PDFDict, isKept: (key: PDFName) => boolean = () => true): PDFDict {
    const kept = PDFDict.withContext(this.#source);
    for (const [key, value] of dict.entries()) if (isKept(key)) kept.set(key, value);
    return this.copy(kept) as PDFDict;
  }

  #copyOne(object: PDFObject): PDFObject {
    if (object instanceof PDFRef) return this.#copyRef(object);
    if (object instanceof PDFArray) {
      const copy = PDFArray.withContext(this.#target);
      for (const item of object.asArray()) copy.push(this.#copyOne(item));
      return copy;
    }
    if (object instanceof PDFRawStream) {
      return PDFRawStream.of(this.#copyEntries(object.dict, LEFT_OUT_OF_STREAMS), object.contents);
    }
    if (object instanceof PDFDict) return this.#copyEntries(object, LEFT_OUT);
    return object.clone();
  }

  #copyEntries(dict: PDFDict, leftOut: ReadonlySet<PDFName>): PDFDict {
    const copy = PDFDict.withContext(this.#target);
    for (const [key, value] of dict.entries()) {
      if (!leftOut.has(key)) copy.set(key, this.#copyEntry(value));
    }
    return copy;
  }

  /** A stand-in may hold a stream directly; written, a stream is always an object of its own (7.3.8.1). */
  #copyEntry(value: PDFObject): PDFObject {
    const copy = this.#copyOne(value);
    return copy instanceof PDFRawStream ? this.#target.register(copy) : copy;
  }

  /** A reference to nothing is null (ISO 32000-1, 7.3.10), and is written so. */
  #copyRef(ref: PDFRef): PDFObject {
    const known = this.#copied.get(ref);
    if (known) return known;
    const original = this.#source.lookup(ref);
    if (!original || original === PDFNull || isSkeleton(original)) return PDFNull;
    const copy = this.#target.nextRef();
    this.#copied.set(ref, copy);
    this.#waiting.push(ref);
    return copy;
  }
}

function isSkeleton(object: PDFObject): boolean {
  if (!(object instanceof PDFDict)) return false;
  const type = object.get(PDFName.Type);
  return type instanceof PDFName && SKELETON.has(type);
}
