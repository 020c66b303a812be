import { corrupt, ImageFault } from './image-problem.ts';
import { isFrameMarker, type JpegFrame, jpegFrameFromSegment } from './jpeg-frame.ts';
import type { HuffmanTable } from './jpeg-huffman.ts';

export interface JpegScanComponent {
  /** Index of the component in the frame. */
  readonly index: number;
  readonly dc: HuffmanTable | undefined;
  readonly ac: HuffmanTable | undefined;
  /** Table destinations, 0 to 3. */
  readonly dcSlot: number;
  readonly acSlot: number;
}

/** One scan: the contents of its header, and where its entropy-coded data are in the file. */
export interface JpegScan {
  readonly components: readonly JpegScanComponent[];
  /** First and last coefficient, in zigzag order. */
  readonly first: number;
  readonly last: number;
  /** Successive approximation: bit position of the scan before (0: none) and of this one. */
  readonly highBit: number;
  readonly lowBit: number;
  /** Units between restart markers; 0: no markers. */
  readonly restartInterval: number;
  /** Segments before this scan that must be kept, such as quantization tables. */
  readonly lead: readonly Uint8Array[];
  /** The SOS segment, marker included. */
  readonly header: Uint8Array;
  readonly start: number;
  readonly end: number;
}

export interface JpegFile {
  readonly frame: JpegFrame;
  /** Kept segments before the frame header. */
  readonly lead: readonly Uint8Array[];
  /** The SOF segment, marker included. */
  readonly header: Uint8Array;
  readonly scans: readonly JpegScan[];
}

const MARKER = {
  huffman: 0xc4,
  start: 0xd8,
  end: 0xd9,
  scan: 0xda,
  quantisation: 0xdb,
  lines: 0xdc,
  restart: 0xdd,
};

/**
 * JFIF (APP0), color profile (APP2) and Adobe's color transform (APP14) say how samples become colors. Other
 * application segments and comments only describe the file, so a crop omits them.
 */
const KEPT_MARKERS = new Set([0xe0, 0xe2, 0xee, MARKER.quantisation]);

/** Reads only as far as the frame header, for planning. Undefined: the bytes end before it. Throws `ImageFault`. */
export function jpegFrameFromHead(head: Uint8Array): JpegFrame | undefined {
  for (const segment of segments(head)) {
    if (segment.isCut) return undefined;
    if (isFrameMarker(segment.marker)) return jpegFrameFromSegment(segment.marker, segment.body);
  }
  return undefined;
}

/** Splits a JPEG file into its segments without decoding its scans (T.81, annex B). Throws `ImageFault`. */
export const jpegFileFromBytes = (source: Uint8Array): JpegFile =>
  fileFromSegments(source, false) ?? corrupt('The JPEG has no picture in it.');

/**
 * Splits a JPEG only as far as the head of its first scan, and returns that scan alone. Undefined: the bytes end before
 * it. Throws `ImageFault`.
 */
export const jpegFileFromHead = (head: Uint8Array): JpegFile | undefined => fileFromSegments(head, true);

function fileFromSegments(source: Uint8Array, isHead: boolean): JpegFile | undefined {
  let frame: JpegFrame | undefined;
  let frameLead: Uint8Array[] = [];
  let frameHeader: Uint8Array | undefined;
  let lead: Uint8Array[] = [];
  let restartInterval = 0;
  const dcTables: (HuffmanTable | undefined)[] = [];
  const acTables: (HuffmanTable | undefined)[] = [];
  const scans: JpegScan[] = [];
  for (const segment of segments(source)) {
    const { marker, body } = segment;
    if (segment.isCut && isHead) return undefined;
    if (segment.isCut) corrupt('The JPEG ends inside a segment.');
    if (isFrameMarker(marker)) {
      if (frame) corrupt('The JPEG has two frame headers.');
      frame = jpegFrameFromSegment(marker, body);
      frameHeader = segment.whole;
      frameLead = lead;
      lead = [];
    } else if (marker === MARKER.huffman) {
      readHuffmanTables(body, dcTables, acTables);
    } else if (marker === MARKER.restart) {
      if (body.length < 2) corrupt('The JPEG restart interval is cut short.');
      restartInterval = (body[0]! << 8) | body[1]!;
    } else if (marker === MARKER.lines) {
      throw new ImageFault('image-height-unknown', 'The JPEG states its height only after its first scan.');
    } else if (marker === MARKER.scan) {
      if (!frame) return corrupt('The JPEG has a scan before its frame header.');
      const header = scanHeader(body, frame, dcTables, acTables);
      scans.push({
        ...header,
        restartInterval,
        lead,
        header: segment.whole,
        start: segment.end,
        end: segment.dataEnd,
      });
      if (isHead) break;
      lead = [];
    } else if (KEPT_MARKERS.has(marker)) {
      lead.push(segment.whole);
    }
  }
  if (!frame || !frameHeader || scans.length === 0) return undefined;
  return { frame, lead: frameLead, header: frameHeader, scans };
}

interface Segment {
  readonly marker: number;
  /** The contents after the length. */
  readonly body: Uint8Array;
  /** Marker and length included. */
  readonly whole: Uint8Array;
  readonly end: number;
  /** Where the entropy-coded data after a scan header end; `end` for other segments. */
  readonly dataEnd: number;
  readonly isCut: boolean;
}

function* segments(source: Uint8Array): Generator<Segment> {
  if (source[0] !== 0xff || source[1] !== MARKER.start) corrupt('The data do not begin as a JPEG.');
  let at = 2;
  while (at < source.length) {
    // Stray bytes between segments are skipped, as decoders do.
    at = source.indexOf(0xff, at);
    if (at < 0) return;
    while (source[at + 1] === 0xff) at++;
    const marker = source[at + 1];
    if (marker === undefined || marker === MARKER.end) return;
    if (marker <= 0x01 || (marker >= 0xd0 && marker <= MARKER.start)) {
      at += 2;
      continue;
    }
    const length = ((source[at + 2] ?? 0) << 8) | (source[at + 3] ?? 0);
    const end = at + 2 + length;
    const isCut = at + 4 > source.length || end > source.length;
    if (!isCut && length < 2) corrupt('A JPEG segment states an impossible length.');
    const dataEnd = marker === MARKER.scan && !isCut ? scanDataEnd(source, end) : end;
    yield {
      marker,
      body: source.subarray(at + 4, end),
      whole: source.subarray(at, end),
      end,
      dataEnd,
      isCut,
    };
    at = dataEnd;
  }
}

/** The offset of the next marker that is neither a stuffed byte nor a restart. */
function scanDataEnd(source: Uint8Array, start: number): number {
  let at = start;
  for (;;) {
    at = source.indexOf(0xff, at);
    if (at < 0 || at + 1 >= source.length) return source.length;
    const next = source[at + 1]!;
    if (next !== 0 && next !== 0xff && (next < 0xd0 || next > 0xd7)) return at;
    at += next === 0xff ? 1 : 2;
  }
}

function readHuffmanTables(
  body: Uint8Array,
  dcTables: (HuffmanTable | undefined)[],
  acTables: (HuffmanTable | undefined)[],
): void {
  let at = 0;
  while (at < body.length) {
    const place = body[at]!;
    const counts = body.subarray(at + 1, at + 17);
    const total = counts.reduce((sum, n) => sum + n, 0);
    const symbols = body.subarray(at + 17, at + 17 + total);
    const slot = place & 15;
    if (counts.length < 16 || symbols.length < total || total > 256 || place >> 4 > 1 || slot > 3) {
      corrupt('A JPEG Huffman table is cut short or has an impossible place.');
    }
    (place >> 4 === 0 ? dcTables : acTables)[slot] = { counts, symbols };
    at += 17 + total;
  }
}

function scanHeader(
  body: Uint8Array,
  frame: JpegFrame,
  dcTables: readonly (HuffmanTable | undefined)[],
  acTables: readonly (HuffmanTable | undefined)[],
): Pick<JpegScan, 'components' | 'first' | 'last' | 'highBit' | 'lowBit'> {
  const count = body[0] ?? 0;
  if (count < 1 || count > frame.components.length || body.length < 4 + 2 * count) {
    corrupt('A JPEG scan header is cut short or names too many components.');
  }
  const components = Array.from({ length: count }, (_, i): JpegScanComponent => {
    const id = body[1 + 2 * i]!;
    const slots = body[2 + 2 * i]!;
    const index = frame.components.findIndex((component) => component.id === id);
    if (index < 0) corrupt('A JPEG scan names a component that the frame lacks.');
    const dcSlot = slots >> 4;
    const acSlot = slots & 15;
    return { index, dcSlot, acSlot, dc: dcTables[dcSlot], ac: acTables[acSlot] };
  });
  if (new Set(components.map(({ index }) => index)).size < count)
    corrupt('A JPEG scan names a component twice.');
  const at = 1 + 2 * count;
  return {
    components,
    first: body[at]!,
    last: body[at + 1]!,
    highBit: body[at + 2]! >> 4,
    lowBit: body[at + 2]! & 15,
  };
}
