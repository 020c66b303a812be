import { describe, expect, it } from 'vitest';
import {
  opened,
  PDFIUM,
  pixelCut,
  type Renderer,
  renderedPair,
  resultValue,
  TOOLS,
} from '../../support/panel-check.ts';
import { panelPdf } from '../../support/panel-pdf.ts';
import { colorCount, type Picture, pictureDifference, pixelsBeyondEdges } from '../../support/picture.ts';
import { EXACT_PAGES, type PicturePage, SMOOTH_PAGES } from '../../support/picture-pages.ts';
import { mupdfInkPicture, popplerPicture } from '../../support/tool-renderers.ts';
import { describeWithTools } from '../../support/tools.ts';

/** All that can be cropped is cropped, even for a small gain. */
const CROPPING = { ...TOOLS, cropGain: { bytes: 0, share: 0 } };
const WINDOW = { x: 94, y: 46, width: 122, height: 88 };
/** Pixels a point: the two resolutions. */
const FINER = [1, 2];

interface Looks {
  /** The panel with cropped pictures, with whole ones, and the window of the source. */
  readonly cropped: Picture;
  readonly whole: Picture;
  readonly source: Picture;
}

async function looks({ pdf }: PicturePage, renderer: Renderer): Promise<Looks[]> {
  const done = await pixelCut(pdf, { window: WINDOW });
  const artwork = await opened(pdf);
  const panel = resultValue(await panelPdf(artwork, done.cut, CROPPING));
  const whole = resultValue(await panelPdf(artwork, done.cut, { ...TOOLS, carries: 'everything' }));
  expect(panel.notes).toEqual([]);
  expect(panel.bytes.length).toBeLessThan(whole.bytes.length);
  const found: Looks[] = [];
  for (const finer of FINER) {
    const { source, printed } = await renderedPair(pdf, { ...done, panel }, renderer, { finer });
    const uncropped = await renderedPair(pdf, { ...done, panel: whole }, renderer, { finer });
    expect(colorCount(printed)).toBeGreaterThan(1);
    found.push({ cropped: printed, whole: uncropped.printed, source });
  }
  return found;
}

describe('cropped pictures look like whole ones, by PDFium', () => {
  for (const page of EXACT_PAGES) {
    it(`to the pixel: ${page.name}`, async () => {
      for (const { cropped, whole, source } of await looks(page, PDFIUM)) {
        expect(pictureDifference(cropped, whole, { edge: 1 }).largest).toBe(0);
        expect(pictureDifference(cropped, source, { edge: 1 }).largest).toBe(0);
      }
    });
  }
  for (const page of SMOOTH_PAGES) {
    it(`but for edges: ${page.name}`, async () => {
      for (const { cropped, whole, source } of await looks(page, PDFIUM)) {
        expect(pixelsBeyondEdges(cropped, whole, { tolerance: 2 })).toBe(0);
        expect(pixelsBeyondEdges(cropped, source, { tolerance: 2 })).toBe(0);
      }
    });
  }
});

describeWithTools(['mutool'], 'CUT12 cropped pictures look like whole ones, by MuPDF in four inks', () => {
  const mupdf: Renderer = { picture: mupdfInkPicture, knowsUserUnit: true };
  for (const page of EXACT_PAGES) {
    it(`to the pixel: ${page.name}`, async () => {
      for (const { cropped, whole, source } of await looks(page, mupdf)) {
        // MuPDF draws some whole pictures otherwise when the page is moved; then the crop is like one of the two.
        const differences = [whole, source].map(
          (other) => pictureDifference(cropped, other, { edge: 1 }).largest,
        );
        expect(Math.min(...differences)).toBeLessThanOrEqual(1);
      }
    });
  }
});

/**
 * Poppler stretches a picture to one pixel more than it covers: a crop lies up to a pixel aside of the whole, and
 * where two hard edges meet a few pixels show neither.
 */
const POPPLER_SHARE = 0.005;

describeWithTools(['pdftoppm'], 'CUT12 cropped pictures look like whole ones, by poppler', () => {
  const poppler: Renderer = { picture: popplerPicture, knowsUserUnit: false };
  for (const page of SMOOTH_PAGES) {
    it(`but for edges: ${page.name}`, async () => {
      for (const { cropped, whole, source } of await looks(page, poppler)) {
        const most = POPPLER_SHARE * cropped.width * cropped.height;
        expect(pixelsBeyondEdges(cropped, whole, { tolerance: 2 })).toBeLessThan(most);
        expect(pixelsBeyondEdges(cropped, source, { tolerance: 2 })).toBeLessThan(most);
      }
    });
  }
});
