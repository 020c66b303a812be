/**
 * A WebP with the chunks that its picture is made of (RFC 9649), and how the camera was held: what else is in it may tell of
 * time, place or people.
 */
import { joined, textAt, viewOf } from './byte-parts.ts';
import { type CameraTurn, cameraTurn, sizeTurned, turnDirectory } from './camera-turn.ts';
import type { CleanedPicture, PictureSize } from './cleaned-picture.ts';

const KEPT: ReadonlySet<string> = new Set(['VP8 ', 'VP8L', 'VP8X', 'ALPH', 'ICCP', 'ANIM', 'ANMF']);
/** Flags of the extended header. */
const HAS_EXIF = 0x08;
const HAS_XMP = 0x04;
const FILE_HEAD = 12;
const CHUNK_HEAD = 8;

interface Chunk {
  readonly kind: string;
  /** With its head, and with the byte that makes its length even. */
  readonly bytes: Uint8Array;
  readonly content: Uint8Array;
}

/** Undefined where it is no WebP or a broken one. */
function chunksOf(file: Uint8Array): readonly Chunk[] | undefined {
  if (textAt(file, 0, 4) !== 'RIFF' || textAt(file, 8, 4) !== 'WEBP') return undefined;
  const view = viewOf(file);
  const end = 8 + view.getUint32(4, true);
  if (end > file.length) return undefined;
  const chunks: Chunk[] = [];
  for (let at = FILE_HEAD; at + CHUNK_HEAD <= end; ) {
    const length = view.getUint32(at + 4, true);
    const content = file.subarray(at + CHUNK_HEAD, at + CHUNK_HEAD + length);
    if (at + CHUNK_HEAD + length > end) return undefined;
    const next = at + CHUNK_HEAD + length + (length % 2);
    chunks.push({ kind: textAt(file, at, 4), bytes: file.slice(at, next), content });
    at = next;
  }
  return chunks;
}

/** How the camera was held: browsers do not turn a WebP by it. */
export const webpTurn = (file: Uint8Array): CameraTurn => turnIn(chunksOf(file) ?? []);

function turnIn(chunks: readonly Chunk[]): CameraTurn {
  // Only a file with an extended header can say it.
  if (!chunks.some(({ kind }) => kind === 'VP8X')) return 1;
  const exif = chunks.find(({ kind }) => kind === 'EXIF');
  return (exif && cameraTurn(exif.content)) ?? 1;
}

export function webpCleaned(file: Uint8Array): CleanedPicture | undefined {
  const chunks = chunksOf(file);
  if (!chunks) return undefined;
  const kept = chunks.filter(({ kind }) => KEPT.has(kind));
  const size = kept.map(sizeOf).find((each) => each !== undefined);
  if (!size) return undefined;
  const turn = turnIn(chunks);
  const isTurned = turn > 1;
  for (const { kind, bytes } of kept) {
    if (kind === 'VP8X')
      bytes[CHUNK_HEAD] = (bytes[CHUNK_HEAD]! & ~(HAS_EXIF | HAS_XMP)) | (isTurned ? HAS_EXIF : 0);
  }
  const parts = [...kept.map(({ bytes }) => bytes), ...(isTurned ? [turnChunk(turn)] : [])];
  const head = file.slice(0, FILE_HEAD);
  viewOf(head).setUint32(4, 4 + parts.reduce((sum, { length }) => sum + length, 0), true);
  return { bytes: joined([head, ...parts]), ...sizeTurned(size, turn) };
}

function turnChunk(turn: CameraTurn): Uint8Array {
  const directory = turnDirectory(turn);
  const head = new Uint8Array(CHUNK_HEAD);
  head.set(Uint8Array.from('EXIF', (letter) => letter.charCodeAt(0)));
  viewOf(head).setUint32(4, directory.length, true);
  return joined([head, directory]);
}

function sizeOf({ kind, content }: Chunk): PictureSize | undefined {
  if (content.length < 10) return undefined;
  const view = viewOf(content);
  if (kind === 'VP8X') {
    const threeBytes = (at: number) => view.getUint16(at, true) + 0x10000 * content[at + 2]!;
    return { widthPx: 1 + threeBytes(4), heightPx: 1 + threeBytes(7) };
  }
  if (kind === 'VP8L') {
    const bits = view.getUint32(1, true);
    return { widthPx: 1 + (bits & 0x3fff), heightPx: 1 + ((bits >>> 14) & 0x3fff) };
  }
  if (kind !== 'VP8 ') return undefined;
  return { widthPx: view.getUint16(6, true) & 0x3fff, heightPx: view.getUint16(8, true) & 0x3fff };
}
