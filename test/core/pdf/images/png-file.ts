import { crc32 } from 'node:zlib';
import type { Raster } from './raster-made.ts';

/** A PNG file around packed, filtered rows: what Flate with a PNG predictor holds is the same data. Gray or RGB. */
export function pngFile(
  packed: Uint8Array,
  { width, height, components, bits }: { width: number; height: number; components: number; bits: number },
): Uint8Array {
  const chunk = (name: string, body: Uint8Array): Buffer => {
    const content = Buffer.concat([Buffer.from(name), body]);
    const length = Buffer.alloc(4);
    length.writeUInt32BE(body.length);
    const check = Buffer.alloc(4);
    check.writeUInt32BE(crc32(content));
    return Buffer.concat([length, content, check]);
  };
  const header = Buffer.alloc(13);
  header.writeUInt32BE(width, 0);
  header.writeUInt32BE(height, 4);
  header.set([bits, components === 3 ? 2 : 0], 8);
  const signature = Buffer.from([0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10]);
  return Buffer.concat([
    signature,
    chunk('IHDR', header),
    chunk('IDAT', packed),
    chunk('IEND', Buffer.alloc(0)),
  ]);
}

/** Undoes PNG row filters, straight from the table of ISO/IEC 15948, 9.2. */
export function pngUnfiltered(bytes: Uint8Array, { components, bits }: Raster, width: number): Uint8Array {
  const stride = Math.ceil((width * components * bits) / 8);
  const pixel = Math.ceil((components * bits) / 8);
  const out: number[] = [];
  for (let at = 0, y = 0; at < bytes.length; at += stride + 1, y++) {
    for (let i = 0; i < stride; i++) {
      const left = i < pixel ? 0 : out[y * stride + i - pixel]!;
      const up = y === 0 ? 0 : out[(y - 1) * stride + i]!;
      const corner = y === 0 || i < pixel ? 0 : out[(y - 1) * stride + i - pixel]!;
      const p = left + up - corner;
      const [pa, pb, pc] = [Math.abs(p - left), Math.abs(p - up), Math.abs(p - corner)];
      const paeth = pa <= pb && pa <= pc ? left : pb <= pc ? up : corner;
      const predicted = [0, left, up, Math.floor((left + up) / 2), paeth][bytes[at]!]!;
      out.push((bytes[at + 1 + i]! + predicted) & 255);
    }
  }
  return Uint8Array.from(out);
}
