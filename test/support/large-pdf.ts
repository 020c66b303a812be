import { closeSync, ftruncateSync, openSync, writeSync } from 'node:fs';
import { rawPdf } from './raw-pdf.ts';

/** A picture of few pixels. */
export const GRAY =
  '/Type /XObject /Subtype /Image /Width 60 /Height 50 /ColorSpace /DeviceGray /BitsPerComponent 8';

/**
 * Blue on the left, the picture on the right. Much of nothing lies between the objects and the cross-reference, as a hole that
 * takes no room on the disk.
 */
export function writeLargeFile(path: string, holeBytes: number, picture: string): void {
  const pdf = Buffer.from(
    rawPdf({
      page: '/MediaBox [0 0 300 200]',
      content: '0 0 1 rg 0 0 150 200 re f q 150 0 0 200 150 0 cm /Photo Do Q',
      resources: '/XObject << /Photo 20 0 R >>',
      objects: { 20: { dict: picture, data: Uint8Array.from({ length: 3000 }, () => 250) } },
    }),
  ).toString('latin1');
  const xref = pdf.lastIndexOf('xref\n0');
  const file = openSync(path, 'w');
  writeSync(file, Buffer.from(pdf.slice(0, xref), 'latin1'));
  ftruncateSync(file, xref + holeBytes);
  const tail = pdf.slice(xref).replace(/startxref\n\d+/, `startxref\n${xref + holeBytes}`);
  writeSync(file, Buffer.from(tail, 'latin1'), 0, tail.length, xref + holeBytes);
  closeSync(file);
}
