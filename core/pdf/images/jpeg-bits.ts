import { corrupt } from './image-problem.ts';
import type { ScanData } from './jpeg-scan-data.ts';

/** More than one coded unit can take: at most 10 blocks of 64 coefficients of up to 31 bits. */
const UNIT_BYTES = 4096;
const BUFFER_BYTES = 1 << 17;

/**
 * The entropy-coded bits of one scan, without stuffing bytes, one buffer at a time (T.81, F.1.2.3). The decoders keep
 * their position in `bit` and read `bytes` themselves, because a call per code would be slow.
 */
export class EntropyReader {
  readonly bytes = new Uint8Array(BUFFER_BYTES + UNIT_BYTES + 8);
  /** Next bit, counted from the start of `bytes`. */
  bit = 0;
  /** Beyond this bit the caller must call `refill` before it reads another coded unit. */
  refillBit = 0;
  private filled = 0;
  private isDrained = false;
  private readonly data: ScanData;
  private restarts = 0;

  constructor(data: ScanData) {
    this.data = data;
    this.fill();
  }

  /** Loads more data. Throws past the end of the data: the unit just read was padding. */
  refill(): void {
    if (this.isDrained) corrupt('The JPEG data end before the picture does.');
    this.fill();
  }

  /** Call this after the last unit before a restart marker or the end of the scan. */
  finish(): void {
    if (this.isDrained && this.bit > this.filled * 8) corrupt('The JPEG data end before the picture does.');
  }

  /** Steps over a restart marker (T.81, F.2.2.5); all bits before it must have been read. */
  restart(): void {
    if (!this.isDrained) this.fill();
    this.finish();
    const left = this.filled - Math.ceil(this.bit / 8);
    const { data } = this;
    while (data.bytes[data.next] === 0xff && data.bytes[data.next + 1] === 0xff) data.next++;
    const marker = data.next + 1 < data.end ? data.bytes[data.next + 1] : undefined;
    if (!this.isDrained || left > 0 || marker !== 0xd0 + (this.restarts & 7)) {
      corrupt('A restart marker of the JPEG is missing or out of turn.');
    }
    this.restarts++;
    data.next += 2;
    this.bit = 0;
    this.filled = 0;
    this.isDrained = false;
    this.fill();
  }

  private fill(): void {
    const { bytes, data } = this;
    const used = this.bit >> 3;
    bytes.copyWithin(0, used, this.filled);
    this.filled -= used;
    this.bit &= 7;
    while (this.filled < BUFFER_BYTES) {
      const room = BUFFER_BYTES - this.filled;
      const stop = Math.min(data.end, data.next + room);
      const ahead = data.bytes.subarray(data.next, stop);
      const found = ahead.indexOf(0xff);
      const plain = found < 0 ? ahead : ahead.subarray(0, found);
      bytes.set(plain, this.filled);
      this.filled += plain.length;
      data.next += plain.length;
      // The byte after an 0xff decides what it is, and otherwise there may be more data.
      const isAtEnd = found < 0 ? data.next >= data.end : data.next + 1 >= data.end;
      if (isAtEnd && !data.isComplete) break;
      if (found >= 0 && data.next + 1 < data.end && data.bytes[data.next + 1] === 0) {
        bytes[this.filled++] = 0xff;
        data.next += 2;
      } else if (found >= 0 || data.next >= data.end) {
        this.isDrained = true;
        break;
      }
    }
    bytes.fill(0, this.filled, this.filled + UNIT_BYTES + 8);
    this.refillBit = (this.isDrained ? this.filled : this.filled - UNIT_BYTES) * 8;
  }
}

/** The next bits from `bit` on, left-aligned; at least 25 of the 32 are data. */
export function wordAt(bytes: Uint8Array, bit: number): number {
  const i = bit >> 3;
  return ((bytes[i]! << 24) | (bytes[i + 1]! << 16) | (bytes[i + 2]! << 8) | bytes[i + 3]!) << (bit & 7);
}

const CHUNK_BYTES = 1 << 16;

/** Writes entropy-coded bits with stuffing bytes, in chunks that are passed on when full. */
export class EntropyWriter {
  private chunk = new Uint8Array(CHUNK_BYTES);
  private used = 0;
  private pending = 0;
  private pendingBits = 0;
  private full: Uint8Array[] = [];

  /** Writes the low `length` bits of `value`, whose other bits must be 0; `length` is at most 24. */
  put(value: number, length: number): void {
    let bits = this.pendingBits + length;
    const word = (this.pending << length) | value;
    if (bits >= 8) {
      if (this.used > CHUNK_BYTES - 8) this.turn();
      const chunk = this.chunk;
      let used = this.used;
      do {
        bits -= 8;
        const byte = (word >>> bits) & 0xff;
        chunk[used++] = byte;
        if (byte === 0xff) chunk[used++] = 0;
      } while (bits >= 8);
      this.used = used;
    }
    this.pending = word;
    this.pendingBits = bits;
  }

  /** Copies the bits `from` to `to` of unstuffed data. `bytes` must be readable 4 bytes past the last bit. */
  copy(bytes: Uint8Array, from: number, to: number): void {
    let bit = from;
    while (bit < to) {
      const length = Math.min(to - bit, 24);
      this.put(wordAt(bytes, bit) >>> (32 - length), length);
      bit += length;
    }
  }

  /** Fills the last byte with ones, as T.81, F.1.2.3 asks. */
  finish(): void {
    if (this.pendingBits > 0) this.put((1 << (8 - this.pendingBits)) - 1, 8 - this.pendingBits);
    this.turn();
  }

  /** The chunks completed since the last call. */
  drain(): Uint8Array[] {
    const { full } = this;
    this.full = [];
    return full;
  }

  private turn(): void {
    if (this.used === 0) return;
    this.full.push(this.chunk.subarray(0, this.used));
    this.chunk = new Uint8Array(CHUNK_BYTES);
    this.used = 0;
  }
}
