/**
 * Flate for the cut. Packing is done in segments of a fixed size, each a job of its own on the thread pool, so all
 * cores can work on one stream. Segments end on a byte, with an empty stored block (RFC 1951, 3.2.4), and can be put
 * one behind the other. The bytes that come out depend on the bytes that went in, and on nothing else.
 */
import { Readable } from 'node:stream';
import { promisify } from 'node:util';
import { constants, createInflate, deflateRaw } from 'node:zlib';
import type { ByteSink, FlateCodec } from '../../core/pdf/images/byte-stream.ts';
import { ADLER_START, adler32 } from './adler32.ts';
import { JobLimit } from './job-limit.ts';

const SEGMENT_BYTES = 1 << 21;
/** Streams up to this size take no whole segment. */
const SMALL_BYTES = 1 << 16;
/** So much from the middle of each segment is packed both ways, to see which way is worth its time. */
const SAMPLE_BYTES = 1 << 15;
/** How much larger the result of the fast way may be. */
const FAST_TOLERANCE = 1.01;
/** Packing jobs at a time over all streams: the pool has four threads, and one of them unpacks. */
const MAX_JOBS = 3;
const UNPACKED_CHUNK_BYTES = 1 << 18;
const UNPACKED_CHUNKS_AHEAD = 4;

/** Nothing may wait inside the stream, because an error would discard it. */
const UNPACKING = { chunkSize: UNPACKED_CHUNK_BYTES, readableHighWaterMark: 1 };

const packed = promisify<Uint8Array, ZlibOptions, Uint8Array>(deflateRaw);
interface ZlibOptions {
  readonly strategy?: number;
  readonly finishFlush?: number;
  /** Room for the whole result at once: many small pieces would cost more than the packing. */
  readonly chunkSize: number;
}
/** Looks for runs and for no other repetition: four times as fast, and as good on the noise of photographs. */
const FAST = { strategy: constants.Z_RLE };
const THOROUGH = {};
/** More than incompressible data gain (RFC 1951, 3.2.4). */
const roomFor = (bytes: number): number => bytes + (bytes >> 8) + 64;
/** Head of a stream with a window of 32 KB (RFC 1950, 2.2). */
const HEAD = Uint8Array.of(0x78, 0x9c);

/** A codec whose streams share the thread pool. */
export function flateCodec(): FlateCodec {
  const shared: Shared = { jobs: new JobLimit(MAX_JOBS), segments: [] };
  return { inflate: unpacked, deflate: (into) => new SegmentedPacking(into, shared) };
}

/** What the streams of one codec share. */
interface Shared {
  readonly jobs: JobLimit;
  /** Segments that are free again: new memory for every one would keep the collector busy. */
  readonly segments: Uint8Array<ArrayBuffer>[];
}

class SegmentedPacking implements ByteSink {
  readonly #into: ByteSink;
  readonly #shared: Shared;
  #segment = new Uint8Array(0);
  #filled = 0;
  #adler = ADLER_START;
  #isBegun = false;
  #failure: { readonly error: unknown } | undefined;
  /** Settles when every segment given so far has been handed on. */
  #handedOn: Promise<void> = Promise.resolve();

  constructor(into: ByteSink, shared: Shared) {
    this.#into = into;
    this.#shared = shared;
  }

  async write(bytes: Uint8Array): Promise<void> {
    for (let at = 0; at < bytes.length; ) {
      if (this.#filled === this.#segment.length) await this.#makeRoom(bytes.length - at);
      const part = bytes.subarray(at, at + this.#segment.length - this.#filled);
      this.#segment.set(part, this.#filled);
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

  /** A short stream takes little memory; a full segment goes to work. */
  async #makeRoom(needed: number): Promise<void> {
    if (this.#filled === SEGMENT_BYTES) await this.#give(false);
    const wanted = this.#filled + needed;
    const larger =
      wanted <= SMALL_BYTES
        ? new Uint8Array(Math.max(wanted, 2 * this.#filled))
        : (this.#shared.segments.pop() ?? new Uint8Array(SEGMENT_BYTES));
    larger.set(this.#segment.subarray(0, this.#filled));
    this.#segment = larger;
  }

  async #give(isLast: boolean): Promise<void> {
    const segment = this.#segment;
    const bytes = segment.subarray(0, this.#filled);
    this.#segment = new Uint8Array(0);
    this.#filled = 0;
    this.#adler = adler32(bytes, this.#adler);
    const checksum = this.#adler;
    const { jobs, segments } = this.#shared;
    await jobs.begin();
    const work = segmentPacked(bytes, isLast).finally(() => {
      if (segment.length === SEGMENT_BYTES) segments.push(segment);
    });
    const before = this.#handedOn;
    this.#handedOn = (async () => {
      try {
        await before;
        const result = await work;
        if (this.#failure === undefined) await this.#handOn(result, isLast ? checksum : undefined);
      } catch (error) {
        this.#failure ??= { error };
      } finally {
        jobs.end();
      }
    })();
    this.#throwFailure();
  }

  async #handOn(segment: Uint8Array, checksum: number | undefined): Promise<void> {
    if (!this.#isBegun) await this.#into.write(HEAD.slice());
    this.#isBegun = true;
    await this.#into.write(segment);
    if (checksum === undefined) return;
    const tail = new Uint8Array(4);
    new DataView(tail.buffer).setUint32(0, checksum);
    await this.#into.write(tail);
  }

  #throwFailure(): void {
    if (this.#failure) throw this.#failure.error;
  }
}

async function segmentPacked(bytes: Uint8Array, isLast: boolean): Promise<Uint8Array> {
  const way = (await isFastEnough(bytes)) ? FAST : THOROUGH;
  const finishFlush = isLast ? constants.Z_FINISH : constants.Z_SYNC_FLUSH;
  return packed(bytes, { ...way, finishFlush, chunkSize: roomFor(bytes.length) });
}

async function isFastEnough(bytes: Uint8Array): Promise<boolean> {
  if (bytes.length < 2 * SAMPLE_BYTES) return false;
  const middle = (bytes.length - SAMPLE_BYTES) >> 1;
  const sample = bytes.subarray(middle, middle + SAMPLE_BYTES);
  const chunkSize = roomFor(SAMPLE_BYTES);
  const [fast, thorough] = await Promise.all([
    packed(sample, { ...FAST, chunkSize }),
    packed(sample, { ...THOROUGH, chunkSize }),
  ]);
  return fast.length <= thorough.length * FAST_TOLERANCE;
}

/** Unpacks a few chunks ahead. Damaged data end early; what was unpacked before the damage is always handed on. */
async function* unpacked(source: AsyncIterable<Uint8Array>): AsyncIterable<Uint8Array> {
  const inflater = createInflate(UNPACKING);
  const input = Readable.from(source, { highWaterMark: 2 });
  const chunks: Uint8Array[] = [];
  let ended: { readonly error?: unknown } | undefined;
  let wake = (): void => undefined;
  inflater.on('data', (chunk: Uint8Array) => {
    chunks.push(chunk);
    if (chunks.length >= UNPACKED_CHUNKS_AHEAD) inflater.pause();
    wake();
  });
  const end = (error?: unknown): void => {
    ended ??= { error };
    wake();
  };
  inflater.on('end', () => end());
  inflater.on('error', end);
  input.on('error', (error) => inflater.destroy(error));
  input.pipe(inflater);
  try {
    for (;;) {
      const chunk = chunks.shift();
      if (chunk) {
        inflater.resume();
        yield chunk;
      } else if (ended) {
        if (ended.error !== undefined && !isDamage(ended.error)) throw ended.error;
        return;
      } else {
        await new Promise<void>((resolve) => {
          wake = resolve;
        });
      }
    }
  } finally {
    input.destroy();
    inflater.destroy();
  }
}

const isDamage = (error: unknown): boolean =>
  error instanceof Error && 'code' in error && String(error.code).startsWith('Z_');
