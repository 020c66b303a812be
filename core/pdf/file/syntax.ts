/** The character classes of PDF, ISO 32000-1, 7.2: which bytes separate tokens, and what bytes in a token mean. */

const WHITE = 1;
const DELIMITER = 2;
const DIGIT = 4;
/** Digits, signs and the point. */
const NUMERIC = 8;

/** Class bits for each byte value; one look-up classifies a byte. */
export const BYTE_CLASS = new Uint8Array(256);
for (const byte of [0, 9, 10, 12, 13, 32]) BYTE_CLASS[byte] = WHITE;
for (const char of '()<>[]{}/%') BYTE_CLASS[char.charCodeAt(0)] = DELIMITER;
for (const char of '0123456789') BYTE_CLASS[char.charCodeAt(0)] = DIGIT | NUMERIC;
for (const char of '+-.') BYTE_CLASS[char.charCodeAt(0)] = NUMERIC;

export const isWhite = (byte: number): boolean => (BYTE_CLASS[byte]! & WHITE) !== 0;
export const isDelimiter = (byte: number): boolean => (BYTE_CLASS[byte]! & DELIMITER) !== 0;
export const isDigit = (byte: number): boolean => (BYTE_CLASS[byte]! & DIGIT) !== 0;
export const isNumeric = (byte: number): boolean => (BYTE_CLASS[byte]! & NUMERIC) !== 0;
/** Whether a byte is neither white space nor delimiter: names, numbers and keywords are runs of these. */
export const isRegular = (byte: number): boolean => (BYTE_CLASS[byte]! & (WHITE | DELIMITER)) === 0;

/** The value of a hexadecimal digit, or -1. */
export function hexDigit(byte: number): number {
  if (byte >= 0x30 && byte <= 0x39) return byte - 0x30;
  const letter = byte | 0x20;
  return letter >= 0x61 && letter <= 0x66 ? letter - 0x57 : -1;
}

/** Bytes as characters with the same codes, converted in pieces small enough for the call stack. */
export function latin1(bytes: Uint8Array, start = 0, end = bytes.length): string {
  let text = '';
  if (end - start < 32) {
    for (let at = start; at < end; at++) text += String.fromCharCode(bytes[at]!);
    return text;
  }
  for (let at = start; at < end; at += 4096) {
    text += String.fromCharCode(...bytes.subarray(at, Math.min(end, at + 4096)));
  }
  return text;
}

export const bytesFromLatin1 = (text: string): Uint8Array =>
  Uint8Array.from(text, (char) => char.charCodeAt(0) & 0xff);

/**
 * The number written in `bytes[start..end)`. Real files contain `--5`, `1.2.3`, `5-3`: signs after the first, and
 * everything after a second point or an inner sign, are ignored, as in widespread readers.
 */
export function numberFromBytes(bytes: Uint8Array, start: number, end: number): number {
  let at = start;
  let isNegative = false;
  while (at < end && (bytes[at] === 0x2d || bytes[at] === 0x2b)) {
    if (bytes[at] === 0x2d) isNegative = true;
    at++;
  }
  let digits = 0;
  let scale = 0;
  for (; at < end; at++) {
    const byte = bytes[at]!;
    if (byte >= 0x30 && byte <= 0x39) {
      digits = digits * 10 + (byte - 0x30);
      if (scale > 0) scale *= 10;
    } else if (byte === 0x2e && scale === 0) {
      scale = 1;
    } else {
      break;
    }
  }
  if (!(digits < Number.MAX_SAFE_INTEGER) || scale > 1e21) {
    const exact = Number(latin1(bytes, start, end));
    return Number.isFinite(exact) ? exact : 0;
  }
  const value = scale > 1 ? digits / scale : digits;
  return isNegative ? -value : value;
}

/** The bytes of a literal string, whose inside is `bytes[start..end)`, ISO 32000-1, 7.3.4.2. */
export function literalStringBytes(bytes: Uint8Array, start: number, end: number): Uint8Array {
  const out = new Uint8Array(end - start);
  let length = 0;
  for (let at = start; at < end; at++) {
    const byte = bytes[at]!;
    if (byte === 0x0d) {
      out[length++] = 0x0a;
      if (bytes[at + 1] === 0x0a) at++;
    } else if (byte !== 0x5c) {
      out[length++] = byte;
    } else {
      at++;
      const escaped = bytes[at]!;
      if (at >= end) break;
      if (escaped >= 0x30 && escaped <= 0x37) {
        let value = escaped - 0x30;
        for (let more = 0; more < 2 && at + 1 < end; more++) {
          const next = bytes[at + 1]!;
          if (next < 0x30 || next > 0x37) break;
          value = value * 8 + (next - 0x30);
          at++;
        }
        out[length++] = value & 0xff;
      } else if (escaped === 0x0d) {
        if (bytes[at + 1] === 0x0a) at++;
      } else if (escaped !== 0x0a) {
        out[length++] = ESCAPES.get(escaped) ?? escaped;
      }
    }
  }
  return out.subarray(0, length);
}

const ESCAPES = new Map([
  [0x6e, 0x0a],
  [0x72, 0x0d],
  [0x74, 0x09],
  [0x62, 0x08],
  [0x66, 0x0c],
]);

/** The bytes of a hexadecimal string, whose inside is `bytes[start..end)`; other characters are skipped. */
export function hexStringBytes(bytes: Uint8Array, start: number, end: number): Uint8Array {
  const out = new Uint8Array((end - start + 1) >> 1);
  let digits = 0;
  for (let at = start; at < end; at++) {
    const digit = hexDigit(bytes[at]!);
    if (digit < 0) continue;
    out[digits >> 1]! |= (digits & 1) === 0 ? digit << 4 : digit;
    digits++;
  }
  return out.subarray(0, (digits + 1) >> 1);
}
