import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { runTool } from '../../../support/tools.ts';

/** An image XObject: its dictionary without Type, Subtype and Length, and its stream. `«mask»` stands for the mask's reference. */
export interface PdfImage {
  readonly entries: string;
  readonly data: Uint8Array;
}

export const pdfValue = (value: unknown): string => {
  if (typeof value !== 'object' || value === null)
    return typeof value === 'string' ? `/${value}` : String(value);
  return `<< ${Object.entries(value)
    .map(([key, item]) => `/${key} ${pdfValue(item)}`)
    .join(' ')} >>`;
};

/** Dictionary entries as text; those that are undefined are left out. */
export const pdfEntries = (entries: object): string =>
  Object.entries(entries)
    .filter(([, value]) => value !== undefined)
    .map(([key, value]) => `/${key} ${pdfValue(value)}`)
    .join(' ');

/** A page of one image in `content`, under the name /Image, a point a unit. */
export function pdfMade(
  width: number,
  height: number,
  content: string,
  image: PdfImage,
  mask?: PdfImage,
): Uint8Array {
  const parts: Buffer[] = [Buffer.from('%PDF-1.7\n')];
  const offsets: number[] = [];
  let at = parts[0]!.length;
  const add = (...pieces: (string | Uint8Array)[]): void => {
    offsets.push(at);
    const object = Buffer.concat([
      Buffer.from(`${offsets.length} 0 obj\n`),
      ...pieces.map((piece) => Buffer.from(piece)),
      Buffer.from('\nendobj\n'),
    ]);
    parts.push(object);
    at += object.length;
  };
  const stream = (entries: string, data: Uint8Array): void =>
    add(`<< ${entries} /Length ${data.length} >>\nstream\n`, data, '\nendstream');
  const xObject = ({ entries, data }: PdfImage): void =>
    stream(`/Type /XObject /Subtype /Image ${entries.replace('«mask»', '6 0 R')}`, data);
  add('<< /Type /Catalog /Pages 2 0 R >>');
  add('<< /Type /Pages /Kids [3 0 R] /Count 1 >>');
  add(
    `<< /Type /Page /Parent 2 0 R /MediaBox [0 0 ${width} ${height}] /Contents 4 0 R /Resources << /XObject << /Image 5 0 R >> >> >>`,
  );
  stream('', Buffer.from(content));
  xObject(image);
  if (mask) xObject(mask);
  const table = offsets.map((offset) => `${String(offset).padStart(10, '0')} 00000 n \n`).join('');
  const count = offsets.length + 1;
  parts.push(
    Buffer.from(
      `xref\n0 ${count}\n0000000000 65535 f \n${table}trailer\n<< /Size ${count} /Root 1 0 R >>\nstartxref\n${at}\n%%EOF\n`,
    ),
  );
  return Buffer.concat(parts);
}

/** Pixels of the page at 72 per inch, without anti-aliasing, by MuPDF; CMYK where the picture is CMYK. */
export function pdfPixels(pdf: Uint8Array, space: 'rgb' | 'cmyk'): Uint8Array {
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-image-'));
  try {
    const file = join(folder, 'page.pdf');
    writeFileSync(file, pdf);
    return new Uint8Array(
      runTool('mutool', ['draw', '-q', '-r', '72', '-A', '0', '-c', space, '-F', 'pam', '-o', '-', file]),
    );
  } finally {
    rmSync(folder, { recursive: true });
  }
}
