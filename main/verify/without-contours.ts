/**
 * Makes a copy of a panel's file without its cut contours, for comparing with the artwork or for cutting a color strip.
 */
import { constants } from 'node:fs';
import { appendFile, copyFile, open, stat } from 'node:fs/promises';
import { PDFName } from 'pdf-lib';
import { present } from '../../core/measure/present.ts';
import type { PanelDocument } from '../../core/verify/structure/panel-document.ts';

const TAIL_BYTES = 1024;

/**
 * Writes `copy` and returns its path; if the file has no contours, returns the file's own path. The form of the
 * contours is replaced by an empty one, in an update at the end of the file (ISO 32000-1, 7.5.6).
 */
export async function panelWithoutContours(
  path: string,
  { pdf, contours }: PanelDocument,
  copy: string,
): Promise<string> {
  const previous = contours && (await lastReference(path));
  // A damaged panel's file is checked unchanged.
  if (!contours || previous === undefined) return path;
  const { trailer } = pdf.file;
  const { objectNumber: form } = contours.ref;
  const entry = (key: string) => present(trailer.get(PDFName.of(key)), `${key} of a panel's file`).toString();
  const size = Number(entry('Size'));
  const { size: length } = await stat(path);
  const empty = `\n${form} 0 obj\n<< /Type /XObject /Subtype /Form /BBox [0 0 1 1] /Length 0 >>\nstream\n\nendstream\nendobj\n`;
  const place = (at: number) => [1, ...[24, 16, 8, 0].map((bits) => Math.floor(at / 2 ** bits) % 256), 0];
  const places = Buffer.from([...place(length + 1), ...place(length + empty.length)]);
  const index = `${size} 0 obj\n<< /Type /XRef /Size ${size + 1} /Index [${form} 1 ${size} 1] /W [1 4 1] /Root ${entry('Root')} /Prev ${previous} /Length ${places.length} >>\nstream\n`;
  await copyFile(path, copy, constants.COPYFILE_FICLONE);
  const end = `\nendstream\nendobj\nstartxref\n${length + empty.length}\n%%EOF\n`;
  await appendFile(copy, Buffer.concat([Buffer.from(empty + index), places, Buffer.from(end)]));
  return copy;
}

/** The position of the cross-reference, as the file states it. */
async function lastReference(path: string): Promise<number | undefined> {
  const file = await open(path);
  try {
    const { size } = await file.stat();
    const tail = Buffer.alloc(Math.min(size, TAIL_BYTES));
    await file.read(tail, 0, tail.length, size - tail.length);
    const at = /startxref\s+(\d+)\s+%%EOF\s*$/.exec(tail.toString('latin1'))?.[1];
    return at === undefined ? undefined : Number(at);
  } finally {
    await file.close();
  }
}
