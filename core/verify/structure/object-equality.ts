/**
 * Whether an object of the panel says the same as its original in the artwork, whatever numbers the objects
 * have. The panel may say less: resources that it does not use, parts of images and drawings that it does not show.
 */
import { PDFArray, PDFDict, PDFName, PDFNumber, type PDFObject, PDFRef, PDFStream } from 'pdf-lib';
import { dictOf, nameOf } from '../../pdf/file/dict-values.ts';
import type { PdfFile } from '../../pdf/file/pdf-file.ts';
import { isPdfProblem } from '../../pdf/file/pdf-problem.ts';

/** Where two objects differ: the keys that lead there from the page. */
export type DifferencePath = readonly string[];

/** How a stream is packed, and what a panel leaves behind (core/pdf/object-copier.ts). */
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
]);
/** An image may be cropped; what its samples mean stays. */
const OF_CROPPED_IMAGES = new Set([...NOT_COMPARED, 'Width', 'Height', 'Alternates', 'OPI', 'ID']);
/** A form may be given the resources that it borrowed, and only those that it uses. */
const OF_CONTENT = new Set([...NOT_COMPARED, 'Resources']);

/** Fonts hold no color; what they draw is seen in the picture. */
const COMPARED_RESOURCES = ['ColorSpace', 'ExtGState', 'Pattern', 'Shading', 'XObject', 'Properties'];
const MAX_DIFFERENCES = 12;
const MAX_DEPTH = 200;

export class ObjectComparison {
  readonly differences: DifferencePath[] = [];
  /** Whether some form's content is not byte for byte the original's, so that what it paints must be compared. */
  isContentShortened = false;
  readonly #panel: PdfFile;
  readonly #source: PdfFile;
  /** Pairs that were compared or are being compared: objects lead back to themselves. */
  readonly #known = new Set<string>();

  constructor(panel: PdfFile, source: PdfFile) {
    this.#panel = panel;
    this.#source = source;
  }

  async compareObjects(
    inPanel: PDFObject | undefined,
    inSource: PDFObject | undefined,
    path: DifferencePath,
  ): Promise<void> {
    if (this.differences.length >= MAX_DIFFERENCES || path.length > MAX_DEPTH) return;
    if (inPanel instanceof PDFRef && inSource instanceof PDFRef && !this.#isNew(inPanel, inSource)) return;
    const a = await this.#panel.resolved(inPanel);
    const b = await this.#source.resolved(inSource);
    if (a === undefined || b === undefined) {
      if (a !== b && !isSkeleton(b)) this.#addDifference(path);
    } else if (a instanceof PDFStream && b instanceof PDFStream) await this.#compareStreams(a, b, path);
    else if (a instanceof PDFDict && b instanceof PDFDict)
      await this.compareEntries(a, b, path, NOT_COMPARED);
    else if (a instanceof PDFArray && b instanceof PDFArray) await this.#compareArrays(a, b, path);
    else if (a instanceof PDFNumber && b instanceof PDFNumber) {
      if (a.asNumber() !== b.asNumber()) this.#addDifference(path);
    } else if (a.toString() !== b.toString()) this.#addDifference(path);
  }

  /** Every resource that the panel has must be the source's of the same name. */
  async compareResources(
    inPanel: PDFObject | undefined,
    inSource: PDFObject | undefined,
    path: DifferencePath,
  ): Promise<void> {
    const a = await this.#panel.resolved(inPanel);
    const b = await this.#source.resolved(inSource);
    if (!(a instanceof PDFDict) || !(b instanceof PDFDict)) return;
    for (const category of COMPARED_RESOURCES) {
      const [ours, theirs] = [await this.#panel.entry(a, category), await this.#source.entry(b, category)];
      if (!(ours instanceof PDFDict)) continue;
      for (const [key, value] of ours.entries()) {
        const name = key.decodeText();
        const original = theirs instanceof PDFDict ? theirs.get(key) : undefined;
        await this.compareObjects(value, original, [...path, category, name]);
      }
    }
    // The default spaces act without being named, so none may be lost (ISO 32000-1, 8.6.5.6).
    const [ours, theirs] = [
      await this.#panel.entry(a, 'ColorSpace'),
      await this.#source.entry(b, 'ColorSpace'),
    ];
    for (const name of ['DefaultGray', 'DefaultRGB', 'DefaultCMYK']) {
      const isLost =
        theirs instanceof PDFDict &&
        theirs.has(PDFName.of(name)) &&
        !(ours instanceof PDFDict && ours.has(PDFName.of(name)));
      if (isLost) this.#addDifference([...path, 'ColorSpace', name]);
    }
  }

  async #compareStreams(a: PDFStream, b: PDFStream, path: DifferencePath): Promise<void> {
    const subtype = nameOf(await this.#source.entry(b.dict, 'Subtype'));
    if (subtype === 'Image') {
      const image = await this.#croppedImage(a);
      return this.compareEntries(image.dict, b.dict, path, OF_CROPPED_IMAGES);
    }
    const isTiling = b.dict.has(PDFName.of('PatternType'));
    const isContent = subtype === 'Form' || isTiling;
    await this.compareEntries(a.dict, b.dict, path, isContent ? OF_CONTENT : NOT_COMPARED);
    if (isContent)
      await this.compareResources(a.dict.get(PDFName.Resources), b.dict.get(PDFName.Resources), path);
    if (await this.#haveSameBytes(a, b)) return;
    if (subtype === 'Form') this.isContentShortened = true;
    else this.#addDifference(path);
  }

  /** In the place of a cropped image stands a form that paints the crop where it lay (core/pdf/image-stand-in.ts). */
  async #croppedImage(stream: PDFStream): Promise<PDFStream> {
    if (nameOf(await this.#panel.entry(stream.dict, 'Subtype')) !== 'Form') return stream;
    this.isContentShortened = true;
    const resources = dictOf(await this.#panel.entry(stream.dict, 'Resources'));
    const images = dictOf(await this.#panel.entry(resources, 'XObject'));
    const [only, ...more] = images?.values() ?? [];
    const image = more.length === 0 ? await this.#panel.resolved(only) : undefined;
    return image instanceof PDFStream ? image : stream;
  }

  async #haveSameBytes(a: PDFStream, b: PDFStream): Promise<boolean> {
    if (areBytesEqual(await this.#panel.streamBytes(a), await this.#source.streamBytes(b))) return true;
    try {
      const [ours, theirs] = [await this.#panel.streamDecoded(a), await this.#source.streamDecoded(b)];
      return areBytesEqual(ours.bytes, theirs.bytes);
    } catch (error) {
      if (isPdfProblem(error)) return false;
      throw error;
    }
  }

  async compareEntries(
    a: PDFDict,
    b: PDFDict,
    path: DifferencePath,
    ignored: ReadonlySet<string>,
  ): Promise<void> {
    const keys = new Set([...a.keys(), ...b.keys()]);
    for (const key of keys) {
      const name = key.decodeText();
      if (!ignored.has(name)) await this.compareObjects(a.get(key), b.get(key), [...path, name]);
    }
  }

  async #compareArrays(a: PDFArray, b: PDFArray, path: DifferencePath): Promise<void> {
    if (a.size() !== b.size()) return this.#addDifference(path);
    for (const [index, item] of a.asArray().entries()) await this.compareObjects(item, b.get(index), path);
  }

  #isNew(a: PDFRef, b: PDFRef): boolean {
    const pair = `${a.tag} ${b.tag}`;
    if (this.#known.has(pair)) return false;
    this.#known.add(pair);
    return true;
  }

  #addDifference(path: DifferencePath): void {
    if (this.differences.length < MAX_DIFFERENCES) this.differences.push(path);
  }
}

export function areBytesEqual(a: Uint8Array, b: Uint8Array): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return false;
  return true;
}

/** A stray reference to a page of the artwork is not carried over. */
function isSkeleton(object: PDFObject | undefined): boolean {
  const type = object instanceof PDFDict ? nameOf(object.get(PDFName.Type)) : undefined;
  return type !== undefined && ['Page', 'Pages', 'Catalog', 'StructTreeRoot', 'StructElem'].includes(type);
}
