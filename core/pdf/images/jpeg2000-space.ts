/**
 * The color space that JPEG 2000 data state for themselves, for pictures whose dictionary names none (ISO 32000-1,
 * 7.4.9). Boxes follow ISO/IEC 15444-1, annex I; where there are no boxes, the codestream's SIZ marker, A.5.1, gives
 * the channels.
 */

export type Jpeg2000Space = 'gray' | 'rgb' | 'cmyk' | 'lab';

const CODESTREAM = 0xff4f;
const SIZ = 0xff51;
/** Counted from the start of a codestream: two markers of two bytes, then 36 bytes of the segment. */
const CSIZ_AT = 40;

/** EnumCS: Table I.10, and CMYK and CIELab of ISO/IEC 15444-2, Table M.25 (numbers from memory). */
const ENUMERATED: Readonly<Record<number, Jpeg2000Space>> = {
  12: 'cmyk',
  14: 'lab',
  16: 'rgb',
  17: 'gray',
  18: 'rgb',
};
/** ICC.1:2010, 7.2.6: the color space at byte 16 of a profile. */
const PROFILED: Readonly<Record<string, Jpeg2000Space>> = {
  GRAY: 'gray',
  'RGB ': 'rgb',
  CMYK: 'cmyk',
  'Lab ': 'lab',
};
const BY_ENUMERATION = 1;
/** Palettes, their mapping, and the meaning of channels (I.5.3.4 to I.5.3.6). */
const CHANGING = new Set(['pclr', 'cmap', 'cdef']);
/** Decoders leave inks, red, green and blue, and gray as they are; they may convert luma and chroma, or Lab. */
const UNCHANGED = new Set([12, 16, 17]);
const OPACITY = new Set([1, 2]);

interface Box {
  readonly type: string;
  readonly from: number;
  readonly to: number;
}

/** `start` is the beginning of the data; undefined where that is not JPEG 2000 or is too short. */
export function jpeg2000Space(start: Uint8Array): Jpeg2000Space | undefined {
  const view = new DataView(start.buffer, start.byteOffset, start.byteLength);
  const channels = channelsAt(view, 0);
  if (channels !== undefined) return spaceOfChannels(channels);
  for (const box of boxesIn(view, 0, start.length)) {
    if (box.type === 'jp2h') return headerSpace(view, box);
  }
  return undefined;
}

/**
 * Whether a decoder returns the picture's own samples unchanged: `channels` of eight bits each, all as large as the
 * picture, with no palette, no opacity, and no color that decoders convert.
 */
export function isPlainJpeg2000(
  start: Uint8Array,
  { width, height, channels }: { readonly width: number; readonly height: number; readonly channels: number },
): boolean {
  const view = new DataView(start.buffer, start.byteOffset, start.byteLength);
  const at = codestreamStart(view);
  if (at === undefined || channelsAt(view, at) !== channels) return false;
  const dataEnd = at + CSIZ_AT + 2 + 3 * channels;
  if (dataEnd > view.byteLength) return false;
  const [xSize, ySize, x, y] = [8, 12, 16, 20].map((offset) => view.getUint32(at + offset));
  if (xSize !== width || ySize !== height || x !== 0 || y !== 0) return false;
  for (let channel = at + CSIZ_AT + 2; channel < dataEnd; channel += 3) {
    const isWholeByte = view.getUint8(channel) === 7;
    if (!isWholeByte || view.getUint8(channel + 1) !== 1 || view.getUint8(channel + 2) !== 1) return false;
  }
  return true;
}

/** Undefined where `view` contains none, and where the boxes before it change samples. */
function codestreamStart(view: DataView): number | undefined {
  if (channelsAt(view, 0) !== undefined) return 0;
  for (const { type, from, to } of boxesIn(view, 0, view.byteLength)) {
    if (type === 'jp2c') return from;
    if (type !== 'jp2h') continue;
    for (const box of boxesIn(view, from, to)) {
      if (CHANGING.has(box.type)) return undefined;
      const isChroma =
        box.type === 'colr' &&
        box.to >= box.from + 7 &&
        view.getUint8(box.from) === BY_ENUMERATION &&
        !UNCHANGED.has(view.getUint32(box.from + 3));
      if (isChroma) return undefined;
    }
  }
  return undefined;
}

function channelsAt(view: DataView, at: number): number | undefined {
  if (view.byteLength < at + CSIZ_AT + 2) return undefined;
  const isStart = view.getUint16(at) === CODESTREAM && view.getUint16(at + 2) === SIZ;
  return isStart ? view.getUint16(at + CSIZ_AT) : undefined;
}

/** The space that readers assume where none is stated: common practice, no source. */
const spaceOfChannels = (channels: number): Jpeg2000Space =>
  channels >= 4 ? 'cmyk' : channels === 3 ? 'rgb' : 'gray';

function headerSpace(view: DataView, header: Box): Jpeg2000Space | undefined {
  let channels: number | undefined;
  let opacity = 0;
  for (const { type, from, to } of boxesIn(view, header.from, header.to)) {
    // If there are several colr boxes, the first known one counts.
    const space = type === 'colr' ? statedSpace(view, from, to) : undefined;
    if (space !== undefined) return space;
    if (type === 'ihdr' && to - from >= 10) channels = view.getUint16(from + 8);
    if (type === 'cdef') opacity = opacityChannels(view, from, to);
  }
  return channels === undefined ? undefined : spaceOfChannels(channels - opacity);
}

function statedSpace(view: DataView, from: number, to: number): Jpeg2000Space | undefined {
  const at = from + 3;
  if (to < at + 4) return undefined;
  if (view.getUint8(from) === BY_ENUMERATION) return ENUMERATED[view.getUint32(at)];
  return to < at + 20 ? undefined : PROFILED[textAt(view, at + 16)];
}

/** Channel definitions: a count, then channel, type and association of two bytes each (I.5.3.6). */
function opacityChannels(view: DataView, from: number, to: number): number {
  let found = 0;
  for (let at = from + 2; at + 6 <= to; at += 6) if (OPACITY.has(view.getUint16(at + 2))) found += 1;
  return found;
}

/**
 * A box: its length including the header, four letters, and an 8-byte length where the first is 1; 0 means to the end
 * (I.4).
 */
function* boxesIn(view: DataView, first: number, end: number): Generator<Box> {
  for (let at = first; at + 8 <= end; ) {
    const short = view.getUint32(at);
    const isLong = short === 1;
    if (isLong && at + 16 > end) return;
    const length = isLong ? Number(view.getBigUint64(at + 8)) : short === 0 ? end - at : short;
    const from = at + (isLong ? 16 : 8);
    if (length < from - at) return;
    yield { type: textAt(view, at + 4), from, to: Math.min(end, at + length) };
    at += length;
  }
}

const textAt = (view: DataView, at: number): string =>
  String.fromCharCode(...[0, 1, 2, 3].map((i) => view.getUint8(at + i)));
