/** A picture as a PNG file (ISO/IEC 15948): 8 bits, red, green and blue, each row filtered by “up”. */
import { crc32, deflateSync } from 'node:zlib';
import type { Picture } from './pdfium.ts';

const SIGNATURE = Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a);
const COLOR_TYPE_RGB = 2;
const FILTER_UP = 2;

export function pngFromPicture({ width, height, rgba }: Picture): Uint8Array {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(width, 0);
  header.writeUInt32BE(height, 4);
  header.set([8, COLOR_TYPE_RGB, 0, 0, 0], 8);
  const rowBytes = width * 3;
  const rows = Buffer.alloc(height * (rowBytes + 1));
  for (let y = 0; y < height; y++) {
    const to = y * (rowBytes + 1);
    rows[to] = FILTER_UP;
    for (let x = 0; x < width; x++) {
      const from = (y * width + x) * 4;
      for (let channel = 0; channel < 3; channel++) {
        const above = y === 0 ? 0 : rgba[from - width * 4 + channel]!;
        rows[to + 1 + x * 3 + channel] = rgba[from + channel]! - above;
      }
    }
  }
  return Buffer.concat([
    SIGNATURE,
    chunk('IHDR', header),
    chunk('IDAT', deflateSync(rows, { level: 4 })),
    chunk('IEND', Buffer.alloc(0)),
  ]);
}

/** Width and height from the header of a PNG; the standard makes the header the first chunk. */
export function pngSize(png: Uint8Array): { readonly width: number; readonly height: number } {
  const header = new DataView(png.buffer, png.byteOffset + SIGNATURE.length + CHUNK_HEAD, 8);
  return { width: header.getUint32(0), height: header.getUint32(4) };
}

/** Length and type. */
const CHUNK_HEAD = 8;

function chunk(type: string, data: Buffer): Buffer {
  const body = Buffer.concat([Buffer.from(type, 'latin1'), data]);
  const framed = Buffer.alloc(body.length + 8);
  framed.writeUInt32BE(data.length, 0);
  body.copy(framed, 4);
  framed.writeUInt32BE(crc32(body), body.length + 4);
  return framed;
}
