import { ByteBuffer, type ByteDecoder } from '../file/byte-stream.ts';
import { corrupt } from './image-problem.ts';

const CLEAR = 256;
const END_OF_DATA = 257;
const FIRST_FREE = 258;
const MAX_CODES = 4096;

/**
 * LZW, ISO 32000-1, 7.4.4.2. `earlyChange` 1 (the default of PDF): codes grow by one bit one code earlier than they
 * must.
 */
export class LzwDecoder implements ByteDecoder {
  isDone = false;
  private readonly out = new ByteBuffer(65536);
  private readonly early: number;
  /** A string is its prefix's string plus one byte. */
  private readonly prefix = new Uint16Array(MAX_CODES);
  private readonly lastByte = new Uint8Array(MAX_CODES);
  private readonly firstByte = new Uint8Array(MAX_CODES);
  private readonly size = new Uint16Array(MAX_CODES);
  private free = FIRST_FREE;
  private width = 9;
  private before = -1;
  private pending = 0;
  private pendingBits = 0;

  constructor(earlyChange: number) {
    this.early = earlyChange === 0 ? 0 : 1;
    for (let i = 0; i < 256; i++) {
      this.lastByte[i] = i;
      this.firstByte[i] = i;
      this.size[i] = 1;
    }
  }

  push(bytes: Uint8Array): Uint8Array {
    for (const byte of bytes) {
      this.pending = ((this.pending << 8) | byte) & 0xffffff;
      this.pendingBits += 8;
      if (this.pendingBits < this.width) continue;
      this.pendingBits -= this.width;
      const code = (this.pending >> this.pendingBits) & ((1 << this.width) - 1);
      if (code === END_OF_DATA) {
        this.isDone = true;
        break;
      }
      if (code === CLEAR) this.clear();
      else this.take(code);
    }
    return this.out.take();
  }

  end(): Uint8Array {
    return this.out.take();
  }

  private clear(): void {
    this.free = FIRST_FREE;
    this.width = 9;
    this.before = -1;
  }

  private take(code: number): void {
    const { before, free } = this;
    if (code > free || (code === free && before < 0) || (code >= 256 && code < FIRST_FREE)) {
      corrupt('The LZW data hold a code that is not defined yet.');
    }
    if (before >= 0 && free < MAX_CODES) {
      // A code that is not known yet means the previous string plus its own first byte.
      this.prefix[free] = before;
      this.lastByte[free] = this.firstByte[code === free ? before : code]!;
      this.firstByte[free] = this.firstByte[before]!;
      this.size[free] = this.size[before]! + 1;
      this.free++;
      if (this.free + this.early >= 1 << this.width && this.width < 12) this.width++;
    } else if (code === free) {
      corrupt('The LZW data hold a code that is not defined yet.');
    }
    const length = this.size[code]!;
    const room = this.out.reserve(length);
    let link = code;
    for (let i = length - 1; i >= 0; i--) {
      room[i] = this.lastByte[link]!;
      link = this.prefix[link]!;
    }
    this.before = code;
  }
}
