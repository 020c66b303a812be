/**
 * Copies `bits` bits that begin at bit `from` of a row to the start of `out`, and clears what is left of
 * the last byte. Bits are counted from the high end of each byte (ISO 32000-1, 8.9.5.2).
 *
 *     row  |01234567|89abcdef|…      from = 5, bits = 8  →  out |56789abc|
 */
export function copyBits(row: Uint8Array, from: number, bits: number, out: Uint8Array): void {
  const bytes = (bits + 7) >> 3;
  const first = from >> 3;
  const shift = from & 7;
  if (shift === 0) {
    out.set(row.subarray(first, first + bytes));
  } else {
    for (let i = 0; i < bytes; i++) {
      out[i] = (row[first + i]! << shift) | ((row[first + i + 1] ?? 0) >> (8 - shift));
    }
  }
  if ((bits & 7) !== 0) out[bytes - 1]! &= 0xff << (8 - (bits & 7));
}
