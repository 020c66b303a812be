/** The checksum of nothing. */
export const ADLER_START = 1;
const MODULUS = 65_521;
/** As many bytes as two sums of 32 bits hold before they must be reduced. */
const MAX_RUN = 5552;

/** Adler-32 (RFC 1950, 8.2) of bytes that follow others, whose checksum is `before`. */
export function adler32(bytes: Uint8Array, before = ADLER_START): number {
  let low = before & 0xffff;
  let high = before >>> 16;
  for (let at = 0; at < bytes.length; ) {
    const end = Math.min(bytes.length, at + MAX_RUN);
    for (; at < end; at++) {
      low += bytes[at]!;
      high += low;
    }
    low %= MODULUS;
    high %= MODULUS;
  }
  return ((high << 16) | low) >>> 0;
}
