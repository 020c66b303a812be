/**
 * Flate for the cut. Packing is done in segments of a fixed size, each on a thread, so that all cores can work on one
 * stream. The packed bytes depend only on the input bytes.
 */

import { ADLER_START, adler32Joined } from '../../core/pdf/file/adler32.ts';
import type { ByteSink, FlateCodec } from '../../core/pdf/file/byte-stream.ts';
import { FlateThreads } from './flate-threads.ts';
import { decodeJpeg2000 } from './jpeg2000.ts';
import { type PackedSegment, packedRoom, packSegment, SEGMENT_BYTES } from './segment.ts';

/** Smaller data is packed at once: that takes a few milliseconds, less than starting a thread. */
const SMALL_BYTES = 1 << 16;
/** Head of a stream with a window of 32 KB (RFC 1950, 2.2). */
const HEAD = [0x78, 0x9c];

const threads = new FlateThreads();

/**
 * A codec whose streams share the threads of the process. The threads start on first use, or by `startFlateThreads`.
 */
export const flateCodec = (): FlateCodec => ({
  inflate: (source) => threads.unpack(source),
  deflate: (into) => new SegmentedPacking(into),
  decodeJpeg2000,
});

/** Starts the threads while other work continues. */
export const startFlateThreads = (): void => threads.start();

class SegmentedPacking implements ByteSink {
  readonly #into: ByteSink;
  /** A short stream uses little memory; a longer one a whole segment, in memory shared with threads. */
  #small = new Uint8Array(0);
  #segment: Uint8Array<SharedArrayBuffer> | undefined;
  #filled = 0;
  #checksum = ADLER_START;
  #isBegun = false;
  #failure: { readonly error: unknown } | undefined;
  /** Resolves when every segment so far has been passed on. */
  #handedOn: Promise<void> = Promise.resolve();

  constructor(into: ByteSink) {
    this.#into = into;
  }

  async write(bytes: Uint8Array): Promise<void> {
    for (let at = 0; at < bytes.length; ) {
      if (this.#filled === SEGMENT_BYTES) await this.#give(false);
      const room = this.#roomFor(bytes.length - at);
      const part = bytes.subarray(at, at + room.length - this.#filled);
      room.set(part, this.#filled);
      this.#filled += part.length;
      at += part.length;
    }
  }

  async end(): Promise<void> {
    await this.#give(true);
    await this.#handedOn;
    this.#throwFailure();
    await this.#into.end();
  }

  #roomFor(more: number): Uint8Array {
    if (this.#segment) return this.#segment;
    const wanted = this.#filled + more;
    if (wanted <= this.#small.length) return this.#small;
    const filled = this.#small.subarray(0, this.#filled);
    if (wanted > SMALL_BYTES) {
      this.#segment = threads.segment();
      this.#segment.set(filled);
      return this.#segment;
    }
    this.#small = new Uint8Array(Math.max(wanted, 2 * this.#filled));
    this.#small.set(filled);
    return this.#small;
  }

  async #give(isLast: boolean): Promise<void> {
    const segment = this.#segment;
    const length = this.#filled;
    this.#segment = undefined;
    this.#filled = 0;
    const use = (packed: Promise<PackedSegment>): Promise<void> => {
      this.#handedOn = this.#handOn(this.#handedOn, packed, length, isLast);
      return this.#handedOn;
    };
    if (segment) await threads.pack(segment, length, isLast, use);
    else await use(Promise.resolve(this.#packHere(length, isLast)));
    this.#small = new Uint8Array(0);
    this.#throwFailure();
  }

  #packHere(length: number, isLast: boolean): PackedSegment {
    return packSegment(this.#small.subarray(0, length), isLast, new Uint8Array(packedRoom(length)));
  }

  async #handOn(
    before: Promise<void>,
    packed: Promise<PackedSegment>,
    length: number,
    isLast: boolean,
  ): Promise<void> {
    try {
      const [{ bytes, checksum }] = await Promise.all([packed, before]);
      if (this.#failure) return;
      if (!this.#isBegun) await this.#into.write(Uint8Array.from(HEAD));
      this.#isBegun = true;
      await this.#into.write(bytes);
      this.#checksum = adler32Joined(this.#checksum, checksum, length);
      if (!isLast) return;
      const tail = new Uint8Array(4);
      new DataView(tail.buffer).setUint32(0, this.#checksum);
      await this.#into.write(tail);
    } catch (error) {
      this.#failure ??= { error };
    }
  }

  #throwFailure(): void {
    if (this.#failure) throw this.#failure.error;
  }
}
