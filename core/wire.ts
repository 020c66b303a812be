/**
 * How a value of the contract becomes JSON text and back, where the way between screen and main carries
 * text only. Byte arrays travel as base64 under a key that no other value of the contract uses.
 */
const BYTES_KEY = '$bytes';

export function wireText(value: unknown): string {
  return JSON.stringify(value, (_key, item: unknown) =>
    item instanceof Uint8Array ? { [BYTES_KEY]: base64FromBytes(item) } : item,
  );
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
const VALUES = new Map([...ALPHABET].map((char, value) => [char, value]));

/** RFC 4648, section 4. */
export function base64FromBytes(bytes: Uint8Array): string {
  const parts: string[] = [];
  for (let at = 0; at < bytes.length; at += 3) {
    const [a, b, c] = [bytes[at]!, bytes[at + 1], bytes[at + 2]];
    const bits = (a << 16) | ((b ?? 0) << 8) | (c ?? 0);
    parts.push(
      ALPHABET[bits >> 18]! +
        ALPHABET[(bits >> 12) & 63]! +
        (b === undefined ? '=' : ALPHABET[(bits >> 6) & 63]!) +
        (c === undefined ? '=' : ALPHABET[bits & 63]!),
    );
  }
  return parts.join('');
}

/** RFC 4648, section 4. Throws RangeError on characters outside the alphabet. */
export function bytesFromBase64(text: string): Uint8Array {
  const digits = text.replace(/=+$/, '');
  const bytes = new Uint8Array(Math.floor((digits.length * 3) / 4));
  let bits = 0;
  let bitCount = 0;
  let to = 0;
  for (const char of digits) {
    const value = VALUES.get(char);
    if (value === undefined) throw new RangeError(`not base64: ${char}`);
    bits = ((bits << 6) | value) & 0xffffff;
    bitCount += 6;
    if (bitCount >= 8) {
      bitCount -= 8;
      bytes[to++] = (bits >> bitCount) & 0xff;
    }
  }
  return bytes;
}
