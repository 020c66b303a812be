import { ByteBuffer, type ByteDecoder } from '../file/byte-stream.ts';

const END_OF_DATA = 128;

/** Run lengths, ISO 32000-1, 7.4.5: a length byte, then that many bytes to copy, or one byte to repeat. */
export class RunLengthDecoder implements ByteDecoder {
  isDone = false;
  private readonly out = new ByteBuffer(65536);
  private copies = 0;
  private repeats = 0;

  push(bytes: Uint8Array): Uint8Array {
    let at = 0;
    while (at < bytes.length) {
      if (this.copies > 0) {
        const part = bytes.subarray(at, at + this.copies);
        this.out.append(part);
        this.copies -= part.length;
        at += part.length;
      } else if (this.repeats > 0) {
        this.out.reserve(this.repeats).fill(bytes[at++]!);
        this.repeats = 0;
      } else {
        const length = bytes[at++]!;
        if (length === END_OF_DATA) {
          this.isDone = true;
          break;
        }
        if (length < END_OF_DATA) this.copies = length + 1;
        else this.repeats = 257 - length;
      }
    }
    return this.out.take();
  }

  end(): Uint8Array {
    return this.out.take();
  }
}
