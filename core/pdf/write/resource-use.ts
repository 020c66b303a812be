import { PDFArray, PDFDict, PDFName, type PDFObject, type PDFRef, PDFStream } from 'pdf-lib';
import { nameFromWritten, operandNames } from '../content/operand-names.ts';
import { OperationReader } from '../content/operation-reader.ts';
import type { StreamCut } from '../content/stream-record.ts';
import type { PdfFile } from '../file/pdf-file.ts';
import { isPdfProblem } from '../file/pdf-problem.ts';
import { PanelStream } from './panel-stream.ts';

const RESOURCES = PDFName.Resources;
/** Categories whose entries the content uses by name (ISO 32000-1, Table 33). */
const NAMED_CATEGORIES = ['ExtGState', 'ColorSpace', 'Pattern', 'Shading', 'XObject', 'Font', 'Properties'];
/** These take effect without being named (8.6.5.6). */
const DEFAULT_COLOR_SPACES = new Set(
  ['DefaultGray', 'DefaultRGB', 'DefaultCMYK'].map((name) => PDFName.of(name)),
);

/** Called and awaited every few milliseconds of work; it may throw to stop. */
export type Pause = (() => Promise<void>) | undefined;
const PAUSE_OPERATIONS = 1 << 14;

/** All names that are operands in a content stream, in any role and at any depth; escapes undone. */
export async function contentNames(content: Uint8Array, pause?: Pause): Promise<Set<PDFName>> {
  const written = new Set<string>();
  const reader = new OperationReader();
  reader.push(content, true);
  let read = 0;
  while (reader.next() === 'operation') {
    if (pause && ++read % PAUSE_OPERATIONS === 0) await pause();
    for (const name of operandNames(reader)) written.add(name);
  }
  return new Set([...written].map(nameFromWritten));
}

/** What remains of a stream's content. */
export interface EditedContent {
  readonly cut: StreamCut;
}

export interface UsedResources {
  readonly resources: PDFDict;
  /** Forms, patterns and Type 3 fonts that have no resources and therefore use these. */
  readonly borrowers: ReadonlySet<PDFObject>;
}

/**
 * Finds which resources a content stream may use. It does this once per artwork, however many panels are cut, because
 * drawing programs often give every form the resources of the whole page.
 */
export class ResourceUse {
  readonly #file: PdfFile;
  readonly #slimmed = new Map<PDFObject, PDFObject | undefined>();

  constructor(file: PdfFile) {
    this.#file = file;
  }

  /**
   * The resources that content with these names may use. An entry is left out only when its name occurs neither in the
   * content nor in any kept object that has no resources and so looks up names here. Content that cannot be read keeps
   * everything.
   */
  async used(resources: PDFDict, contentNames: ReadonlySet<PDFName>, pause?: Pause): Promise<UsedResources> {
    const names = new Set(contentNames);
    const borrowers = new Set<PDFObject>();
    for (let found = names.size, before = -1; found !== before; found = names.size) {
      before = found;
      for (const borrower of await this.#borrowersOf(resources, names)) {
        if (borrowers.has(borrower)) continue;
        borrowers.add(borrower);
        for (const stream of await this.#streamsOf(borrower)) {
          const more = await this.#namesIn(stream, pause);
          if (!more) return { resources, borrowers };
          for (const name of more) names.add(name);
        }
      }
    }
    const used = PDFDict.withContext(resources.context);
    for (const [key, value] of resources.entries()) {
      const category = NAMED_CATEGORIES.includes(key.decodeText())
        ? await this.#file.resolved(value)
        : undefined;
      used.set(key, category instanceof PDFDict ? categoryUsed(category, names) : value);
    }
    return { resources: used, borrowers };
  }

  /**
   * A copy of a form or tiling pattern with only the resources that it uses, and with `edited` as its content where
   * given; undefined where nothing changes.
   */
  async slimmed(object: PDFObject, edited?: EditedContent, pause?: Pause): Promise<PDFObject | undefined> {
    if (!(object instanceof PDFStream)) return undefined;
    if (edited) return this.#slim(object, edited, pause);
    if (!this.#slimmed.has(object)) this.#slimmed.set(object, await this.#slim(object, undefined, pause));
    return this.#slimmed.get(object);
  }

  async #slim(
    stream: PDFStream,
    edited: EditedContent | undefined,
    pause: Pause,
  ): Promise<PDFObject | undefined> {
    const subtype = await this.#file.entry(stream.dict, 'Subtype');
    const isTiling = stream.dict.has(PDFName.of('PatternType'));
    const resources = await this.#file.entry(stream.dict, 'Resources');
    if (!(subtype === PDFName.of('Form') || isTiling)) return undefined;
    if (!(resources instanceof PDFDict)) return edited && formWith(stream, stream.dict.clone(), edited);
    const names = edited?.cut.names ?? (await this.#namesIn(stream, pause));
    if (!names) return undefined;
    const dict = stream.dict.clone();
    dict.set(RESOURCES, (await this.used(resources, names, pause)).resources);
    return formWith(stream, dict, edited);
  }

  async #content(stream: PDFStream): Promise<Uint8Array | undefined> {
    try {
      return (await this.#file.streamDecoded(stream)).bytes;
    } catch (error) {
      if (!isPdfProblem(error)) throw error;
      return undefined;
    }
  }

  async #namesIn(stream: PDFStream, pause: Pause): Promise<Set<PDFName> | undefined> {
    const content = await this.#content(stream);
    return content && contentNames(content, pause);
  }

  /** All used resources that look up names in this dictionary because they have no resources themselves. */
  async #borrowersOf(resources: PDFDict, names: ReadonlySet<PDFName>): Promise<PDFObject[]> {
    const file = this.#file;
    const used = async (category: string): Promise<PDFObject[]> => {
      const entries = await file.entry(resources, category);
      if (!(entries instanceof PDFDict)) return [];
      const found: PDFObject[] = [];
      for (const [key, value] of entries.entries()) {
        const object = names.has(key) ? await file.resolved(value) : undefined;
        if (object) found.push(object);
      }
      return found;
    };
    const candidates = [...(await used('XObject')), ...(await used('Pattern')), ...(await used('Font'))];
    for (const state of await used('ExtGState')) {
      if (!(state instanceof PDFDict)) continue;
      const mask = await file.entry(state, 'SMask');
      const font = await file.entry(state, 'Font');
      if (mask instanceof PDFDict) candidates.push(...listed(await file.entry(mask, 'G')));
      if (font instanceof PDFArray && font.size() > 0)
        candidates.push(...listed(await file.resolved(font.get(0))));
    }
    const borrowers: PDFObject[] = [];
    for (const candidate of candidates) if (await this.#isBorrowing(candidate)) borrowers.push(candidate);
    return borrowers;
  }

  /**
   * Glyphs of a Type 3 font without Resources use those of the page (9.6.5, Table 112); forms do the same (Table 95).
   */
  async #isBorrowing(object: PDFObject): Promise<boolean> {
    const dict = object instanceof PDFStream ? object.dict : object;
    if (!(dict instanceof PDFDict) || (await this.#file.entry(dict, 'Resources')) instanceof PDFDict)
      return false;
    const subtype = await this.#file.entry(dict, 'Subtype');
    return object instanceof PDFStream ? subtype !== PDFName.of('Image') : subtype === PDFName.of('Type3');
  }

  async #streamsOf(borrower: PDFObject): Promise<PDFStream[]> {
    if (borrower instanceof PDFStream) return [borrower];
    const glyphs = borrower instanceof PDFDict ? await this.#file.entry(borrower, 'CharProcs') : undefined;
    if (!(glyphs instanceof PDFDict)) return [];
    const streams: PDFStream[] = [];
    for (const value of glyphs.values()) {
      const glyph = await this.#file.resolved(value);
      if (glyph instanceof PDFStream) streams.push(glyph);
    }
    return streams;
  }

  /** The same object with `resources` as its own, because inside another form a reader may no longer find them. */
  borrowerWith(borrower: PDFObject, resources: PDFRef, edited?: EditedContent): PDFObject {
    const dict = borrower instanceof PDFStream ? borrower.dict : borrower;
    if (!(dict instanceof PDFDict)) return borrower;
    const own = dict.clone();
    own.set(RESOURCES, resources);
    return borrower instanceof PDFStream ? formWith(borrower, own, edited) : own;
  }
}

function formWith(stream: PDFStream, dict: PDFDict, edited: EditedContent | undefined): PanelStream {
  if (edited === undefined) return new PanelStream(dict, { kind: 'carried', from: stream });
  for (const key of ['Filter', 'DecodeParms']) dict.delete(PDFName.of(key));
  return new PanelStream(dict, { kind: 'content', from: stream, cut: edited.cut });
}

const listed = (object: PDFObject | undefined): PDFObject[] => (object ? [object] : []);

function categoryUsed(category: PDFDict, names: ReadonlySet<PDFName>): PDFDict {
  const used = PDFDict.withContext(category.context);
  for (const [key, value] of category.entries()) {
    if (names.has(key) || DEFAULT_COLOR_SPACES.has(key)) used.set(key, value);
  }
  return used;
}
