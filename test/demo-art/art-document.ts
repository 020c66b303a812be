import { createHash } from 'node:crypto';
import { deflateSync } from 'node:zlib';
import {
  PDFArray,
  PDFContext,
  PDFHexString,
  PDFName,
  PDFNumber,
  type PDFObject,
  PDFRawStream,
  type PDFRef,
  PDFString,
  PDFWriter,
} from 'pdf-lib';

export type Value =
  | string
  | number
  | boolean
  | PDFObject
  | readonly Value[]
  | { readonly [key: string]: Value };
export type Entries = { readonly [key: string]: Value };

/** Kinds of named resources that a content stream may call for. */
export type ResourceKind =
  | 'ColorSpace'
  | 'ExtGState'
  | 'Font'
  | 'Pattern'
  | 'Properties'
  | 'Shading'
  | 'XObject';

/**
 * A PDF built from its objects. Strings in entries become names, numbers are rounded to 5 decimals,
 * everything else is written as given; `once` keeps one object where many places use the same.
 */
export class ArtDocument {
  readonly context: PDFContext = PDFContext.create();
  private readonly kept = new Map<string, PDFRef>();

  value(value: Value): PDFObject {
    if (typeof value === 'string') return PDFName.of(value);
    if (typeof value === 'number') return PDFNumber.of(Number(value.toFixed(5)));
    if (typeof value === 'boolean') return this.context.obj(value);
    if (isValueList(value)) {
      const list = PDFArray.withContext(this.context);
      for (const item of value) list.push(this.value(item));
      return list;
    }
    if (isEntries(value)) {
      const dict = this.context.obj({});
      for (const [key, item] of Object.entries(value)) dict.set(PDFName.of(key), this.value(item));
      return dict;
    }
    return value;
  }

  /** A string for people to read, as opposed to a name. */
  text(text: string): PDFObject {
    return PDFString.of(text);
  }

  add(value: Value): PDFRef {
    return this.context.register(this.value(value));
  }

  /** A stream of deflated bytes. `level` 9 for small things; pictures say what suits them. */
  stream(entries: Entries, content: string | Uint8Array, level = 9): PDFRef {
    const bytes = typeof content === 'string' ? Buffer.from(content, 'latin1') : content;
    const dict = this.context.obj({});
    for (const [key, item] of Object.entries(entries)) dict.set(PDFName.of(key), this.value(item));
    dict.set(PDFName.of('Filter'), PDFName.of('FlateDecode'));
    return this.context.register(PDFRawStream.of(dict, new Uint8Array(deflateSync(bytes, { level }))));
  }

  once(key: string, make: () => PDFRef): PDFRef {
    const kept = this.kept.get(key) ?? make();
    this.kept.set(key, kept);
    return kept;
  }

  /** The finished file. Its identifier is a hash of the title: no clock, no chance. */
  async bytes(title: string, catalog: Entries): Promise<Uint8Array> {
    const id = PDFHexString.of(createHash('sha256').update(title).digest('hex').slice(0, 32));
    const info = { Title: PDFString.of(title), Creator: PDFString.of('Alder County Library demo artwork') };
    this.context.trailerInfo.Root = this.add({ Type: 'Catalog', ...catalog });
    this.context.trailerInfo.Info = this.add(info);
    this.context.trailerInfo.ID = this.value([id, id]);
    return PDFWriter.forContext(this.context, Number.POSITIVE_INFINITY).serializeToBuffer();
  }
}

const isValueList = (value: Value): value is readonly Value[] => Array.isArray(value);

const isEntries = (value: Value): value is Entries =>
  typeof value === 'object' && Object.getPrototypeOf(value) === Object.prototype;

/** The resources that one content stream has called for so far. */
export class ResourceSet {
  private readonly kinds = new Map<ResourceKind, Map<string, Value>>();

  /** Takes the resource in under its name and returns the name as an operand. */
  use(kind: ResourceKind, name: string, value: Value): string {
    const named = this.kinds.get(kind) ?? new Map<string, Value>();
    named.set(name, value);
    this.kinds.set(kind, named);
    return `/${name}`;
  }

  entries(): Entries {
    return Object.fromEntries([...this.kinds].map(([kind, named]) => [kind, Object.fromEntries(named)]));
  }
}
