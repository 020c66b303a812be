import { describe, expect, it } from 'vitest';
import { type PixelCut, pixelCut, renderedPair } from '../../support/panel-check.ts';
import { pdfiumPicture } from '../../support/pdfium.ts';
import {
  colorCount,
  layPicture,
  pictureBlank,
  pictureCropped,
  pictureDifference,
  pixelAt,
} from '../../support/picture.ts';
import { rawPdf } from '../../support/raw-pdf.ts';
import { TRAP_PAGES } from '../../support/trap-pages.ts';

const WHITE = [255, 255, 255];

/**
 * Source page and panel, rendered by PDFium at the same size. One pixel along the edge of the window is left
 * out: a clip is anti-aliased there. One level of 255 is what single precision moves.
 */
describe('CUT1 a panel looks like its window of the artwork, by PDFium', () => {
  for (const { name, clause, pdf, windows, unfit, edge = 1 } of TRAP_PAGES) {
    if (unfit?.includes('pdfium')) continue;
    it(`CUT1 ${name} (ISO 32000-1, ${clause})`, async () => {
      for (const window of windows) {
        const done = await pixelCut(pdf, { window });
        const { source, printed, film } = await renderedPair(pdf, done);
        expect(colorCount(source)).toBeGreaterThan(1);
        expect(pictureDifference(source, printed, { edge }).largest).toBeLessThanOrEqual(1);
        expect(pixelAt(film, 1, 1)).toEqual(WHITE);
      }
    });
  }

  const patterns = TRAP_PAGES.find(({ name }) => name === 'patterns and shadings')!.pdf;
  const turned = TRAP_PAGES.find(({ name }) => name === 'patterns on a page turned by 270')!.pdf;
  const doubled = TRAP_PAGES.find(({ name }) => name === 'patterns under UserUnit 2')!.pdf;
  const sizes: readonly (readonly [string, Uint8Array, PixelCut])[] = [
    ['a 1:10 drawing at true size', patterns, { scale: 10 }],
    ['a 1:10 drawing reduced 1:4', patterns, { scale: 10, size: { kind: 'reduction', factor: 4 } }],
    ['a turned page reduced 1:2', turned, { scale: 5, size: { kind: 'reduction', factor: 2 } }],
    ['a 1:100 drawing in user units', patterns, { scale: 100, size: { kind: 'user-unit' } }],
    ['UserUnit in the drawing and in the panel', doubled, { scale: 50, size: { kind: 'user-unit' } }],
  ];
  for (const [name, pdf, asked] of sizes) {
    it(`CUT1 ${name}`, async () => {
      const window = { x: 31, y: 17, width: 71, height: 97 };
      const done = await pixelCut(pdf, { ...asked, window });
      const { source, printed, film } = await renderedPair(pdf, done);
      expect(colorCount(source)).toBeGreaterThan(3);
      expect(pictureDifference(source, printed, { edge: 1 }).largest).toBeLessThanOrEqual(1);
      expect(pixelAt(film, 1, 1)).toEqual(WHITE);
    });
  }

  it('CUT1 a page without Contents gives a blank panel (ISO 32000-1, Table 30, Contents)', async () => {
    const pdf = rawPdf({ page: '/MediaBox [0 0 90 70]' });
    const done = await pixelCut(pdf);
    const { source, film } = await renderedPair(pdf, done);
    expect(colorCount(source)).toBe(1);
    expect(colorCount(film)).toBe(1);
    expect(pixelAt(film, 40, 30)).toEqual(WHITE);
  });

  it('CUT1 bleed beyond a TrimBox is printed', async () => {
    const pdf = rawPdf({
      page: '/MediaBox [0 0 200 150] /TrimBox [30 20 170 120] /BleedBox [21 11 179 129]',
      content: '0.3 0.6 0.1 rg 10 5 180 140 re f 0.8 0.1 0.4 rg 25 60 40 70 re f',
    });
    // Drawn space begins at the trim box: 30 from the left, 30 from the top of the page as rendered.
    const done = await pixelCut(pdf, { box: 'trim', window: { x: -9, y: -9, width: 99, height: 85 } });
    const onPage = { ...done, window: { ...done.window, x: 21, y: 21 } };
    const { source, printed } = await renderedPair(pdf, onPage);
    expect(colorCount(source)).toBe(2);
    expect(pictureDifference(source, printed, { edge: 1 }).largest).toBe(0);
  });
});

describe('panels laid back by their net rectangles give the artwork', () => {
  it('every pixel is covered and neighbors agree where they overlap', async () => {
    const pdf = TRAP_PAGES.find(({ name }) => name === 'patterns on a page turned by 180')!.pdf;
    const whole = await pdfiumPicture(pdf);
    // Two vertical seams at 77 and 139, one horizontal beyond the second; 6 pixels of overlap on each side.
    const nets = [
      { x: 0, y: 0, width: 77, height: 130 },
      { x: 77, y: 0, width: 62, height: 130 },
      { x: 139, y: 0, width: 71, height: 53 },
      { x: 139, y: 53, width: 71, height: 77 },
    ];
    const overlap = 6;
    const assembled = pictureBlank(whole.width, whole.height, 1);
    const panels = [];
    for (const net of nets) {
      const x = Math.max(0, net.x - overlap);
      const y = Math.max(0, net.y - overlap);
      const right = Math.min(whole.width, net.x + net.width + overlap);
      const bottom = Math.min(whole.height, net.y + net.height + overlap);
      const window = { x, y, width: right - x, height: bottom - y };
      const done = await pixelCut(pdf, { window, scale: 10, size: { kind: 'reduction', factor: 5 } });
      const { printed } = await renderedPair(pdf, done);
      const inner = { x: net.x - x, y: net.y - y, width: net.width, height: net.height };
      layPicture(assembled, pictureCropped(printed, inner), net.x, net.y);
      panels.push({ window, printed });
    }
    // The clip at the artwork's own edge is anti-aliased, hence the pixel; inside, seams included, nothing may show.
    expect(pictureDifference(whole, assembled, { edge: 1 }).largest).toBeLessThanOrEqual(1);
    let bands = 0;
    for (const [index, a] of panels.entries()) {
      for (const b of panels.slice(index + 1)) {
        const x = Math.max(a.window.x, b.window.x);
        const y = Math.max(a.window.y, b.window.y);
        const width = Math.min(a.window.x + a.window.width, b.window.x + b.window.width) - x;
        const height = Math.min(a.window.y + a.window.height, b.window.y + b.window.height) - y;
        if (width <= 2 || height <= 2) continue;
        const part = ({ window, printed }: typeof a) =>
          pictureCropped(printed, { x: x - window.x, y: y - window.y, width, height });
        expect(pictureDifference(part(a), part(b), { edge: 1 }).largest).toBeLessThanOrEqual(1);
        bands += 1;
      }
    }
    expect(bands).toBe(4);
  });
});
