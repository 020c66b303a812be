/** Decides which document a picture is drawn from: the file itself, or a reduced copy of the page. */
import { statSync } from 'node:fs';
import { COARSE_PX, isDrawnReduced, REDUCED_PX } from '../../core/preview/coarse-picture.ts';
import { fileVersion } from '../files/file-version.ts';
import { PdfiumDocument } from './pdfium.ts';
import type { PictureFile, PictureRequest, Reduces } from './picture-message.ts';
import type { CopyKind, ReducedCopies, ReducedCopy } from './reduced-copies.ts';

/** Larger files are drawn from copies that are sharp enough; drawing a smaller one is as fast as copying it. */
const LARGE_BYTES: Readonly<Record<Reduces, number>> = {
  'where-quicker': 20e6,
  'where-needed': 64e6,
  'where-shared': 5e5,
};
/** Tasks draw larger files from copies of any sharpness, because PDFium takes more than twice the file in memory. */
const SPARED_BYTES = 256e6;
/** Allows for rounding of the last pixel of a width. */
const SLACK = 1.01;

/** Loaded on demand, because it needs the PDF reader, which most threads do not. */
export const loadReducedCopies = async () => await import('./reduced-copies.ts');

export interface DocumentOfPage {
  readonly document: PdfiumDocument;
  readonly page: number;
}

export class DrawnDocuments {
  #file: PictureFile;
  readonly #copies: Promise<ReducedCopies> | undefined;
  readonly #ending = new AbortController();
  readonly #sizeBytes: number;
  readonly #version: string;
  readonly #isTooLarge: boolean;
  #whole: Promise<PdfiumDocument | undefined> | undefined;

  constructor(file: PictureFile) {
    const { path, password, reduces } = file;
    this.#file = file;
    const found = statSync(path);
    const { size: sizeBytes } = found;
    this.#sizeBytes = sizeBytes;
    this.#version = fileVersion(path, found);
    this.#isTooLarge = isDrawnReduced({ sizeBytes });
    if (sizeBytes > LARGE_BYTES[reduces]) {
      const { signal } = this.#ending;
      this.#copies = loadReducedCopies().then((loaded) => new loaded.ReducedCopies(path, password, signal));
    } else {
      void this.#openWhole();
    }
  }

  /** Call this when the file has moved. */
  useFileAt(path: string): void {
    this.#file = { ...this.#file, path };
    void this.#copies?.then((copies) => copies.useFileAt(path));
  }

  /** Whether it holds only copies, which are small. */
  get isOfCopies(): boolean {
    return this.#copies !== undefined && this.#whole === undefined;
  }

  /** Whether this was made for the same, unchanged file. */
  isOf({ path, password, reduces }: PictureFile): boolean {
    const own = this.#file;
    if (own.path !== path || own.password !== password || own.reduces !== reduces) return false;
    const found = statSync(path, { throwIfNoEntry: false });
    return found !== undefined && fileVersion(path, found) === this.#version;
  }

  async forPicture(request: PictureRequest): Promise<DocumentOfPage | undefined> {
    const copies = await this.#copies;
    const copy = copies && (await this.#copyFor(request, copies));
    if (copy) return { document: copy.document, page: 1 };
    const whole = this.#isTooLarge || this.#ending.signal.aborted ? undefined : await this.#openWhole();
    return whole && { document: whole, page: request.page };
  }

  /** Stops what is being made, and waits until it has stopped. */
  async settle(): Promise<void> {
    this.#ending.abort();
    await Promise.allSettled([this.#whole, this.#copies?.then((copies) => copies.settle())]);
  }

  /** Frees the file and its memory. Nothing may be drawn from it afterward. */
  async close(): Promise<void> {
    await this.settle();
    (await this.#whole)?.close();
  }

  async #copyFor(request: PictureRequest, copies: ReducedCopies): Promise<ReducedCopy | undefined> {
    const { page } = request;
    const neededPx = (await longestPx(request, copies)) / SLACK;
    const copy = async (kind: CopyKind, leastPx = 0) => await copies.copy(page, kind, leastPx);
    const { reduces } = this.#file;
    if (reduces === 'where-shared' && this.#sizeBytes <= LARGE_BYTES['where-needed'])
      return neededPx > REDUCED_PX ? undefined : await copy('shared', neededPx);
    if (reduces !== 'where-quicker') {
      const leastPx = this.#sizeBytes > SPARED_BYTES ? 0 : neededPx;
      return await copy(neededPx > REDUCED_PX ? 'finest' : 'fine', leastPx);
    }
    // Reading a file this large takes so long that one copy must serve all pictures.
    if (this.#isTooLarge) return await copy('fine');
    if (neededPx > REDUCED_PX) return undefined;
    const coarse = await copy('coarse');
    if (!coarse || neededPx <= Math.max(COARSE_PX, coarse.sharpPx)) return coarse;
    return await copy('sharp', neededPx);
  }

  #openWhole(): Promise<PdfiumDocument | undefined> {
    const { path, password } = this.#file;
    this.#whole ??= PdfiumDocument.openFile(path, password);
    return this.#whole;
  }
}

/**
 * Longer edge of the whole page in pixels, at the scale of the requested picture; infinite where the page cannot be
 * read.
 */
async function longestPx({ page, window, widthPx }: PictureRequest, copies: ReducedCopies): Promise<number> {
  const size = await copies.pageSize(page);
  if (!size) return Number.POSITIVE_INFINITY;
  return (widthPx * Math.max(size.widthPt, size.heightPt)) / (window?.widthPt ?? size.widthPt);
}
