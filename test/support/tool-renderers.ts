import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { RenderOptions } from './pdfium.ts';
import { type Picture, pictureFromNetpbm } from './picture.ts';
import { runTool } from './tools.ts';

/** Writes the bytes to a file of their own, runs `use` with its path, and removes it. */
export function withPdfFile<T>(pdf: Uint8Array, use: (path: string, folder: string) => T): T {
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-test-'));
  try {
    const path = join(folder, 'page.pdf');
    writeFileSync(path, pdf);
    return use(path, folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Poppler's renderer, without annotations. It does not know UserUnit. */
export function popplerPicture(pdf: Uint8Array, options: RenderOptions = {}): Picture {
  const page = String(options.page ?? 1);
  return withPdfFile(pdf, (path) =>
    pictureFromNetpbm(
      runTool('pdftoppm', [
        ...['-r', String(options.ppi ?? 72), '-f', page, '-l', page, '-cropbox', '-hide-annotations', '-q'],
        ...(options.password ? ['-upw', options.password] : []),
        path,
      ]),
    ),
  );
}

/** Ghostscript's renderer, without annotations. */
export function ghostscriptPicture(pdf: Uint8Array, options: RenderOptions = {}): Picture {
  const page = options.page ?? 1;
  return withPdfFile(pdf, (path, folder) => {
    const out = join(folder, 'page.ppm');
    runTool('gs', [
      ...['-q', '-dNOPAUSE', '-dBATCH', '-dSAFER', '-sDEVICE=ppmraw', `-r${options.ppi ?? 72}`],
      ...[`-dFirstPage=${page}`, `-dLastPage=${page}`, '-dUseCropBox', '-dShowAnnots=false'],
      ...['-dTextAlphaBits=4', '-dGraphicsAlphaBits=4'],
      ...(options.password ? [`-sPDFPassword=${options.password}`] : []),
      ...[`-sOutputFile=${out}`, path],
    ]);
    return pictureFromNetpbm(readFileSync(out));
  });
}

/** MuPDF's four-ink picture: exact CMYK with overprint; red, green, blue, alpha hold cyan, magenta, yellow, black. */
export function mupdfInkPicture(pdf: Uint8Array, options: RenderOptions = {}): Picture {
  return withPdfFile(pdf, (path, folder) => {
    const out = join(folder, 'page.pam');
    runTool('mutool', [
      ...['draw', '-q', '-r', String(options.ppi ?? 72), '-c', 'cmyk', '-F', 'pam', '-o', out],
      ...(options.password ? ['-p', options.password] : []),
      ...[path, String(options.page ?? 1)],
    ]);
    return pictureFromNetpbm(readFileSync(out));
  });
}
