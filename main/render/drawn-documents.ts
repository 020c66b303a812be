/** Which document a picture is drawn from: the file itself, or a reduced copy of the page. */
import { statSync } from 'node:fs';
import { COARSE_PX, isDrawnReduced } from '../../core/coarse-picture.ts';
import { PdfiumDocument } from './pdfium.ts';
import type { PictureFile, PictureRequest } from './picture-worker.ts';
import type { CopyKind, ReducedCopies } from './reduced-copies.ts';

/**
 * `where-needed`: only of a file that PDFium's memory cannot hold. `where-quicker`: also the coarse picture of a large
 * file, whose pictures it takes seconds to unpack.
 */
export type Reduces = 'where-needed' | 'where-quicker';

/** A smaller file is drawn as quickly as it is copied. */
const LARGE_BYTES = 20e6;
/** The last pixel of a width may be rounded. */
const COARSE_SLACK = 1.01;

/** It needs the reading of PDFs, which most threads do without. */
export const reducedCopiesLoaded = async () => await import('./reduced-copies.ts');

export interface DocumentOfPage {
  readonly document: PdfiumDocument;
  readonly page: number;
}

export class DrawnDocuments {
  readonly #file: PictureFile;
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
      this.#copies = reducedCopiesLoaded().then((loaded) => new loaded.ReducedCopies(path, password, signal));
    } else {
      void this.#wholeOpened();
    }
  }

  async forPicture(request: PictureRequest): Promise<DocumentOfPage | undefined> {
    const { page } = request;
    const copies = await this.#copies;
    const kind = copies && (await kindFor(request, copies));
    const isCopied = kind === 'coarse' || this.#isTooLarge;
    const copy = kind && isCopied ? await copies.copy(page, kind, this.#isTooLarge) : undefined;
    if (copy) return { document: copy, page: 1 };
    const whole = this.#isTooLarge || this.#ending.signal.aborted ? undefined : await this.#wholeOpened();
    return whole && { document: whole, page };
  }

  /** Gives up what is being made, and waits until it is. */
  async settled(): Promise<void> {
    this.#ending.abort();
    await Promise.allSettled([this.#whole, this.#copies?.then((copies) => copies.settled())]);
  }

  #wholeOpened(): Promise<PdfiumDocument | undefined> {
    const { path, password } = this.#file;
    this.#whole ??= PdfiumDocument.openFile(path, password);
    return this.#whole;
  }
}

async function kindFor(
  { page, window, widthPx }: PictureRequest,
  copies: ReducedCopies,
): Promise<CopyKind | undefined> {
  const size = await copies.pageSize(page);
  if (!size) return undefined;
  const longestPt = Math.max(size.widthPt, size.heightPt);
  const longestPx = (widthPx * longestPt) / (window?.widthPt ?? size.widthPt);
  return longestPx <= COARSE_PX * COARSE_SLACK ? 'coarse' : 'fine';
}
