/**
 * Small copies of the pages of an artwork, made by the machinery of the cut, which reads a large picture at the pace
 * of the disk and never holds it. PDFium draws from them what a screen shows.
 */
import { setImmediate } from 'node:timers/promises';
import { constants, deflateSync } from 'node:zlib';
import { present } from '../../core/measure/present.ts';
import { type Artwork, artworkFromSource } from '../../core/pdf/document/artwork.ts';
import type { FlateCodec } from '../../core/pdf/file/byte-stream.ts';
import { MemoryOutput } from '../../core/pdf/write/memory-output.ts';
import { COARSE_PX, FINEST_PX, REDUCED_PX } from '../../core/preview/coarse-picture.ts';
import { ReducedImages, type ReducingTools } from '../../core/preview/image-reduction.ts';
import { writeReducedPage } from '../../core/preview/reduced-page.ts';
import { openPdfSource, pdfCodecs } from '../files/pdf-source.ts';
import { unpackedInPassing } from '../files/unpacked.ts';
import { PdfiumDocument } from './pdfium.ts';

/**
 * `coarse` and `sharp` are made where that is quicker than to draw the file, `shared` where several pictures of a small file
 * are to be drawn; the others where the file is not to be drawn.
 */
export type CopyKind = keyof typeof DETAIL;

const LEAST_PIXELS = 1 << 18;
const QUICK = {
  isNeeded: false,
  leastPixels: LEAST_PIXELS,
  leavesSlow: true,
  keepsDamaged: false,
  maxBytes: 128e6,
  maxContentBytes: 8e6,
} as const;
const NEEDED = {
  isNeeded: true,
  pixelsKept: 1,
  leastPixels: LEAST_PIXELS,
  leavesSlow: false,
  keepsDamaged: true,
  maxContentBytes: 256e6,
} as const;
/** With two pixels for one the coarse picture comes out as if drawn from the file. Sharper copies have no room for more than one. */
const DETAIL = {
  coarse: { ...QUICK, longestPx: COARSE_PX, pixelsKept: 2 },
  sharp: { ...QUICK, longestPx: REDUCED_PX, pixelsKept: 1 },
  shared: {
    ...QUICK,
    longestPx: REDUCED_PX,
    pixelsKept: 1,
    maxTaps: 16,
    maxBytes: 64e6,
    maxContentBytes: 1e6,
    isOfPictures: true,
  },
  fine: { ...NEEDED, longestPx: REDUCED_PX, maxBytes: 768e6 },
  finest: { ...NEEDED, longestPx: FINEST_PX, maxBytes: 256e6 },
} as const;

/** Copies kept open, of one page and kind each. */
const MAX_COPIES = 3;
/** Longest work between two looks at whether to stop. */
const TURN_MS = 40;

/**
 * Where the file itself can be drawn instead, no more of this thread's CPU goes into a copy: for the drawings, which are
 * not made less by it, and for all.
 */
const QUICKER_WITHIN_SECONDS = { content: 2, all: 6 };

export interface ReducedCopy {
  readonly document: PdfiumDocument;
  /** Pixels of the longer edge of the largest picture for which it is sharp enough. */
  readonly sharpPx: number;
}

interface PageSize {
  readonly widthPt: number;
  readonly heightPt: number;
}

interface KeptCopy {
  /** How sharp it had to be. */
  readonly leastPx: number;
  readonly made: Promise<ReducedCopy | undefined>;
}

export class ReducedCopies {
  readonly #password: string;
  #path: string;
  #artwork: Promise<Artwork | undefined> | undefined;
  readonly #signal: AbortSignal;
  readonly #copies = new Map<string, KeptCopy>();
  /** Pages share pictures. */
  readonly #images = new ReducedImages();
  readonly #sizes = new Map<number, PageSize>();

  /** `signal` ends the work on a copy, which is then undefined. */
  constructor(path: string, password: string, signal: AbortSignal) {
    this.#path = path;
    this.#password = password;
    this.#signal = signal;
    void this.openSource();
  }

  /** The same file has moved; it is opened at its new place when more of it is needed. */
  useFileAt(path: string): void {
    this.#path = path;
    this.#artwork = undefined;
  }

  /** Of the page as it is shown, in units of its own; undefined where it cannot be read. */
  async pageSize(page: number): Promise<PageSize | undefined> {
    const known = this.#sizes.get(page);
    if (known) return known;
    const geometry = (await this.openSource())?.pages[page - 1]?.geometry;
    if (!geometry?.ok) return undefined;
    const { boxes, rotation } = geometry.value;
    const [width, height] = [boxes.crop.x1 - boxes.crop.x0, boxes.crop.y1 - boxes.crop.y0];
    const size =
      rotation % 180 === 0 ? { widthPt: width, heightPt: height } : { widthPt: height, heightPt: width };
    this.#sizes.set(page, size);
    return size;
  }

  /**
   * One that is sharp enough for a picture with `leastPx` along the longer edge of its page; 0: however sharp it comes out.
   * Undefined where the page cannot be made small enough, or not be read, and where it is only to be quicker and takes long.
   * The page has the number 1 in it. Callers draw from one copy before they ask for the next, which may close it.
   */
  async copy(page: number, kind: CopyKind, leastPx: number): Promise<ReducedCopy | undefined> {
    const name = `${page} ${kind}`;
    const known = this.#copies.get(name);
    const kept = await known?.made;
    if (kept) return kept.sharpPx >= leastPx ? kept : undefined;
    // One that was not sharp enough may be so for a smaller picture.
    if (known && leastPx >= known.leastPx) return undefined;
    const made = this.make(page, kind, leastPx);
    this.#copies.set(name, { leastPx, made });
    if (this.#copies.size > MAX_COPIES) {
      const [oldest, idle] = present(this.#copies.entries().next().value, 'The copy that waits longest');
      this.#copies.delete(oldest);
      (await idle.made)?.document.close();
    }
    return await made;
  }

  /** Waits until nothing is read or unpacked any more. */
  async settle(): Promise<void> {
    await Promise.all([this.#artwork, ...[...this.#copies.values()].map(({ made }) => made)]);
  }

  openSource(): Promise<Artwork | undefined> {
    this.#artwork ??= openArtworkAt(this.#path, this.#password).catch(() => undefined);
    return this.#artwork;
  }

  /** A failure here happens again, and is reported, when the file itself is drawn. */
  async make(page: number, kind: CopyKind, neededPx: number): Promise<ReducedCopy | undefined> {
    const artwork = await this.openSource();
    if (!artwork?.pages[page - 1]) return undefined;
    const output = new MemoryOutput();
    try {
      const { isNeeded, ...detail } = DETAIL[kind];
      const pause = pausing(this.#signal, isNeeded ? undefined : QUICKER_WITHIN_SECONDS);
      const request = { page, ...detail, neededPx };
      const written = await writeReducedPage(artwork, request, output, {
        flate: quickFlate,
        images: this.#images,
        pause,
      });
      if (!written.ok || this.#signal.aborted) return undefined;
      const document = await PdfiumDocument.open(output.parts);
      return document && { document, ...written.value };
    } catch {
      return undefined;
    }
  }
}

async function openArtworkAt(path: string, password: string): Promise<Artwork | undefined> {
  const source = await openPdfSource(path);
  const artwork = await artworkFromSource(source, { codecs: pdfCodecs, password: password || undefined });
  return artwork.ok ? artwork.value : undefined;
}

/** A message to stop is received between two turns of the event loop. */
function pausing(
  signal: AbortSignal,
  limits: typeof QUICKER_WITHIN_SECONDS | undefined,
): NonNullable<ReducingTools['pause']> {
  const began = process.threadCpuUsage();
  let turnEndsMs = performance.now() + TURN_MS;
  return (work) => {
    if (performance.now() < turnEndsMs) return undefined;
    const { user, system } = process.threadCpuUsage(began);
    const limit = limits?.[work === 'content' ? 'content' : 'all'] ?? Number.POSITIVE_INFINITY;
    if ((user + system) / 1e6 > limit) throw new Error('Drawing the file itself is quicker.');
    return (async () => {
      await setImmediate();
      signal.throwIfAborted();
      turnEndsMs = performance.now() + TURN_MS;
    })();
  };
}

/** Little is packed, and unpacking waits in native code while this thread makes pictures smaller. */
export const quickFlate: FlateCodec = {
  inflate: unpackedInPassing,
  deflate: (into) => {
    const parts: Uint8Array[] = [];
    return {
      write: (bytes) => void parts.push(bytes.slice()),
      end: async () => {
        await into.write(deflateSync(Buffer.concat(parts), { level: constants.Z_BEST_SPEED }));
        await into.end();
      },
    };
  },
};
