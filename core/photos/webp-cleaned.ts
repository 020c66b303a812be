/** A WebP with the chunks that its picture is made of (RFC 9649): what else is in it may tell of time, place or people. */
import { joined, textAt, viewOf } from './byte-parts.ts';
import type { CleanedPicture } from './cleaned-picture.ts';

const KEPT: ReadonlySet<string> = new Set(['VP8 ', 'VP8L', 'VP8X', 'ALPH', 'ICCP', 'ANIM', 'ANMF']);
/** Flags of the extended header: there is Exif, there is XMP. */
const TELLING = 0x08 | 0x04;
const HEADER = 12;

export function webpCleaned(bytes: Uint8Array): CleanedPicture | undefined {
  if (textAt(bytes, 0, 4) !== 'RIFF' || textAt(bytes, 8, 4) !== 'WEBP') return undefined;
  const view = viewOf(bytes);
  const end = 8 + view.getUint32(4, true);
  if (end > bytes.length) return undefined;
  const kept: Uint8Array[] = [];
  let size: { readonly widthPx: number; readonly heightPx: number } | undefined;
  for (let at = HEADER; at + 8 <= end; ) {
    const kind = textAt(bytes, at, 4);
    const length = view.getUint32(at + 4, true);
    // Chunks begin at even places.
    const next = at + 8 + length + (length % 2);
    if (at + 8 + length > end) return undefined;
    if (KEPT.has(kind)) {
      const chunk = bytes.slice(at, next);
      size ??= sizeOf(kind, chunk.subarray(8));
      if (kind === 'VP8X') chunk[8]! &= ~TELLING;
      kept.push(chunk);
    }
    at = next;
  }
  if (!size) return undefined;
  const header = bytes.slice(0, HEADER);
  viewOf(header).setUint32(4, 4 + kept.reduce((sum, { length: each }) => sum + each, 0), true);
  return { bytes: joined([header, ...kept]), ...size };
}

function sizeOf(
  kind: string,
  content: Uint8Array,
): { readonly widthPx: number; readonly heightPx: number } | undefined {
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
