import { bytesJoined } from '../file/byte-stream.ts';
import type { FileOutput } from './pdf-writer.ts';

const PART_BYTES = 1 << 20;

/** A file written to memory, in parts, so that it is not copied as it grows. */
export class MemoryOutput implements FileOutput {
  readonly #parts: Uint8Array[] = [];
  /** Bytes used in the last part. */
  #used = 0;

  get parts(): readonly Uint8Array[] {
    return this.#parts.map((part, i) => (i === this.#parts.length - 1 ? part.subarray(0, this.#used) : part));
  }

  bytes(): Uint8Array {
    return bytesJoined(this.parts);
  }

  write(bytes: Uint8Array): void {
    for (let at = 0; at < bytes.length; ) {
      const last = this.#parts.at(-1);
      if (!last || this.#used === last.length) {
        this.#parts.push(new Uint8Array(PART_BYTES));
        this.#used = 0;
        continue;
      }
      const piece = bytes.subarray(at, at + last.length - this.#used);
      last.set(piece, this.#used);
      this.#used += piece.length;
      at += piece.length;
    }
  }

  rewind(length: number): void {
    this.#parts.length = Math.ceil(length / PART_BYTES);
    this.#used = length - (this.#parts.length - 1) * PART_BYTES;
  }
}
