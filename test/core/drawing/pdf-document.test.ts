import { deflateSync } from 'node:zlib';
import { decodePDFRawStream, PDFDocument, PDFName, PDFRawStream } from 'pdf-lib';
import { describe, expect, it } from 'vitest';
import type { Drawing, TextItem } from '../../../core/drawing/drawing.ts';
import { type FontLibrary, fontLibraryFromFiles } from '../../../core/drawing/font-library.ts';
import { pdfFromDrawings } from '../../../core/drawing/pdf-document.ts';
import { testFonts } from '../sheets/fixture.ts';

const fonts = testFonts();
/** As a program that has just started has them. */
const freshFonts = (): FontLibrary =>
  fontLibraryFromFiles({ regular: fonts.file('regular').slice(), bold: fonts.file('bold').slice() });

const FACTS = { title: 'T', author: 'A', subject: 'S', date: '2026-03-09', sha256: '7'.repeat(64) };

const written = (text: string, fonts: FontLibrary): Promise<Uint8Array> => {
  const item: TextItem = {
    kind: 'text',
    tag: 'text',
    text,
    role: 'regular',
    sizeMm: 4,
    at: { x: 10, y: 10 },
    anchor: 'start',
    turn: 0,
    widthMm: fonts.width(text, 'regular', 4),
    black: 1,
  };
  const drawing: Drawing = { widthMm: 100, heightMm: 20, items: [item] };
  return pdfFromDrawings([drawing], FACTS, fonts, deflateSync);
};

/** The signs that a reader gets back for the glyphs of the document. */
async function signsOf(bytes: Uint8Array): Promise<string> {
  const { context } = await PDFDocument.load(bytes);
  const found: string[] = [];
  for (const [, object] of context.enumerateIndirectObjects()) {
    if (!(object instanceof PDFRawStream) || object.dict.has(PDFName.of('Length1'))) continue;
    const text = Buffer.from(decodePDFRawStream(object).decode()).toString('latin1');
    const map = text.slice(text.indexOf('beginbfchar'));
    for (const [, sign] of map.matchAll(/^<[0-9A-F]{4}> <([0-9A-F]+)>$/gm)) found.push(sign!);
  }
  return found
    .map((hex) => Buffer.from(hex, 'hex').swap16().toString('utf16le'))
    .sort()
    .join('');
}

describe('a document', () => {
  // An ellipsis is made of full stops; both kinds of space and of hyphen may share a glyph.
  it.each([
    ['…', 'No film.'],
    ['\u00a0\u2010', 'a-b c'],
  ])(
    'is the same whatever was written before it, and its text can be read: %j, then %j',
    async (before, text) => {
      const fonts = freshFonts();
      await written(before, fonts);
      const bytes = await written(text, fonts);
      expect(Buffer.from(bytes).equals(await written(text, freshFonts()))).toBe(true);
      expect(await signsOf(bytes)).toBe([...new Set(text)].sort().join(''));
    },
  );
});
