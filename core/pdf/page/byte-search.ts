/** The bytes of plain ASCII text. */
export function asciiBytes(text: string): Uint8Array {
  const bytes = new Uint8Array(text.length);
  for (let index = 0; index < text.length; index += 1) bytes[index] = text.charCodeAt(index) & 0xff;
  return bytes;
}

/** First position of `wanted` that begins at or after `from` and ends at or before `to`; -1 where there is none. */
export function bytesIndexOf(bytes: Uint8Array, wanted: Uint8Array, from = 0, to = bytes.length): number {
  const first = wanted[0];
  if (first === undefined) return from;
  const last = to - wanted.length;
  for (let at = bytes.indexOf(first, from); at >= 0 && at <= last; at = bytes.indexOf(first, at + 1)) {
    let matched = 1;
    while (matched < wanted.length && bytes[at + matched] === wanted[matched]) matched += 1;
    if (matched === wanted.length) return at;
  }
  return -1;
}

/** Last position of `wanted`; -1 where there is none. */
export function bytesLastIndexOf(bytes: Uint8Array, wanted: Uint8Array): number {
  const first = wanted[0];
  if (first === undefined) return bytes.length;
  for (let at = bytes.lastIndexOf(first); at >= 0; at = at > 0 ? bytes.lastIndexOf(first, at - 1) : -1) {
    let matched = 1;
    while (matched < wanted.length && bytes[at + matched] === wanted[matched]) matched += 1;
    if (matched === wanted.length) return at;
  }
  return -1;
}
