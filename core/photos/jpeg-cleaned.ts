/**
 * A JPEG without what its camera and its programs wrote beside the picture, but for how it was held. Segments as in ITU-T
 * T.81, annex B.
 */
import { joined, textAt, viewOf } from './byte-parts.ts';
import { type CameraTurn, cameraTurn, sizeTurned, turnDirectory } from './camera-turn.ts';
import type { CleanedPicture, PictureSize } from './cleaned-picture.ts';

const SOI = 0xd8;
const EOI = 0xd9;
const SOS = 0xda;
const APP0 = 0xe0;
const APP1 = 0xe1;
const APP2 = 0xe2;
const APP14 = 0xee;
const APP15 = 0xef;
const COMMENT = 0xfe;
/** Frame headers; 0xc4, 0xc8 and 0xcc between them are others. */
const isFrame = (marker: number): boolean =>
  marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker);
const isRestart = (marker: number): boolean => marker >= 0xd0 && marker <= 0xd7;

export function jpegCleaned(bytes: Uint8Array): CleanedPicture | undefined {
  if (bytes[0] !== 0xff || bytes[1] !== SOI) return undefined;
  const view = viewOf(bytes);
  const kept: Uint8Array[] = [bytes.subarray(0, 2)];
  let size: PictureSize | undefined;
  let turn: CameraTurn | undefined;
  let at = 2;
  while (at + 2 <= bytes.length) {
    const marker = bytes[at + 1]!;
    if (bytes[at] !== 0xff) return undefined;
    if (marker === 0xff) {
      at += 1;
      continue;
    }
    // What follows the end is no part of the picture: some cameras put a second one there, with all they know.
    if (marker === EOI) return size && cleanedOf(kept, bytes.subarray(at, at + 2), size, turn);
    const end = at + 4 <= bytes.length ? at + 2 + view.getUint16(at + 2) : Number.POSITIVE_INFINITY;
    if (end > bytes.length) return undefined;
    const segment = bytes.subarray(at, end);
    if (marker === APP1) turn ??= segmentTurn(segment.subarray(4));
    if (isFrame(marker) && segment.length >= 9) {
      size = { heightPx: view.getUint16(at + 5), widthPx: view.getUint16(at + 7) };
    }
    if (isKept(marker, segment)) kept.push(segment);
    at = end;
    if (marker !== SOS) continue;
    const next = scanEnd(bytes, at);
    if (next === undefined) return undefined;
    kept.push(bytes.subarray(at, next));
    at = next;
  }
  return undefined;
}

/** Where the coded samples of a scan end: at a marker that is none of theirs. */
function scanEnd(bytes: Uint8Array, from: number): number | undefined {
  for (let at = from; at + 1 < bytes.length; at++) {
    const marker = bytes[at + 1]!;
    if (bytes[at] === 0xff && marker !== 0 && marker !== 0xff && !isRestart(marker)) return at;
  }
  return undefined;
}

/** Of the application's own segments those that colors are read by. */
function isKept(marker: number, segment: Uint8Array): boolean {
  if (marker === APP0) return textAt(segment, 4, 4) === 'JFIF';
  if (marker === APP2) return textAt(segment, 4, 11) === 'ICC_PROFILE';
  if (marker === APP14) return textAt(segment, 4, 5) === 'Adobe';
  return marker !== COMMENT && !(marker >= APP0 && marker <= APP15);
}

const EXIF = 'Exif\0\0';
const EXIF_BYTES = Uint8Array.from(EXIF, (letter) => letter.charCodeAt(0));

/** Undefined where the segment says nothing of how the camera was held. */
const segmentTurn = (content: Uint8Array): CameraTurn | undefined =>
  textAt(content, 0, EXIF.length) === EXIF ? cameraTurn(content.subarray(EXIF.length)) : undefined;

/** A segment that says how the camera was held, and nothing else. */
function turnSegment(turn: CameraTurn): Uint8Array {
  const content = joined([EXIF_BYTES, turnDirectory(turn)]);
  const head = new Uint8Array(4);
  viewOf(head).setUint16(0, 0xff00 + APP1);
  viewOf(head).setUint16(2, content.length + 2);
  return joined([head, content]);
}

function cleanedOf(
  [start, ...segments]: readonly Uint8Array[],
  end: Uint8Array,
  size: PictureSize,
  turn: CameraTurn = 1,
): CleanedPicture {
  const bytes = joined([start!, ...(turn > 1 ? [turnSegment(turn)] : []), ...segments, end]);
  return { bytes, ...sizeTurned(size, turn) };
}
