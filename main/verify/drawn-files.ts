/** The files that are drawn: either renderer opens them, a large one as a copy with reduced pictures. */
import { statSync } from 'node:fs';
import { setImmediate } from 'node:timers/promises';
import { present } from '../../core/measure/present.ts';
import { type Artwork, artworkFromSource } from '../../core/pdf/document/artwork.ts';
import { bytesJoined } from '../../core/pdf/file/byte-stream.ts';
import { MemoryOutput } from '../../core/pdf/write/memory-output.ts';
import { ReducedImages } from '../../core/preview/image-reduction.ts';
import { writeReducedPage } from '../../core/preview/reduced-page.ts';
import { openPdfSource, pdfCodecs } from '../files/pdf-source.ts';
import { unpackedInPassing } from '../files/unpacked.ts';
import { PdfiumDocument } from '../render/pdfium.ts';
import { quickFlate } from '../render/reduced-copies.ts';
import type { DrawRequest, Renderer } from './draw-message.ts';
import { PdfjsDocument } from './pdfjs-document.ts';

/** Drawing a smaller file is as fast as copying it. */
const SMALL_BYTES = 2.5e5;
/**
 * Drawing a larger file directly takes much memory. pdf.js unpacks pictures in JavaScript, and draws none that is wider
 * than 32,767 pixels.
 */
const LARGE_BYTES: Readonly<Record<Renderer, number>> = { pdfium: 24e6, pdfjs: SMALL_BYTES };
/**
 * A file that cannot be made small is drawn directly up to this size, because a renderer holds all of it, and its
 * pictures.
 */
const MAX_WHOLE_BYTES = 256e6;
/**
 * A crop is reduced on another grid than its source picture. With one pixel for each drawn one, the mean of all its
 * samples, a thin line has the same weight in both; with more, a renderer skips some of them.
 */
const COPY = {
  pixelsKept: 1,
  maxTaps: 16,
  leastPixels: 1 << 18,
  leavesSlow: false,
  keepsDamaged: true,
  maxBytes: 256e6,
  maxContentBytes: 128e6,
} as const;
/** Copies of files that could be drawn directly: made only if pictures get smaller and little else must be read. */
const QUICKER = { ...COPY, maxContentBytes: 1e6, isOfPictures: true } as const;
/** Limit for all copies together, for the second renderer: enough for the artwork of a side and its panels. */
const MAX_KEPT_BYTES = 96e6;

interface DrawnFile {
  readonly key: string;
  readonly page: number;
  picture(request: DrawRequest): Promise<Uint8Array>;
  close(): Promise<void> | void;
}

export class DrawnFiles {
  /** The artwork of a side stays open while its panels are drawn: one file per renderer. */
  readonly #open = new Map<Renderer, DrawnFile[]>();
  readonly #copies = new Map<string, Copy>();
  /** Whether PDFium draws the artwork of the side from a copy. */
  #isArtworkCopied = false;
  /** Kept open, because pages of the artwork share pictures. */
  #copied: CopiedFile | undefined;

  /** @throws where it cannot be drawn */
  async picture(request: DrawRequest): Promise<Uint8Array> {
    const file = await this.#opened(request);
    return await file.picture({ ...request, page: file.page });
  }

  async close(): Promise<void> {
    for (const files of this.#open.values()) for (const file of files) await file.close();
    this.#open.clear();
    this.#copies.clear();
    this.#copied = undefined;
  }

  async #opened(request: DrawRequest): Promise<DrawnFile> {
    const { renderer, path, page, longestPx, isPanel, artworkBytes } = request;
    const sizeBytes = statSync(path).size;
    const copied = await this.#copyFor(request, Math.max(sizeBytes, artworkBytes));
    if (sizeBytes > MAX_WHOLE_BYTES && !copied) throw new Error('it is too large to be drawn whole');
    if (renderer === 'pdfium' && !isPanel) this.#isArtworkCopied = copied !== undefined;
    const key = copied ? `${path} ${page} ${longestPx}` : path;
    const kept = this.#open.get(renderer) ?? [];
    const known = kept.find((file) => file.key === key);
    if (known) return copied ? known : { ...known, page };
    while (kept.length > 0) await present(kept.pop(), 'The last of the files').close();
    const opened = await (renderer === 'pdfium' ? pdfiumFile : pdfjsFile)(copied ?? path, request.password);
    const file = { ...opened, key, page: copied ? 1 : page };
    this.#open.set(renderer, [file]);
    return file;
  }

  async #copyFor(request: DrawRequest, bytes: number): Promise<Uint8Array | undefined> {
    const { renderer, isPanel } = request;
    if (bytes > LARGE_BYTES[renderer]) return await this.#copy(request, COPY);
    if (bytes <= SMALL_BYTES || (isPanel && !this.#isArtworkCopied)) return undefined;
    return await this.#copy(request, QUICKER);
  }

  async #copy(
    { path, password, page, longestPx }: DrawRequest,
    detail: Copy['detail'],
  ): Promise<Uint8Array | undefined> {
    const key = `${path} ${page} ${longestPx}`;
    const known = this.#copies.get(key);
    // If no fast copy was possible, a full one may still be necessary.
    if (known && (known.bytes || known.detail === detail)) return known.bytes;
    const file = await this.#fileToCopy(path, password);
    if (!file) return undefined;
    const output = new MemoryOutput();
    const tools = {
      flate: { inflate: unpackedInPassing, deflate: quickFlate.deflate },
      images: file.images,
      pause: async () => void (await setImmediate()),
    };
    const written = await writeReducedPage(file.artwork, { page, longestPx, ...detail }, output, tools);
    const bytes = written.ok ? bytesJoined(output.parts) : undefined;
    this.#keep(key, { detail, bytes });
    return bytes;
  }

  #keep(key: string, copy: Copy): void {
    this.#copies.set(key, copy);
    let total = [...this.#copies.values()].reduce((sum, { bytes }) => sum + (bytes?.length ?? 0), 0);
    for (const [oldest, { bytes }] of this.#copies) {
      if (total <= MAX_KEPT_BYTES || oldest === key) return;
      this.#copies.delete(oldest);
      total -= bytes?.length ?? 0;
    }
  }

  async #fileToCopy(path: string, password: string | undefined): Promise<CopiedFile | undefined> {
    if (this.#copied?.path === path) return this.#copied;
    const source = await openPdfSource(path);
    const artwork = await artworkFromSource(source, { codecs: pdfCodecs, password });
    if (!artwork.ok) return undefined;
    const file = { path, artwork: artwork.value, images: new ReducedImages() };
    // Panels are copied only once each.
    if (artwork.value.pages.length > 1) this.#copied = file;
    return file;
  }
}

interface Copy {
  readonly detail: typeof COPY | typeof QUICKER;
  /** Undefined where the copy could not be made, or was no smaller. */
  readonly bytes: Uint8Array | undefined;
}

interface CopiedFile {
  readonly path: string;
  readonly artwork: Artwork;
  readonly images: ReducedImages;
}

type Opened = Pick<DrawnFile, 'picture' | 'close'>;

async function pdfiumFile(file: string | Uint8Array, password: string | undefined): Promise<Opened> {
  const document = await (typeof file === 'string'
    ? PdfiumDocument.openFile(file, password)
    : PdfiumDocument.open([file]));
  if (!document) throw new Error('it cannot be opened');
  return {
    async picture({ page, placement, size, userUnit }) {
      const scale = placement.scale * userUnit;
      const [xPt, yPt] = [-placement.x0 / scale, -placement.y0 / scale];
      const window = { xPt, yPt, widthPt: size.width / scale, heightPt: size.height / scale };
      const picture = document.picture(page, window, size.width);
      if (picture?.height !== size.height) throw new Error('its page cannot be drawn');
      return picture.rgba;
    },
    close: () => document.close(),
  };
}

async function pdfjsFile(file: string | Uint8Array, password: string | undefined): Promise<Opened> {
  // It takes ownership of the bytes, so it gets a copy of them.
  const document = await PdfjsDocument.open(typeof file === 'string' ? file : file.slice(), password);
  return {
    picture: async ({ page, placement, size }) => await document.picture(page, placement, size),
    close: async () => await document.close(),
  };
}
