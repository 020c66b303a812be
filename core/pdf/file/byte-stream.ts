import { firstOf } from '../../measure/present.ts';

/**
 * Takes bytes in order, one call at a time. When `write` has returned, or what it returned has resolved, it needs the
 * memory no more: the same is filled over and over, for new memory is what the collector spends its time on.
 */
export interface ByteSink {
  write(bytes: Uint8Array): Promise<void> | void;
  end(): Promise<void> | void;
}

/**
 * Flate compression (RFC 1950), which core leaves to its host. Both work in pieces; they may run on other threads.
 */
export interface FlateCodec {
  /**
   * Unpacks Flate. Damaged data end early, with what could be decoded, as readers of PDF do; a failing source rejects
   * with its own error. A piece of the source or of the result is valid only until the next one is requested.
   */
  inflate(source: AsyncIterable<Uint8Array>): AsyncIterable<Uint8Array>;
  /** A sink that packs what it gets into `into`, and ends `into` when it is ended. */
  deflate(into: ByteSink): ByteSink;
  /**
   * All samples of JPEG 2000 data with this many channels of eight bits, row by row, pixel by pixel. Rejects with an
   * `ImageFault` where they cannot be decoded. Without it such pictures stay whole.
   */
  decodeJpeg2000?(data: Uint8Array, channels: number): Promise<Uint8Array>;
}

/** Hears how many rows of the source are done, every few milliseconds of work. It may wait, and may throw to stop the work. */
export type RowsReport = (done: number, rows: number) => Promise<void> | void;

/** All parts one after the other, with `between` between them; a part that is alone is returned as it is. */
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

/** All bytes of a stream. `expected`: how many there will be, if that is known, which saves a second copy. */
export async function collectBytes(
  source: AsyncIterable<Uint8Array>,
  expected: number | undefined,
): Promise<Uint8Array> {
  const buffer = new ByteBuffer(expected ?? 1 << 16);
  for await (const chunk of source) buffer.append(chunk);
  return buffer.view();
}

/** Decodes a stream piece by piece: what `push` returns follows what it returned before. */
export interface ByteDecoder {
  push(bytes: Uint8Array): Uint8Array;
  /** What was still held back when the data ended. */
  end(): Uint8Array;
  /** Whether the end-of-data mark was met; nothing after it counts. */
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

  /** Room for `length` more bytes, to be written by the caller. */
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

  /** The content, handed over. */
  take(): Uint8Array {
    const { used } = this;
    this.used = 0;
    return this.bytes.slice(0, used);
  }
}
