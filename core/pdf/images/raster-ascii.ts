import { ByteBuffer, type ByteDecoder } from '../file/byte-stream.ts';
import { corrupt } from './image-problem.ts';

const isWhiteSpace = (byte: number): boolean =>
  byte === 0x20 || byte === 0x0a || byte === 0x0d || byte === 0x09 || byte === 0x0c || byte === 0x00;

const GREATER = 0x3e;
const TILDE = 0x7e;

/** Hexadecimal digits, ISO 32000-1, 7.4.2. */
export class AsciiHexDecoder implements ByteDecoder {
  isDone = false;
  private readonly out = new ByteBuffer(4096);
  private high = -1;

  push(bytes: Uint8Array): Uint8Array {
    for (const byte of bytes) {
      if (isWhiteSpace(byte)) continue;
      if (byte === GREATER) {
        this.isDone = true;
        return this.end();
      }
      const digit = hexDigit(byte);
      if (this.high < 0) this.high = digit;
      else {
        this.out.push((this.high << 4) | digit);
        this.high = -1;
      }
    }
    return this.out.take();
  }

  /** A single last digit counts as if a 0 followed it. */
  end(): Uint8Array {
    if (this.high >= 0) this.out.push(this.high << 4);
    this.high = -1;
    return this.out.take();
  }
}

function hexDigit(byte: number): number {
  if (byte >= 0x30 && byte <= 0x39) return byte - 0x30;
  const letter = byte | 0x20;
  if (letter >= 0x61 && letter <= 0x66) return letter - 0x57;
  return corrupt('The ASCIIHex data hold a character that is no digit.');
}

/** Base 85, ISO 32000-1, 7.4.3. */
export class Ascii85Decoder implements ByteDecoder {
  isDone = false;
  private readonly out = new ByteBuffer(4096);
  private group = 0;
  private digits = 0;

  push(bytes: Uint8Array): Uint8Array {
    for (const byte of bytes) {
      if (isWhiteSpace(byte)) continue;
      if (byte === TILDE) {
        this.isDone = true;
        return this.end();
      }
      if (byte === 0x7a && this.digits === 0) {
        for (let i = 0; i < 4; i++) this.out.push(0);
        continue;
      }
      if (byte < 0x21 || byte > 0x75) corrupt('The ASCII85 data hold a character that is no digit.');
      this.group = this.group * 85 + byte - 0x21;
      if (++this.digits === 5) this.putGroup(4);
    }
    return this.out.take();
  }

  /** A last group of n digits, filled with the highest digit, gives n − 1 bytes. */
  end(): Uint8Array {
    if (this.digits === 1) corrupt('The ASCII85 data end with a single digit.');
    if (this.digits > 1) {
      const count = this.digits - 1;
      for (; this.digits < 5; this.digits++) this.group = this.group * 85 + 84;
      this.putGroup(count);
    }
    return this.out.take();
  }

  private putGroup(count: number): void {
    if (this.group > 0xffffffff) corrupt('A group of the ASCII85 data is too large.');
    for (let i = 0; i < count; i++) this.out.push((this.group >>> (24 - 8 * i)) & 0xff);
    this.group = 0;
    this.digits = 0;
  }
}
