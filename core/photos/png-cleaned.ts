/** A PNG with the chunks that its picture is made of, and none that tells of time, place or people (ISO/IEC 15948). */
import { joined, textAt, viewOf } from './byte-parts.ts';
import type { CleanedPicture } from './cleaned-picture.ts';

const SIGNATURE = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a];
const KEPT: ReadonlySet<string> = new Set([
  ...['IHDR', 'PLTE', 'IDAT', 'IEND', 'tRNS', 'gAMA', 'cHRM', 'sRGB', 'iCCP', 'cICP', 'sBIT', 'bKGD', 'pHYs'],
]);

export function pngCleaned(bytes: Uint8Array): CleanedPicture | undefined {
  if (!SIGNATURE.every((byte, index) => bytes[index] === byte)) return undefined;
  const view = viewOf(bytes);
  const kept: Uint8Array[] = [bytes.subarray(0, SIGNATURE.length)];
  let at = SIGNATURE.length;
  while (at + 12 <= bytes.length) {
    const kind = textAt(bytes, at + 4, 4);
    const end = at + 12 + view.getUint32(at);
    if (end > bytes.length) return undefined;
    if (KEPT.has(kind)) kept.push(bytes.subarray(at, end));
    if (kind === 'IEND') {
      const [, header] = kept;
      if (!header || header.length < 25 || textAt(header, 4, 4) !== 'IHDR') return undefined;
      const size = viewOf(header);
      return { bytes: joined(kept), widthPx: size.getUint32(8), heightPx: size.getUint32(12) };
    }
    at = end;
  }
  return undefined;
}
