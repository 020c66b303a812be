import { firstOf } from '../../measure/present.ts';

/**
 * Takes bytes in order, one call at a time. The caller may reuse the memory once `write` has returned or its promise
 * has resolved. Callers fill the same memory over and over, because new memory costs garbage collection.
 */
export interface ByteSink {
  write(bytes: Uint8Array): Promise<void> | void;
  end(): Promise<void> | void;
}

/**
 * Flate compression (RFC 1950), which the host provides. Both directions work in pieces and may run on other threads.
 */
export interface FlateCodec {
  /**
   * Unpacks Flate. Damaged data end early, with what could be decoded, as in PDF readers; a failing source rejects with
   * its own error. A piece of the source or of the result is valid only until the next one is requested.
   */
  inflate(source: AsyncIterable<Uint8Array>): AsyncIterable<Uint8Array>;
  /** Returns a sink that packs its input into `into`, and ends `into` when it is ended. */
  deflate(into: ByteSink): ByteSink;
  /**
   * All samples of JPEG 2000 data with this many channels of eight bits, row by row, pixel by pixel. Rejects with an
   * `ImageFault` where they cannot be decoded. Hosts without it keep such pictures whole.
   */
  decodeJpeg2000?(data: Uint8Array, channels: number): Promise<Uint8Array>;
}

/** Called with the number of rows done, every few milliseconds of work. It may wait, and may throw to stop the work. */
export type RowsReport = (done: number, rows: number) => Promise<void> | void;

/** Joins all parts, with `between` between them; a single part is returned as it is. */
export function bytesJoined(
  parts: readonly Uint8Array[],
  between: Uint8Array = new Uint8Array(0),
): Uint8Array {
  if (parts.length === 1) return firstOf(parts);
  const gaps = Math.max(0, parts.length - 1) * between.length;
  const joined = new Uint8Array(parts.reduce((sum, part) => sum + part.length, gaps));
  let at = 0;
  for (const [index, part] of parts.entries()) {
    if (index > 0) {
      joined.set(between, at);
      at += between.length;
    }
    joined.set(part, at);
    at += part.length;
  }
  return joined;
}

/** All bytes of a stream. `expected` is their number, if known; it saves a second copy. */
export async function collectBytes(
  source: AsyncIterable<Uint8Array>,
  expected: number | undefined,
): Promise<Uint8Array> {
  const buffer = new ByteBuffer(expected ?? 1 << 16);
  for await (const chunk of source) buffer.append(chunk);
  return buffer.view();
}

/** Decodes a stream piece by piece: the results of `push`, joined in order, are the decoded data. */
export interface ByteDecoder {
  push(bytes: Uint8Array): Uint8Array;
  /** Returns the bytes still held back when the data ended. */
  end(): Uint8Array;
  /** Whether the end-of-data mark was reached; anything after it is ignored. */
  readonly isDone: boolean;
}

/** Small, because 4 KB of run lengths can unpack to half a megabyte. */
const STEP_BYTES = 4096;

export async function* decodedThrough(
  decoder: ByteDecoder,
  source: AsyncIterable<Uint8Array>,
): AsyncIterable<Uint8Array> {
  for await (const chunk of source) {
    for (let at = 0; at < chunk.length; at += STEP_BYTES) {
      const decoded = decoder.push(chunk.subarray(at, at + STEP_BYTES));
      if (decoded.length > 0) yield decoded;
      if (decoder.isDone) return;
    }
  }
  const rest = decoder.end();
  if (rest.length > 0) yield rest;
}

/** Bytes that grow by doubling. */
export class ByteBuffer {
  private bytes: Uint8Array;
  private used = 0;

  constructor(capacity: number) {
    this.bytes = new Uint8Array(capacity);
  }

  get length(): number {
    return this.used;
  }

  /** Makes room for `length` more bytes, which the caller writes. */
  reserve(length: number): Uint8Array {
    const needed = this.used + length;
    if (needed > this.bytes.length) {
      const grown = new Uint8Array(Math.max(needed, 2 * this.bytes.length));
      grown.set(this.bytes.subarray(0, this.used));
      this.bytes = grown;
    }
    const room = this.bytes.subarray(this.used, needed);
    this.used = needed;
    return room;
  }

  push(byte: number): void {
    if (this.used === this.bytes.length) {
      this.reserve(1);
      this.used--;
    }
    this.bytes[this.used++] = byte;
  }

  append(bytes: Uint8Array): void {
    this.reserve(bytes.length).set(bytes);
  }

  /** A view of the content; it changes with the next write. */
  view(): Uint8Array {
    return this.bytes.subarray(0, this.used);
  }

  clear(): void {
    this.used = 0;
  }

  /** Returns the content and gives up ownership of it. */
  take(): Uint8Array {
    const { used } = this;
    this.used = 0;
    return this.bytes.slice(0, used);
  }
}
