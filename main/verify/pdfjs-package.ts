/** The location and version of pdf.js, for code that does not draw with it: its canvas takes long to load. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';

export const PDFJS_PACKAGE = createRequire(import.meta.url).resolve('pdfjs-dist/package.json');

/** Name and version, for the report. */
export const PDFJS_NAME = `pdf.js ${(JSON.parse(readFileSync(PDFJS_PACKAGE, 'utf8')) as { version: string }).version}`;
