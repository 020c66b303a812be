/**
 * Small copies of the pages of an artwork. The code of the cut makes them: it reads a large picture at the speed of the
 * disk and never holds it whole. PDFium draws them for the screen.
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
 * `coarse` and `sharp` are made where that is faster than drawing the file, `shared` where several pictures of a small
 * file will be drawn; the others where the file must not be drawn.
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
/**
 * With two pixels for one, the coarse picture looks as if drawn from the file. Sharper copies have room for only one.
 */
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

/** Number of copies kept open; each is for one page and kind. */
const MAX_COPIES = 3;
/** Longest work between two checks for a cancel. */
const TURN_MS = 40;

/**
 * CPU limit of this thread for a copy where the file itself can be drawn instead: for walking the drawings, which a
 * copy does not reduce, and in all.
 */
const QUICKER_WITHIN_SECONDS = { content: 2, all: 6 };

export interface ReducedCopy {
  readonly document: PdfiumDocument;
  /** Longer edge, in pixels, of the largest picture for which the copy is sharp enough. */
  readonly sharpPx: number;
}

interface PageSize {
  readonly widthPt: number;
  readonly heightPt: number;
}

interface KeptCopy {
  /** The sharpness that was requested. */
  readonly leastPx: number;
  readonly made: Promise<ReducedCopy | undefined>;
}

export class ReducedCopies {
  readonly #password: string;
  #path: string;
  #artwork: Promise<Artwork | undefined> | undefined;
  readonly #signal: AbortSignal;
  readonly #copies = new Map<string, KeptCopy>();
  /** Kept for all pages, because they share pictures. */
  readonly #images = new ReducedImages();
  readonly #sizes = new Map<number, PageSize>();

  /** `signal` ends the work on a copy, which is then undefined. */
  constructor(path: string, password: string, signal: AbortSignal) {
    this.#path = path;
    this.#password = password;
    this.#signal = signal;
    void this.openSource();
  }

  /** Call this when the file has moved; it is opened at its new path when more of it is needed. */
  useFileAt(path: string): void {
    this.#path = path;
    this.#artwork = undefined;
  }

  /** Size of the page as shown, in its own units; undefined where it cannot be read. */
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
   * A copy that is sharp enough for a picture with `leastPx` along the longer edge of its page; 0: any sharpness.
   * Undefined where the page cannot be read or made small enough, and where a copy made only for speed takes too long.
   * The page has number 1 in the copy. Draw from one copy before requesting the next, which may close it.
   */
  async copy(page: number, kind: CopyKind, leastPx: number): Promise<ReducedCopy | undefined> {
    const name = `${page} ${kind}`;
    const known = this.#copies.get(name);
    const kept = await known?.made;
    if (kept) return kept.sharpPx >= leastPx ? kept : undefined;
    // A copy that was not sharp enough may do for a smaller picture.
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

  /** Waits until all reading and unpacking has ended. */
  async settle(): Promise<void> {
    await Promise.all([this.#artwork, ...[...this.#copies.values()].map(({ made }) => made)]);
  }

  openSource(): Promise<Artwork | undefined> {
    this.#artwork ??= openArtworkAt(this.#path, this.#password).catch(() => undefined);
    return this.#artwork;
  }

  /** Returns undefined after a failure: it happens again, and is reported, when the file itself is drawn. */
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

/** A cancel arrives as a message, which is received only between two turns of the event loop. */
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

/** Little is packed here, and unpacking waits in native code while this thread reduces pictures. */
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
