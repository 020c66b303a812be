/**
 * JPEG 2000 pictures without any coefficient: every sample is the middle of its range, 128 of 255 (ISO/IEC 15444-1,
 * G.1). Numbers in the segments as in annex A.
 */

const u16 = (value: number): number[] => [value >> 8, value & 255];
const u32 = (value: number): number[] => [...u16(value >>> 16), ...u16(value & 0xffff)];
const latin = (text: string): number[] => [...text].map((sign) => sign.charCodeAt(0));

export function codestreamMade(width: number, height: number, channels: number): Uint8Array {
  const segment = (marker: number, data: readonly number[]) => [
    0xff,
    marker,
    ...u16(data.length + 2),
    ...data,
  ];
  const size = [width, height].flatMap(u32);
  const origin = [0, 0].flatMap(u32);
  const channel = [7, 1, 1];
  const siz = [...u16(0), ...size, ...origin, ...size, ...origin, ...u16(channels)];
  for (let i = 0; i < channels; i++) siz.push(...channel);
  // One layer, no decomposition, blocks of 64 × 64, the reversible filter.
  const cod = [0, 0, ...u16(1), 0, 0, 4, 4, 0, 1];
  const qcd = [0x40, 0x40];
  const packets = Array.from({ length: channels }, () => 0);
  const sot = segment(0x90, [...u16(0), ...u32(12 + 2 + packets.length), 0, 1]);
  return Uint8Array.from([
    ...[0xff, 0x4f, ...segment(0x51, siz), ...segment(0x52, cod), ...segment(0x5c, qcd)],
    ...[...sot, 0xff, 0x93, ...packets, 0xff, 0xd9],
  ]);
}

const box = (type: string, data: readonly number[]): number[] => [
  ...u32(8 + data.length),
  ...latin(type),
  ...data,
];

/** EnumCS in a `colr` box. */
export const enumerated = (number: number): number[] => box('colr', [1, 0, 0, ...u32(number)]);

/** The head of an ICC profile in a `colr` box. */
export const profiled = (space: string): number[] =>
  box('colr', [2, 0, 0, ...Array.from({ length: 16 }, () => 0), ...latin(space), ...u32(0)]);

/** The last of the channels is opacity, the others colors in order. */
export const lastIsOpacity = (channels: number): number[] =>
  box('cdef', [
    ...u16(channels),
    ...Array.from({ length: channels }, (_, i) =>
      i < channels - 1 ? [...u16(i), ...u16(0), ...u16(i + 1)] : [...u16(i), ...u16(1), ...u16(0)],
    ).flat(),
  ]);

/** A file with boxes; `colors` are those that follow the image header. */
export function jp2Made(
  width: number,
  height: number,
  channels: number,
  colors: readonly (readonly number[])[],
  codestream = codestreamMade(width, height, channels),
): Uint8Array {
  const ihdr = box('ihdr', [...u32(height), ...u32(width), ...u16(channels), 7, 7, 0, 0]);
  const head = [
    ...box('jP  ', [0x0d, 0x0a, 0x87, 0x0a]),
    ...box('ftyp', [...latin('jp2 '), ...u32(0), ...latin('jp2 ')]),
    ...box('jp2h', [...ihdr, ...colors.flat()]),
    ...u32(8 + codestream.length),
    ...latin('jp2c'),
  ];
  return Buffer.concat([Uint8Array.from(head), codestream]);
}
