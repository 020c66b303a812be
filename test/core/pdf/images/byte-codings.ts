/** Encoders for the filters of ISO 32000-1, 7.4, written to be obvious rather than quick. */

/** 7.4.4.2. `early` 1: codes grow a bit as soon as the table holds one code less than the width allows. */
export function lzwCoded(bytes: Uint8Array, early: number): Uint8Array {
  let text = '';
  let table = new Map<string, number>();
  let width = 9;
  const reset = (): void => {
    table = new Map(Array.from({ length: 256 }, (_, i) => [String.fromCharCode(i), i]));
    width = 9;
  };
  const put = (code: number): void => {
    text += code.toString(2).padStart(width, '0');
  };
  let next = 258;
  reset();
  put(256);
  let known = '';
  for (const byte of bytes) {
    const longer = known + String.fromCharCode(byte);
    if (table.has(longer)) {
      known = longer;
      continue;
    }
    put(table.get(known)!);
    table.set(longer, next++);
    // The decoder knows a code one step later than the encoder.
    if (next - 1 + early >= 2 ** width && width < 12) width++;
    if (next === 4096) {
      put(256);
      next = 258;
      reset();
    }
    known = String.fromCharCode(byte);
  }
  if (known !== '') {
    put(table.get(known)!);
    // The decoder adds an entry for this code too, and may grow before the mark.
    if (next + early >= 2 ** width && width < 12) width++;
  }
  put(257);
  return bytesFromBits(text);
}

export const bytesFromBits = (text: string): Uint8Array =>
  Uint8Array.from(text.match(/.{1,8}/g) ?? [], (byte) => Number.parseInt(byte.padEnd(8, '0'), 2));

/** 7.4.5. Runs of three and more are repeats. */
export function runLengthCoded(bytes: Uint8Array): Uint8Array {
  const out: number[] = [];
  let plain: number[] = [];
  const flush = (): void => {
    for (; plain.length > 0; plain = plain.slice(128)) {
      const part = plain.slice(0, 128);
      out.push(part.length - 1, ...part);
    }
  };
  for (let at = 0; at < bytes.length; ) {
    let end = at;
    while (end < bytes.length && bytes[end] === bytes[at] && end - at < 128) end++;
    if (end - at < 3) {
      plain.push(bytes[at++]!);
    } else {
      flush();
      out.push(257 - (end - at), bytes[at]!);
      at = end;
    }
  }
  flush();
  return Uint8Array.from([...out, 128]);
}

/** 7.4.3. */
export function ascii85Coded(bytes: Uint8Array): string {
  let text = '';
  for (let at = 0; at < bytes.length; at += 4) {
    const part = [...bytes.subarray(at, at + 4)];
    let value = [...part, 0, 0, 0].slice(0, 4).reduce((sum, byte) => sum * 256 + byte, 0);
    const digits: string[] = [];
    for (let i = 0; i < 5; i++) {
      digits.unshift(String.fromCharCode(33 + (value % 85)));
      value = Math.floor(value / 85);
    }
    const group = digits.join('').slice(0, part.length + 1);
    text += group === '!!!!!' ? 'z' : group;
  }
  return `${text}~>`;
}

export const asciiHexCoded = (bytes: Uint8Array): string =>
  `${[...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('')}>`;
