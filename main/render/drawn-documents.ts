/** Which document a picture is drawn from: the file itself, or a reduced copy of the page. */
import { statSync } from 'node:fs';
import { COARSE_PX, isDrawnReduced } from '../../core/preview/coarse-picture.ts';
import { PdfiumDocument } from './pdfium.ts';
import type { PictureFile, PictureRequest } from './picture-message.ts';
import type { ReducedCopies } from './reduced-copies.ts';

/** A smaller file is drawn as quickly as it is copied. */
const LARGE_BYTES = 20e6;
/** The last pixel of a width may be rounded. */
const COARSE_SLACK = 1.01;

/** It needs the reading of PDFs, which most threads do without. */
export const loadReducedCopies = async () => await import('./reduced-copies.ts');

export interface DocumentOfPage {
  readonly document: PdfiumDocument;
  readonly page: number;
}

export class DrawnDocuments {
  #file: PictureFile;
  readonly #copies: Promise<ReducedCopies> | undefined;
  readonly #ending = new AbortController();
  readonly #isTooLarge: boolean;
  #whole: Promise<PdfiumDocument | undefined> | undefined;

  constructor(file: PictureFile) {
    const { path, password, reduces } = file;
    this.#file = file;
    const sizeBytes = statSync(path).size;
    this.#isTooLarge = isDrawnReduced({ sizeBytes });
    if (this.#isTooLarge || (reduces === 'where-quicker' && sizeBytes > LARGE_BYTES)) {
      const { signal } = this.#ending;
      this.#copies = loadReducedCopies().then((loaded) => new loaded.ReducedCopies(path, password, signal));
    } else {
      void this.#openWhole();
    }
  }

  /** The same file lies elsewhere now. */
  useFileAt(path: string): void {
    this.#file = { ...this.#file, path };
    void this.#copies?.then((copies) => copies.useFileAt(path));
  }

  async forPicture(request: PictureRequest): Promise<DocumentOfPage | undefined> {
    const { page } = request;
    const copies = await this.#copies;
    const isCopied = copies && (this.#isTooLarge || (await isCoarse(request, copies)));
    // To read such a file takes so long that one copy has to do for all pictures.
    const kind = this.#isTooLarge ? 'fine' : 'coarse';
    const copy = isCopied ? await copies.copy(page, kind, this.#isTooLarge) : undefined;
    if (copy) return { document: copy, page: 1 };
    const whole = this.#isTooLarge || this.#ending.signal.aborted ? undefined : await this.#openWhole();
    return whole && { document: whole, page };
  }

  /** Gives up what is being made, and waits until it is. */
  async settle(): Promise<void> {
    this.#ending.abort();
    await Promise.allSettled([this.#whole, this.#copies?.then((copies) => copies.settle())]);
  }

  /** Gives up the file and the memory that it takes. Nothing may be drawn from it any more. */
  async close(): Promise<void> {
    await this.settle();
    (await this.#whole)?.close();
  }

  #openWhole(): Promise<PdfiumDocument | undefined> {
    const { path, password } = this.#file;
    this.#whole ??= PdfiumDocument.openFile(path, password);
    return this.#whole;
  }
}

async function isCoarse({ page, window, widthPx }: PictureRequest, copies: ReducedCopies): Promise<boolean> {
  const size = await copies.pageSize(page);
  if (!size) return false;
  const longestPx = (widthPx * Math.max(size.widthPt, size.heightPt)) / (window?.widthPt ?? size.widthPt);
  return longestPx <= COARSE_PX * COARSE_SLACK;
}
