/** Artwork for the benchmark of the cut: made on the spot, of any size, written straight to disk. */
import { closeSync, openSync, writeSync } from 'node:fs';
import { constants, deflateRawSync } from 'node:zlib';
import { ADLER_START, adler32 } from '../../../core/pdf/file/adler32.ts';
import { jpegMade, random } from '../../core/pdf/images/jpeg-made.ts';

/** The page, in points: 16.2 m by 2.73 m at 1:10. */
export const PAGE = { width: 4592, height: 775 } as const;

/** Samples of the noise that fills the pictures: about 6.8 bits in 8, as in a photograph with grain. */
const NOISE_BLOCK_ROWS = 100;

export interface PictureRecipe {
  readonly columns: number;
  /** A multiple of 100. */
  readonly rows: number;
}

/** The 144 MB picture of the recipe, and one of a gigabyte. */
export const ART_144_MB: PictureRecipe = { columns: 16_000, rows: 2700 };
export const ART_1_GB: PictureRecipe = { columns: 40_000, rows: 7500 };

/** A CMYK picture packed by Flate under 5,000 vector marks and lettering. */
export function flateArt(path: string, { columns, rows }: PictureRecipe): void {
  const block = noise(columns * 4 * NOISE_BLOCK_ROWS);
  const packed = deflateRawSync(block, { strategy: constants.Z_RLE, finishFlush: constants.Z_SYNC_FLUSH });
  const repeats = rows / NOISE_BLOCK_ROWS;
  let checksum = ADLER_START;
  for (let i = 0; i < repeats; i++) checksum = adler32(block, checksum);
  const tail = Buffer.alloc(6);
  // An empty last block of fixed codes, then the checksum (RFC 1951, 3.2.6; RFC 1950, 2.2).
  tail.set([0x03, 0x00]);
  tail.writeUInt32BE(checksum, 2);
  const picture = { length: 2 + packed.length * repeats + tail.length, dict: '/Filter /FlateDecode' };
  writeArt(path, { columns, rows, space: '/DeviceCMYK', ...picture }, function* () {
    yield Uint8Array.of(0x78, 0x9c);
    for (let i = 0; i < repeats; i++) yield packed;
    yield tail;
  });
}

const JPEG_STRIP = { columns: 24_000, rows: 128 } as const;
const JPEG_ROWS = 65_024;

/** A baseline JPEG of the same size in bytes, one strip of it over and over, under the same marks. */
export function jpegArt(path: string, bytes: number): void {
  const strip = jpegMade({
    width: JPEG_STRIP.columns,
    height: JPEG_STRIP.rows,
    sampling: [
      [2, 2],
      [1, 1],
      [1, 1],
    ],
    scans: [[0, 1, 2]],
    // One row of coded units to an interval; after eight rows the markers begin again.
    restartInterval: JPEG_STRIP.columns / 16,
    hasWideQuantisation: false,
    adobeTransform: undefined,
    seed: 20_261_125,
  });
  const start = Buffer.from(strip).indexOf(Buffer.from([0xff, 0xda])) + 14;
  const head = Buffer.from(strip.subarray(0, start));
  const scan = strip.subarray(start, -2);
  const repeats = Math.min(JPEG_ROWS / JPEG_STRIP.rows, Math.round(bytes / (scan.length + 2)));
  const rows = repeats * JPEG_STRIP.rows;
  head.writeUInt16BE(rows, head.indexOf(Buffer.from([0xff, 0xc0])) + 5);
  const length = head.length + repeats * (scan.length + 2);
  writeArt(
    path,
    { columns: JPEG_STRIP.columns, rows, space: '/DeviceRGB', length, dict: '/Filter /DCTDecode' },
    function* () {
      yield head;
      for (let i = 0; i < repeats; i++) {
        yield scan;
        yield Uint8Array.of(0xff, i === repeats - 1 ? 0xd9 : 0xd7);
      }
    },
  );
}

/** Vector objects alone. */
export function vectorArt(path: string, objects: number): void {
  writeArt(path, undefined, undefined, marks(objects));
}

/** Segments of one outline of the tracing, at most. */
const OUTLINE_SEGMENTS = 60;

/**
 * A traced drawing: filled outlines of curves, each a few centimeters wide in the print, all over the page. Two million
 * segments are 35 MB.
 */
export function tracedArt(path: string, segments: number): void {
  writeArt(path, undefined, undefined, tracing(segments));
}

interface Picture extends PictureRecipe {
  readonly space: string;
  readonly dict: string;
  readonly length: number;
}

function writeArt(
  path: string,
  picture: Picture | undefined,
  data: (() => Iterable<Uint8Array>) | undefined,
  content: Iterable<string> = marks(5000),
): void {
  const file = openSync(path, 'w');
  let at = 0;
  const write = (bytes: Uint8Array | string): void => {
    const buffer = typeof bytes === 'string' ? Buffer.from(bytes, 'latin1') : bytes;
    for (let done = 0; done < buffer.length; ) done += writeSync(file, buffer, done);
    at += buffer.length;
  };
  const offsets: number[] = [];
  const object = (text: string): void => {
    offsets.push(at);
    write(`${offsets.length} 0 obj\n${text}`);
  };
  write('%PDF-1.6\n');
  object('<< /Type /Catalog /Pages 2 0 R >>\nendobj\n');
  object('<< /Type /Pages /Kids [3 0 R] /Count 1 >>\nendobj\n');
  const images = picture ? '/XObject << /Photo 6 0 R >>' : '';
  object(
    `<< /Type /Page /Parent 2 0 R /MediaBox [0 0 ${PAGE.width} ${PAGE.height}] /Contents 4 0 R /Resources << /Font << /F 5 0 R >> ${images} >> >>\nendobj\n`,
  );
  const packed = packedContent(
    picture ? [`q ${PAGE.width} 0 0 ${PAGE.height} 0 0 cm /Photo Do Q\n`, ...content] : content,
  );
  const length = packed.reduce((sum, part) => sum + part.length, 0);
  object(`<< /Filter /FlateDecode /Length ${length} >>\nstream\n`);
  for (const part of packed) write(part);
  write('\nendstream\nendobj\n');
  object('<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica-Bold >>\nendobj\n');
  if (picture && data) {
    const { columns, rows, space, dict, length } = picture;
    object(
      `<< /Type /XObject /Subtype /Image /Width ${columns} /Height ${rows} /ColorSpace ${space} /BitsPerComponent 8 ${dict} /Length ${length} >>\nstream\n`,
    );
    for (const part of data()) write(part);
    write('\nendstream\nendobj\n');
  }
  const start = at;
  const table = offsets.map((offset) => `${String(offset).padStart(10, '0')} 00000 n \n`).join('');
  const size = offsets.length + 1;
  write(
    `xref\n0 ${size}\n0000000000 65535 f \n${table}trailer\n<< /Size ${size} /Root 1 0 R >>\nstartxref\n${start}\n%%EOF\n`,
  );
  closeSync(file);
}

const CONTENT_PIECE_CHARACTERS = 1 << 20;

/** Packed piece by piece, because a long content is longer than a string may be. */
function packedContent(content: Iterable<string>): Uint8Array[] {
  const packed: Uint8Array[] = [Uint8Array.of(0x78, 0x9c)];
  let checksum = ADLER_START;
  let piece = '';
  const pack = (finishFlush: number): void => {
    const bytes = Buffer.from(piece, 'latin1');
    piece = '';
    checksum = adler32(bytes, checksum);
    packed.push(deflateRawSync(bytes, { finishFlush }));
  };
  for (const text of content) {
    piece += text;
    if (piece.length >= CONTENT_PIECE_CHARACTERS) pack(constants.Z_SYNC_FLUSH);
  }
  pack(constants.Z_FINISH);
  const tail = Buffer.alloc(4);
  tail.writeUInt32BE(checksum);
  return [...packed, tail];
}

/** Small filled and stroked shapes all over the page, with a word of lettering for every tenth. */
function* marks(count: number): Generator<string> {
  const next = random(7);
  const number = (most: number): string => (next() * most).toFixed(2);
  for (let i = 0; i < count; i++) {
    const [x, y] = [number(PAGE.width - 40), number(PAGE.height - 30)];
    const ink = `${number(1)} ${number(1)} ${number(1)} ${number(0.4)}`;
    if (i % 10 === 0) yield `q ${ink} k BT /F ${number(24)} Tf ${x} ${y} Td (Alder County Library) Tj ET Q\n`;
    else if (i % 3 === 0) yield `q ${ink} K 0.7 w ${x} ${y} m ${number(PAGE.width)} ${y} l S Q\n`;
    else yield `q ${ink} k 1 0 0 1 ${x} ${y} cm 0 0 m 9 17 l 21 ${number(12)} l h f Q\n`;
  }
}

function* tracing(segments: number): Generator<string> {
  const next = random(11);
  for (let left = segments; left > 0; ) {
    const count = Math.min(left, 4 + Math.floor(next() * OUTLINE_SEGMENTS));
    left -= count;
    const [x, y] = [next() * PAGE.width, next() * PAGE.height];
    const radius = 2 + next() ** 3 * 30;
    const ink = [next(), next(), next(), next() * 0.4].map((value) => value.toFixed(3)).join(' ');
    const at = (turn: number, reach: number): string => {
      const angle = (2 * Math.PI * turn) / count;
      const far = radius * reach;
      return `${(x + Math.cos(angle) * far).toFixed(2)} ${(y + Math.sin(angle) * far).toFixed(2)}`;
    };
    const lines = [`${ink} k\n${at(0, 1)} m`];
    for (let i = 1; i < count; i++) {
      const reach = 0.7 + next() * 0.6;
      lines.push(`${at(i - 0.7, reach)} ${at(i - 0.3, reach)} ${at(i, 0.8 + next() * 0.4)} c`);
    }
    yield `${lines.join('\n')}\nh f\n`;
  }
}

function noise(length: number): Uint8Array {
  const bytes = new Uint8Array(length);
  let state = 1;
  const byte = (): number => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state >>> 24;
  };
  for (let i = 0; i < length; i++) bytes[i] = 128 + ((byte() + byte() - 255) >> 2);
  return bytes;
}
