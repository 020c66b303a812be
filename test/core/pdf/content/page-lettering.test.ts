import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import * as fontkit from 'fontkit';
import { degrees, PDFDocument, StandardFonts } from 'pdf-lib';
import { describe, expect, it } from 'vitest';
import { pageLettering } from '../../../../core/pdf/content/page-lettering.ts';
import { rawPdf } from '../../../support/raw-pdf.ts';
import { pageOf, pdfiumChars } from './content-support.ts';

const MM = 25.4 / 72;
const HELVETICA =
  '/Font << /F << /Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding >> >>';

const lines = async (content: string, page = '/MediaBox [0 0 400 300]', resources = HELVETICA) =>
  pageLettering(await pageOf(rawPdf({ page, resources, content })));
const texts = async (content: string): Promise<string[]> => (await lines(content)).map((line) => line.text);

describe('words and lines', () => {
  it('strings that continue each other are one word, gaps and spaces part words, steps part lines', async () => {
    expect(
      await texts(`BT /F 20 Tf 24 TL 30 250 Td (Alder Co) Tj [(u) -60 (nty) -900 (Library)] TJ T* (bookmobile) Tj ET
        BT /F 20 Tf 30 150 Td (route) Tj 70 0 Td (seven) Tj ET BT /F 20 Tf 300 150 Td (far) Tj ET`),
    ).toEqual(['Alder County Library', 'bookmobile', 'route seven', 'far']);
  });

  it('letters set one by one with their own positions are words all the same', async () => {
    const letters = [...'OUTREACH'].map(
      (letter, i) => `BT /F 30 Tf 1 0 0 1 ${40 + i * 23} 90 Tm (${letter}) Tj ET`,
    );
    expect(await texts(letters.join('\n'))).toEqual(['OUTREACH']);
  });

  it('lettering that is invisible, clipped away, hidden by a layer or off the page counts by what shows', async () => {
    expect(
      await texts(`BT /F 20 Tf 30 250 Td 3 Tr (ghost) Tj 0 Tr 0 -40 Td (here) Tj ET
        q 0 0 10 10 re W n BT /F 20 Tf 100 100 Td (clipped) Tj ET Q BT /F 20 Tf 900 100 Td (outside) Tj ET`),
    ).toEqual(['here']);
  });

  it('lettering that reads backward says so, and turned lettering does not', async () => {
    const set = await lines(`BT /F 20 Tf 30 250 Td (forward) Tj ET
      q -1 0 0 1 390 0 cm BT /F 20 Tf 30 200 Td (mirrored) Tj ET Q
      q 1 0 0 -1 0 300 cm BT /F 20 Tf 30 150 Td (flipped) Tj ET Q
      q -1 0 0 -1 390 290 cm BT /F 20 Tf 30 190 Td (upside down) Tj ET Q`);
    expect(set.map(({ text, isMirrored }) => [text, isMirrored])).toEqual([
      ['forward', false],
      ['mirrored', true],
      ['flipped', true],
      ['upside down', false],
    ]);
  });

  it('codes become text by their encoding, its differences, or the map to Unicode', async () => {
    const resources = `/Font << /A << /Subtype /Type1 /BaseFont /Helvetica /Encoding << /BaseEncoding /MacRomanEncoding /Differences [65 /Aring 66 /uni03A9 /germandbls] >> >>
      /B << /Subtype /Type1 /BaseFont /Helvetica /ToUnicode 20 0 R >> >>`;
    const map =
      '1 beginbfchar <41> <00660069> endbfchar 2 beginbfrange <42> <43> <0416> <44> <45> [<0031> <D83DDE00>] endbfrange';
    const pdf = rawPdf({
      page: '/MediaBox [0 0 400 300]',
      resources,
      content: 'BT /A 20 Tf 30 200 Td (ABC\\216) Tj 0 -50 Td /B 20 Tf (ABCDE) Tj ET',
      objects: { 20: { data: map } },
    });
    expect((await pageLettering(await pageOf(pdf))).map((line) => line.text)).toEqual(['ÅΩßé', 'fiЖЗ1😀']);
  });

  it('letters of a Type 3 font are as high as they are drawn, whatever an em is there', async () => {
    // Glyphs are drawn in a grid of 300 to the inch and set at a size of 0.24: 70 rows are 16.8 points.
    const pdf = rawPdf({
      page: '/MediaBox [0 0 400 300]',
      resources:
        '/Font << /T << /Type /Font /Subtype /Type3 /FontBBox [0 0 1 1] /FontMatrix [1 0 0 1 0 0] /FirstChar 65 /LastChar 66 /Widths [60 50] /Encoding << /Differences [65 /a /b] >> /CharProcs << /a 21 0 R /b 22 0 R >> /Resources << >> >> >>',
      content: 'BT /T 0.24 Tf 100 150 Td (AB) Tj ET',
      objects: {
        21: { data: '60 0 0 0 50 70 d1 0 0 50 70 re f' },
        22: { data: '50 0 0 0 40 70 d1 0 0 40 70 re f' },
      },
    });
    const [line, ...others] = await pageLettering(await pageOf(pdf));
    expect(others).toEqual([]);
    expect(line!.words).toHaveLength(1);
    const { y, height } = line!.drawn;
    // From the base line at 150 of 300 points upward, drawn from the top.
    expect(y).toBeCloseTo((300 - 150 - 16.8) * MM, 6);
    expect(height).toBeCloseTo(16.8 * MM, 6);
    expect(line!.sizeMm).toBeGreaterThan(12 * MM);
    expect(line!.sizeMm).toBeLessThan(24 * MM);
  });

  it('sizes and boxes are drawn millimeters, whatever turns and scales the page', async () => {
    const [line] = await lines(
      '2 0 0 2 0 0 cm BT /F 10 Tf 20 30 Td (HI) Tj ET',
      '/MediaBox [-10 -20 390 280] /UserUnit 3 /Rotate 90',
    );
    expect(line!.sizeMm).toBeCloseTo(20 * 3 * MM, 9);
    // Helvetica's H is 722 and its I 278 thousandths of an em wide (Adobe's published AFM file).
    expect(line!.drawn.height).toBeCloseTo(1.0 * 20 * 3 * MM, 9);
    // Turned clockwise by a quarter, what was 60 + 20 units above the bottom is that far from the left.
    expect(line!.drawn.y).toBeCloseTo((40 + 10) * 3 * MM, 9);
    expect(line!.drawn.x).toBeGreaterThan((60 + 20 - 6) * 3 * MM);
    expect(line!.drawn.x).toBeLessThan((60 + 20) * 3 * MM);
  });
});

interface Sample {
  readonly pdf: Uint8Array;
  readonly expected: readonly string[];
}

/** Text by pdf-lib: the 14 fonts with WinAnsi codes, a subset TrueType font with two-byte codes. */
async function sample(kind: 'standard' | 'embedded'): Promise<Sample> {
  const document = await PDFDocument.create();
  const page = document.addPage([420, 300]);
  const expected: string[] = [];
  const fonts = [];
  if (kind === 'standard') {
    for (const name of [StandardFonts.TimesRomanItalic, StandardFonts.Courier, StandardFonts.HelveticaBold]) {
      fonts.push(await document.embedFont(name));
    }
  } else {
    document.registerFontkit(fontkit as unknown as Parameters<PDFDocument['registerFontkit']>[0]);
    const path = createRequire(import.meta.url).resolve('dejavu-fonts-ttf/ttf/DejaVuSerif.ttf');
    fonts.push(await document.embedFont(readFileSync(path), { subset: true }));
  }
  for (const [i, font] of fonts.entries()) {
    const text = ['Alder County Library', 'Wägen & Anhänger', 'route 7: bookmobile'][(i + fonts.length) % 3]!;
    page.drawText(text, {
      x: 23 + 11 * i,
      y: 250 - 80 * i,
      size: 17 + 9 * i,
      font,
      rotate: degrees(i === 1 ? -12 : 0),
    });
    expected.push(text);
  }
  return { pdf: await document.save({ useObjectStreams: false }), expected };
}

describe('beside the text that PDFium finds', () => {
  it.each(['standard', 'embedded'] as const)(
    '%s fonts: the same characters at the same places',
    async (kind) => {
      const { pdf, expected } = await sample(kind);
      const found = await pageLettering(await pageOf(pdf));
      expect(found.map((line) => line.text)).toEqual(expected);
      const theirs = (await pdfiumChars(pdf)).filter(({ text }) => text.trim() !== '');
      let next = 0;
      for (const word of found.flatMap((line) => line.words)) {
        const chars = theirs.slice(next, next + word.text.length);
        next += word.text.length;
        expect(chars.map(({ text }) => text).join('')).toBe(word.text);
        // Loose boxes are upright and as wide as the advance: their middle must lie in the word, the word's ends at theirs.
        const left = Math.min(...chars.map(({ box }) => box.x0)) * MM;
        const right = Math.max(...chars.map(({ box }) => box.x1)) * MM;
        const middle =
          (300 - chars.reduce((sum, { box }) => sum + (box.y0 + box.y1) / 2, 0) / chars.length) * MM;
        expect(middle).toBeGreaterThan(word.drawn.y);
        expect(middle).toBeLessThan(word.drawn.y + word.drawn.height);
        expect(word.drawn.x).toBeGreaterThan(left - 2.2);
        expect(word.drawn.x).toBeLessThan(left + 0.5);
        expect(word.drawn.x + word.drawn.width).toBeGreaterThan(right - 0.5);
        expect(word.drawn.x + word.drawn.width).toBeLessThan(right + 2.2);
      }
      expect(next).toBe(theirs.length);
    },
  );

  it('upright words end where PDFium ends them, to a tenth of a millimeter', async () => {
    const pdf = rawPdf({
      page: '/MediaBox [0 0 400 300]',
      resources: HELVETICA,
      content: 'BT /F 23 Tf 1.5 Tc 80 Tz 31 170 Td (Bookmobile) Tj ET',
    });
    const [line] = await pageLettering(await pageOf(pdf));
    const chars = await pdfiumChars(pdf);
    expect(line!.drawn.x).toBeCloseTo(chars[0]!.box.x0 * MM, 1);
    expect(line!.drawn.x + line!.drawn.width).toBeCloseTo(chars.at(-1)!.box.x1 * MM, 1);
  });
});
