import { ByteBuffer } from '../file/byte-stream.ts';
import { isWhite } from '../file/syntax.ts';
import type { ByteRange } from './item-table.ts';

/** Bytes to insert before the byte at `at`. */
export interface Insertion {
  readonly at: number;
  readonly bytes: Uint8Array;
}

const BUFFER_BYTES = 1 << 16;
const LINE_FEED = 0x0a;

/**
 * Copies a content stream without some of its ranges, and with insertions outside them, as its pieces pass. One line
 * feed replaces each removed range and the white space after it, so that two tokens do not join.
 */
export class KeptContent {
  /** Kept bytes that were not taken yet. */
  readonly kept = new ByteBuffer(BUFFER_BYTES);
  readonly #gone: Iterator<ByteRange>;
  #next: ByteRange | undefined;
  readonly #insertions: readonly Insertion[];
  #inserted = 0;
  #base = 0;
  #isAfterGone = false;

  constructor(gone: Iterable<ByteRange>, insertions: readonly Insertion[]) {
    this.#gone = gone[Symbol.iterator]();
    this.#next = this.#following();
    this.#insertions = insertions;
  }

  push(bytes: Uint8Array): void {
    const base = this.#base;
    const end = base + bytes.length;
    this.#base = end;
    for (let at = base; at < end; ) {
      this.#insertAt(at);
      const next = this.#next;
      if (next !== undefined && next.start <= at) {
        if (!this.#isAfterGone) this.kept.push(LINE_FEED);
        this.#isAfterGone = true;
        if (next.end > end) return;
        at = next.end;
        this.#next = this.#following();
        continue;
      }
      const stop = Math.min(end, next?.start ?? end, this.#insertions[this.#inserted]?.at ?? end);
      this.#keep(bytes.subarray(at - base, stop - base));
      at = stop;
    }
  }

  /** Call this after the last piece. */
  end(): void {
    this.#insertAt(this.#base);
  }

  #insertAt(at: number): void {
    for (
      let next = this.#insertions[this.#inserted];
      next?.at === at;
      next = this.#insertions[this.#inserted]
    ) {
      this.kept.append(next.bytes);
      this.#isAfterGone = false;
      this.#inserted += 1;
    }
  }

  #keep(bytes: Uint8Array): void {
    let from = 0;
    if (this.#isAfterGone) while (from < bytes.length && isWhite(bytes[from] ?? 0)) from += 1;
    if (from === bytes.length) return;
    this.#isAfterGone = false;
    this.kept.append(from === 0 ? bytes : bytes.subarray(from));
  }

  #following(): ByteRange | undefined {
    const next = this.#gone.next();
    return next.done === true ? undefined : next.value;
  }
}
