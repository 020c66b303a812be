/** The checksum of zero bytes. */
export const ADLER_START = 1;
const MODULUS = 65_521;
/** How many bytes can be added to two 32-bit sums before they must be reduced modulo 65521. */
const MAX_RUN = 5552;

/** Adler-32 (RFC 1950, 8.2) of bytes that follow others whose checksum is `before`. */
export function adler32(bytes: Uint8Array, before = ADLER_START): number {
  let low = before & 0xffff;
  let high = before >>> 16;
  for (let at = 0; at < bytes.length; ) {
    const end = Math.min(bytes.length, at + MAX_RUN);
    // Eight at a time, because every byte of every picture passes here.
    for (; at + 8 <= end; at += 8) {
      const a = bytes[at]!;
      const b = a + bytes[at + 1]!;
      const c = b + bytes[at + 2]!;
      const d = c + bytes[at + 3]!;
      const e = d + bytes[at + 4]!;
      const f = e + bytes[at + 5]!;
      const g = f + bytes[at + 6]!;
      const h = g + bytes[at + 7]!;
      high += 8 * low + a + b + c + d + e + f + g + h;
      low += h;
    }
    for (; at < end; at++) {
      low += bytes[at]!;
      high += low;
    }
    low %= MODULUS;
    high %= MODULUS;
  }
  return ((high << 16) | low) >>> 0;
}

/**
 * The checksum of two consecutive ranges of bytes, from the checksum of each. Every byte of the second range adds the
 * first's low sum once more; `length` is the number of bytes in the second.
 */
export function adler32Joined(first: number, second: number, length: number): number {
  const low = ((first & 0xffff) + (second & 0xffff) - 1) % MODULUS;
  const carried = (length % MODULUS) * ((first & 0xffff) - 1);
  const high = ((first >>> 16) + (second >>> 16) + carried) % MODULUS;
  return ((high << 16) | low) >>> 0;
}
