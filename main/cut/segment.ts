/**
 * Packs a segment of a Flate stream. Segments end at a byte, with an empty stored block (RFC 1951, 3.2.4), so they can
 * be packed separately and joined. The packed bytes depend only on the input bytes.
 */
import { adler32 } from '../../core/pdf/file/adler32.ts';
import { HuffmanSegment, huffmanBits } from './huffman-segment.ts';
import { deflateRaw } from './zlib.ts';

/** How much of a stream is packed at a time, each segment on a thread. */
export const SEGMENT_BYTES = 1 << 20;
/** This many parts of each segment are packed in every way, to see which is worth its time. */
const SAMPLES = 3;
const SAMPLE_BYTES = 1 << 14;
/** How much larger the result of a faster way may be. */
const FAST_TOLERANCE = 1.01;
/** A block that codes alone make this small probably has repetitions, no matter what the samples say. */
const MIN_HUFFMAN_SHARE = 0.5;
/** The share of places in a sample whose four bytes occurred before; above it, zlib is tried. */
const MAX_REPEATS = 0.005;
const PLACE_BITS = 14;
/** Levels of zlib. */
const QUICK = 1;
/** Takes a third of the time of the thorough level. */
const SHORT = 4;
const THOROUGH = 6;
/** How much larger its result may be; for operators it is 3 %. */
const SHORT_TOLERANCE = 1.04;

export interface PackedSegment {
  readonly bytes: Uint8Array;
  /** Adler-32 of the packed input. */
  readonly checksum: number;
}

/** Room for the packed result of `length` bytes, including the growth of incompressible ones (RFC 1951, 3.2.4). */
export const packedRoom = (length: number): number => length + (length >> 8) + 256;

/** Packs into `room`, which has `packedRoom` bytes and begins at a multiple of 4 in its memory. */
export function packSegment(bytes: Uint8Array, isLast: boolean, room: Uint8Array): PackedSegment {
  return { bytes: room.subarray(0, packInto(room, bytes, isLast)), checksum: adler32(bytes) };
}

function packInto(room: Uint8Array, bytes: Uint8Array, isLast: boolean): number {
  const way = wayFor(bytes);
  if (way instanceof HuffmanSegment) return way.packInto(room, isLast);
  return deflateRaw(bytes, way, isLast, room);
}

/** Codes alone, or a level of zlib: the fastest way that is good enough. */
function wayFor(bytes: Uint8Array): HuffmanSegment | number {
  const sample = samplesOf(bytes);
  if (sample.length === 0) return THOROUGH;
  const codesOnly = new HuffmanSegment(bytes);
  const isLikely = codesOnly.smallestShare >= MIN_HUFFMAN_SHARE;
  if (isLikely && isWithoutRepeats(sample)) return codesOnly;
  const quick = packedLength(sample, QUICK);
  if (isLikely && huffmanBits(sample) / 8 <= quick * FAST_TOLERANCE) return codesOnly;
  const thorough = packedLength(sample, THOROUGH);
  if (quick <= thorough * FAST_TOLERANCE) return QUICK;
  return packedLength(sample, SHORT) <= thorough * SHORT_TOLERANCE ? SHORT : THOROUGH;
}

/** Bytes from several places of a segment; empty for a short one, which is packed as well as possible. */
function samplesOf(bytes: Uint8Array): Uint8Array {
  if (bytes.length < 2 * SAMPLES * SAMPLE_BYTES) return new Uint8Array(0);
  const samples = new Uint8Array(SAMPLES * SAMPLE_BYTES);
  const step = Math.floor(bytes.length / SAMPLES);
  for (let i = 0; i < SAMPLES; i += 1) {
    const at = i * step + ((step - SAMPLE_BYTES) >> 1);
    samples.set(bytes.subarray(at, at + SAMPLE_BYTES), i * SAMPLE_BYTES);
  }
  return samples;
}

/** Whether hardly any four bytes occur twice, so that zlib would find nothing. */
function isWithoutRepeats(sample: Uint8Array): boolean {
  const lastPlaces = new Uint16Array(1 << PLACE_BITS);
  let repeats = 0;
  for (let i = 0; i + 4 <= sample.length; i += 1) {
    const four = fourAt(sample, i);
    const slot = Math.imul(four, 0x9e3779b1) >>> (32 - PLACE_BITS);
    if (fourAt(sample, lastPlaces[slot]!) === four) repeats += 1;
    lastPlaces[slot] = i;
  }
  return repeats <= sample.length * MAX_REPEATS;
}

const fourAt = (bytes: Uint8Array, at: number): number =>
  bytes[at]! | (bytes[at + 1]! << 8) | (bytes[at + 2]! << 16) | (bytes[at + 3]! << 24);

const packedLength = (bytes: Uint8Array, level: number): number =>
  deflateRaw(bytes, level, true, new Uint8Array(packedRoom(bytes.length)));
