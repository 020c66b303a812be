import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { PanelCut } from '../../../core/cut/cut-request.ts';
import { artworkPage } from '../../../core/pdf/document/artwork.ts';
import { pdfCodecs } from '../../../main/files/pdf-source.ts';
import { artworkFromBytes } from '../../support/artwork-bytes.ts';
import { resultValue, TEST_INFO, TOOLS } from '../../support/panel-check.ts';
import { panelPdf } from '../../support/panel-pdf.ts';
import { pdfiumPicture } from '../../support/pdfium.ts';
import { type Picture, pictureCropped, pixelsBeyondEdges } from '../../support/picture.ts';

/** A folder of PDFs from anywhere; nothing is said about them but that a panel must look like its source. */
const FOLDER = process.env.PANELWRIGHT_CORPUS;
/** Renderings above this size take longer than they are worth. */
const MAX_SIDE_PIXELS = 900;
/** Smaller ones are all edge. */
const MIN_SIDE_PIXELS = 300;
/**
 * Glyphs and pattern cells stand on whole pixels in PDFium, and pictures are stretched to them: an edge may lie up to
 * a pixel aside, and a few single pixels in the finest lines show neither.
 */
const ALLOWED_SHARE = 0.01;
/** Content that is packed again may be a little longer than before. */
const SMALL_CHANGE_BYTES = 4096;

/** Files so broken that no two readers agree on what they show. */
const DISPUTED: Readonly<Record<string, string>> = {
  'hayro__issue67.pdf': 'dictionary keys without a slash; each reader guesses what they were',
};

const shareBeyondEdges = (a: Picture, b: Picture, tolerance: number): number =>
  pixelsBeyondEdges(a, b, { tolerance }) / (a.width * a.height);

describe.skipIf(!FOLDER)(
  'CUT1 panels of real files look like their source [needs PANELWRIGHT_CORPUS]',
  () => {
    for (const name of FOLDER ? readdirSync(FOLDER).filter((file) => file.endsWith('.pdf')) : []) {
      it(`CUT1 ${name}`, async ({ skip }) => {
        if (DISPUTED[name]) return skip(DISPUTED[name]);
        const bytes = new Uint8Array(readFileSync(join(FOLDER!, name)));
        const opened = await artworkFromBytes(bytes, { codecs: pdfCodecs });
        const page = opened.ok ? artworkPage(opened.value, 1) : opened;
        if (!page.ok) {
          expect(page.problem.message).toMatch(/\.$/);
          return skip(`${page.problem.code}: ${page.problem.message}`);
        }
        const { widthMm, heightMm, userUnit } = page.value;
        const inches = Math.max(widthMm, heightMm) / 25.4 / userUnit;
        const ppi = Math.min(Math.max(72, MIN_SIDE_PIXELS / inches), MAX_SIDE_PIXELS / inches);
        const source = await pdfiumPicture(bytes, { ppi }).catch((): undefined => undefined);
        if (!source) return skip('PDFium cannot render the source');

        // Film and page have one size, so both renderings fall on one grid; the second panel prints only a part.
        const film = { x: 0, y: 0, width: widthMm / userUnit, height: heightMm / userUnit };
        for (const [left, top, right, bottom] of [
          [0, 0, 1, 1],
          [0.31, 0.17, 0.83, 0.72],
        ] as const) {
          const part = { x: left * film.width, y: top * film.height, width: 0, height: 0 };
          const printed = {
            ...part,
            width: (right - left) * film.width,
            height: (bottom - top) * film.height,
          };
          const cut: PanelCut = {
            page: 1,
            box: 'crop',
            window: {
              x: printed.x * userUnit,
              y: printed.y * userUnit,
              width: printed.width * userUnit,
              height: printed.height * userUnit,
            },
            scale: 1 / userUnit,
            printed,
            net: printed,
            filmWidthMm: film.width,
            filmHeightMm: film.height,
            size: { kind: 'true-size' },
            info: TEST_INFO,
          };
          const artwork = resultValue(opened);
          const panel = resultValue(await panelPdf(artwork, cut, TOOLS));
          const whole = await pdfiumPicture(panel.bytes, { ppi });
          const everything = resultValue(await panelPdf(artwork, cut, { ...TOOLS, carries: 'everything' }));
          expect(panel.bytes.length).toBeLessThan(everything.bytes.length + SMALL_CHANGE_BYTES);
          const uncropped = await pdfiumPicture(everything.bytes, { ppi });
          expect(shareBeyondEdges(whole, uncropped, 4)).toBeLessThanOrEqual(ALLOWED_SHARE);
          const inner = (picture: Picture): Picture => {
            const x = Math.ceil(left * picture.width) + 2;
            const y = Math.ceil(top * picture.height) + 2;
            const width = Math.floor(right * picture.width) - 2 - x;
            const height = Math.floor(bottom * picture.height) - 2 - y;
            return width > 0 && height > 0 ? pictureCropped(picture, { x, y, width, height }) : picture;
          };
          const [before, after] = [inner(source), inner(whole)];
          expect(shareBeyondEdges(before, after, 8)).toBeLessThanOrEqual(ALLOWED_SHARE);
        }
      });
    }
  },
);
