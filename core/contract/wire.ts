/**
 * Converts values of the contract to JSON text and back, where only text passes between screen and main. Byte arrays
 * are sent as base64 under a key that no other value of the contract uses.
 */
const BYTES_KEY = '$bytes';

export function wireText(value: unknown): string {
  return JSON.stringify(value, function (this: unknown, key, item: unknown) {
    // Byte arrays with a toJSON method were already converted by it; the holder still has the bytes.
    const original = (this as Record<string, unknown>)[key];
    return original instanceof Uint8Array ? { [BYTES_KEY]: base64FromBytes(original) } : item;
  });
}

/** Throws SyntaxError on text that is not JSON. */
export function wireValue(text: string): unknown {
  return JSON.parse(text, (_key, item: unknown) => {
    if (typeof item !== 'object' || item === null || !(BYTES_KEY in item)) return item;
    const encoded = (item as Record<string, unknown>)[BYTES_KEY];
    return typeof encoded === 'string' ? bytesFromBase64(encoded) : item;
  });
}

const ALPHABET = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';
const NO_DIGIT = 255;
/** Value of each digit by its character code, in an array because a picture has a million digits. */
const VALUES = new Uint8Array(128).fill(NO_DIGIT);
for (const [value, char] of [...ALPHABET].entries()) VALUES[char.charCodeAt(0)] = value;

/** Both digits for every 12 bits: half as many look-ups. */
const PAIRS = Array.from({ length: 4096 }, (_, bits) => ALPHABET[bits >> 6]! + ALPHABET[bits & 63]!);

/** RFC 4648, section 4. */
export function base64FromBytes(bytes: Uint8Array): string {
  const whole = bytes.length - (bytes.length % 3);
  let text = '';
  for (let at = 0; at < whole; at += 3) {
    const bits = (bytes[at]! << 16) | (bytes[at + 1]! << 8) | bytes[at + 2]!;
    text += PAIRS[bits >> 12]! + PAIRS[bits & 4095]!;
  }
  if (whole === bytes.length) return text;
  const [a, b] = [bytes[whole]!, bytes[whole + 1]];
  const bits = (a << 16) | ((b ?? 0) << 8);
  const third = b === undefined ? '=' : ALPHABET[(bits >> 6) & 63]!;
  return `${text}${PAIRS[bits >> 12]!}${third}=`;
}

/** RFC 4648, section 4. Throws RangeError on characters outside the alphabet. */
export function bytesFromBase64(text: string): Uint8Array {
  const digits = text.replace(/=+$/, '');
  const bytes = new Uint8Array(Math.floor((digits.length * 3) / 4));
  let bits = 0;
  let bitCount = 0;
  let to = 0;
  for (let from = 0; from < digits.length; from++) {
    const value = VALUES[digits.charCodeAt(from)] ?? NO_DIGIT;
    if (value === NO_DIGIT) throw new RangeError(`not base64: ${digits.charAt(from)}`);
    bits = ((bits << 6) | value) & 0xffffff;
    bitCount += 6;
    if (bitCount >= 8) {
      bitCount -= 8;
      bytes[to++] = (bits >> bitCount) & 0xff;
    }
  }
  return bytes;
}
