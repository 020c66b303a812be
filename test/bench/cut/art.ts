/** Artwork for the benchmark of the cut: made on the spot, of any size, written straight to disk. */
import { constants, deflateRawSync } from 'node:zlib';
import { ADLER_START, adler32 } from '../../../core/pdf/file/adler32.ts';
import { jpegMade, random } from '../../core/pdf/images/jpeg-made.ts';
import { jpegTransformed } from '../../core/pdf/images/jpeg-tools.ts';
import { jp2Encoded, wavySamples } from '../../support/jpeg2000-encoded.ts';
import { type ArtStream, objectNumber, PAGE, packedStream, writeArt } from './art-file.ts';

/** Samples of the noise that fills the pictures: about 6.8 bits in 8, as in a photograph with grain. */
const NOISE_BLOCK_ROWS = 100;
const MARKS = 5000;

export interface PictureRecipe {
  readonly columns: number;
  /** A multiple of 100. */
  readonly rows: number;
}

/** Pictures of 11 and 146 MB; of one and three gigabytes, wider than 32,768 pixels. */
export const ART_10_MB: PictureRecipe = { columns: 16_000, rows: 200 };
export const ART_144_MB: PictureRecipe = { columns: 16_000, rows: 2700 };
export const ART_193_MB: PictureRecipe = { columns: 18_400, rows: 3100 };
export const ART_1_GB: PictureRecipe = { columns: 40_000, rows: 7500 };
export const ART_3_GB: PictureRecipe = { columns: 40_000, rows: 22_000 };

/** Pixels along the edge of a block that is changed, and how far from the left it begins, as a share. */
const CHANGED_PX = 64;
const CHANGED_AT = 0.3;

/** A CMYK picture packed by Flate under 5,000 vector marks and lettering; `changed`: with a block of other pixels in these hundred rows. */
export function flateArt(path: string, { columns, rows }: PictureRecipe, changed?: number): void {
  const block = noise(columns * 4 * NOISE_BLOCK_ROWS);
  const other = block.slice();
  for (let y = 0; y < CHANGED_PX; y++) {
    const at = 4 * (y * columns + Math.floor(CHANGED_AT * columns));
    for (let i = at; i < at + 4 * CHANGED_PX; i++) other[i] = 255 - other[i]!;
    for (let i = at; i < at + 4 * CHANGED_PX; i += 4) other[i] = 0;
  }
  const pack = (bytes: Uint8Array) =>
    deflateRawSync(bytes, { strategy: constants.Z_RLE, finishFlush: constants.Z_SYNC_FLUSH });
  const packed = pack(block);
  const packedOther = changed === undefined ? packed : pack(other);
  const repeats = rows / NOISE_BLOCK_ROWS;
  let checksum = ADLER_START;
  for (let i = 0; i < repeats; i++) checksum = adler32(i === changed ? other : block, checksum);
  const tail = Buffer.alloc(6);
  // An empty last block of fixed codes, then the checksum (RFC 1951, 3.2.6; RFC 1950, 2.2).
  tail.set([0x03, 0x00]);
  tail.writeUInt32BE(checksum, 2);
  writePicture(path, {
    dict: imageDict(columns, rows, '/DeviceCMYK', '/Filter /FlateDecode'),
    length: 2 + packed.length * (repeats - 1) + packedOther.length + tail.length,
    *parts() {
      yield Uint8Array.of(0x78, 0x9c);
      for (let i = 0; i < repeats; i++) yield i === changed ? packedOther : packed;
      yield tail;
    },
  });
}

const imageDict = (columns: number, rows: number, space: string, more: string): string =>
  `/Type /XObject /Subtype /Image /Width ${columns} /Height ${rows} /ColorSpace ${space} /BitsPerComponent 8 ${more}`;

/** One picture all over the page, under the marks. */
function writePicture(path: string, picture: ArtStream): void {
  writeArt(path, {
    content: [`q ${PAGE.width} 0 0 ${PAGE.height} 0 0 cm /Photo Do Q\n`, ...marks(MARKS)],
    resources: `/XObject << /Photo ${objectNumber(0)} 0 R >>`,
    objects: [picture],
  });
}

const JPEG_STRIP = { columns: 24_000, rows: 128 } as const;
const JPEG_ROWS = 65_024;

const JPEGS = {
  rgb: {
    space: '/DeviceRGB',
    sampling: [
      [2, 2],
      [1, 1],
      [1, 1],
    ],
    adobeTransform: undefined,
  },
  cmyk: {
    space: '/DeviceCMYK',
    sampling: [
      [1, 1],
      [1, 1],
      [1, 1],
      [1, 1],
    ],
    adobeTransform: 0,
  },
} as const;

/** A strip of a baseline JPEG. After eight rows of coded units the restart markers begin again. */
function jpegStrip(colors: keyof typeof JPEGS, width: number, height: number): Uint8Array {
  const { sampling, adobeTransform } = JPEGS[colors];
  return jpegMade({
    width,
    height,
    sampling,
    scans: [sampling.map((_, component) => component)],
    restartInterval: width / (8 * sampling[0][0]),
    hasWideQuantisation: false,
    adobeTransform,
    seed: 20_261_125,
  });
}

/** A baseline JPEG of a given size, one strip of it repeated, under the same marks. */
export function jpegArt(path: string, bytes: number, colors: keyof typeof JPEGS = 'rgb'): void {
  const { space, sampling } = JPEGS[colors];
  const stripRows = JPEG_STRIP.rows * (sampling[0][0] / 2);
  const strip = jpegStrip(colors, JPEG_STRIP.columns, stripRows);
  const scanHead = 8 + 2 * sampling.length;
  const start = Buffer.from(strip).indexOf(Buffer.from([0xff, 0xda])) + scanHead;
  const head = Buffer.from(strip.subarray(0, start));
  const scan = strip.subarray(start, -2);
  const repeats = Math.min(Math.floor(JPEG_ROWS / stripRows), Math.round(bytes / (scan.length + 2)));
  const rows = repeats * stripRows;
  head.writeUInt16BE(rows, head.indexOf(Buffer.from([0xff, 0xc0])) + 5);
  writePicture(path, {
    dict: imageDict(JPEG_STRIP.columns, rows, space, '/Filter /DCTDecode'),
    length: head.length + repeats * (scan.length + 2),
    *parts() {
      yield head;
      for (let i = 0; i < repeats; i++) {
        yield scan;
        yield Uint8Array.of(0xff, i === repeats - 1 ? 0xd9 : 0xd7);
      }
    },
  });
}

/** A progressive JPEG, which is held as coefficients while it is cut. */
export function progressiveArt(path: string): void {
  const [columns, rows] = [8192, 1408];
  const jpeg = jpegTransformed(jpegStrip('rgb', columns, rows), '-progressive');
  const dict = imageDict(columns, rows, '/DeviceRGB', '/Filter /DCTDecode');
  writePicture(path, { dict, length: jpeg.length, parts: () => [jpeg] });
}

/** JPEG 2000, a tenth of its samples. */
export async function jpeg2000Art(path: string): Promise<void> {
  const [width, height] = [3600, 608];
  const samples = wavySamples(width, height, 3);
  const data = await jp2Encoded({ width, height, channels: 3, samples, ratio: 10 });
  const dict = imageDict(width, height, '/DeviceRGB', '/Filter /JPXDecode');
  writePicture(path, { dict, length: data.length, parts: () => [data] });
}

const GRID = { columns: 40, rows: 10 } as const;
const CELL = { width: PAGE.width / GRID.columns, height: PAGE.height / GRID.rows } as const;
const PHOTO = { columns: 240, rows: 160 } as const;

function* cells(): Generator<{ readonly index: number; readonly place: string }> {
  for (let index = 0; index < GRID.columns * GRID.rows; index++) {
    const x = (index % GRID.columns) * CELL.width;
    const y = Math.floor(index / GRID.columns) * CELL.height;
    yield { index, place: `${x.toFixed(2)} ${y.toFixed(2)}` };
  }
}

const photo = (space: string, channels: number, more = ''): ArtStream =>
  packedStream(imageDict(PHOTO.columns, PHOTO.rows, space, more), [
    noise(PHOTO.columns * PHOTO.rows * channels),
  ]);

/** Four hundred pictures side by side, as a collage has them. */
export function collageArt(path: string): void {
  const shared = photo('/DeviceCMYK', 4);
  const all = [...cells()];
  writeArt(path, {
    content: all.map(
      ({ index, place }) => `q ${CELL.width} 0 0 ${CELL.height} ${place} cm /Photo${index} Do Q\n`,
    ),
    resources: `/XObject << ${all.map(({ index }) => `/Photo${index} ${objectNumber(index)} 0 R`).join(' ')} >>`,
    objects: all.map(() => shared),
  });
}

/** Groups of pictures with soft masks, each group faded by another mask. */
export function maskedArt(path: string): void {
  const [image, mask, fade, group] = [0, 1, 2, 3].map(objectNumber);
  const form = (resources: string, colors: string): string =>
    `/Type /XObject /Subtype /Form /BBox [0 0 ${CELL.width} ${CELL.height}] /Group << /S /Transparency /CS ${colors} >> /Resources << ${resources} >>`;
  const painted = `q ${CELL.width} 0 0 ${CELL.height} 0 0 cm /Photo Do Q`;
  writeArt(path, {
    content: [...cells()].map(({ place }) => `q 1 0 0 1 ${place} cm /Faded gs /Group Do Q\n`),
    resources: `/ExtGState << /Faded << /SMask << /S /Luminosity /G ${fade} 0 R >> >> >> /XObject << /Group ${group} 0 R >>`,
    objects: [
      photo('/DeviceCMYK', 4, `/SMask ${mask} 0 R`),
      photo('/DeviceGray', 1),
      packedStream(form('', '/DeviceGray'), [`0.8 g 9 9 ${CELL.width - 18} ${CELL.height - 18} re f`]),
      packedStream(form(`/XObject << /Photo ${image} 0 R >>`, '/DeviceCMYK'), [painted]),
    ],
  });
}

/** Vector objects alone. */
export function vectorArt(path: string, objects: number): void {
  writeArt(path, { content: marks(objects) });
}

/** Segments of one outline of the tracing, at most. */
const OUTLINE_SEGMENTS = 60;

/**
 * A traced drawing: filled outlines of curves, each a few centimeters wide in the print, all over the page. Two million
 * segments are 35 MB.
 */
export function tracedArt(path: string, segments: number): void {
  writeArt(path, { content: tracing(segments) });
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
