import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { boxGrown } from '../../../../core/pdf/content/bounds.ts';
import { contentForAreas } from '../../../../core/pdf/content/content-for-areas.ts';
import { contentPageFrom } from '../../../../core/pdf/content/content-page.ts';
import { pageImages } from '../../../../core/pdf/content/page-images.ts';
import { pageInks } from '../../../../core/pdf/content/page-inks.ts';
import { pageLettering } from '../../../../core/pdf/content/page-lettering.ts';
import { openPdfFile } from '../../../../core/pdf/file/pdf-file.ts';
import { isPdfProblem } from '../../../../core/pdf/file/pdf-problem.ts';
import { pdfCodecs } from '../../../../main/files/pdf-source.ts';
import { byteSourceFromBytes } from '../../../support/artwork-bytes.ts';
import { pdfiumPicture } from '../../../support/pdfium.ts';
import { pdfPage } from '../file/file-support.ts';
import { inkBox, pictureInk } from './content-support.ts';

/** A folder of PDFs from anywhere: each opens or says why not, and nothing shows outside the bounds found. */
const FOLDER = process.env.PANELWRIGHT_CORPUS;
const PPI = 48;

/** Files whose fonts contradict themselves: the glyphs are far larger than every number that describes them. */
const CONTRADICTORY: Readonly<Record<string, string>> = {
  'TWG-test-files__TWG_test_suite_A006-pdfa1-fail-a.pdf': 'glyphs of other widths than the font states',
};

describe.skipIf(!FOLDER)('real files [needs PANELWRIGHT_CORPUS]', () => {
  for (const name of FOLDER ? readdirSync(FOLDER).filter((file) => file.endsWith('.pdf')) : []) {
    it(`${name}`, async ({ skip }) => {
      const bytes = new Uint8Array(readFileSync(join(FOLDER!, name)));
      const opened = await openPdfFile(byteSourceFromBytes(bytes), { codecs: pdfCodecs });
      if (!opened.ok) {
        expect(opened.problem.remedy).toMatch(/^[A-Z].*\.$/);
        return skip(`${opened.problem.code}: ${opened.problem.message}`);
      }
      const page = await pdfPage(opened.value, 0).catch((error: unknown) => error);
      if (isPdfProblem(page) || page instanceof Error) {
        expect(isPdfProblem(page)).toBe(true);
        return skip(page.message);
      }
      const content = await contentPageFrom(opened.value, page as Awaited<ReturnType<typeof pdfPage>>);
      await pageImages(content, 7);
      await pageInks(content);
      await pageLettering(content);
      const { box, space } = content;
      const half = { ...box, x1: (box.x0 + box.x1) / 2 };
      expect((await contentForAreas(content, [half])).length).toBe(1);

      const picture = await pdfiumPicture(bytes, { ppi: PPI }).catch((): undefined => undefined);
      const ink = picture === undefined ? undefined : pictureInk(picture, PPI);
      if (ink === undefined || picture === undefined) return;
      if (CONTRADICTORY[name] !== undefined) return skip(CONTRADICTORY[name]);
      const sizes = [box.x1 - box.x0, box.y1 - box.y0];
      const [width, height] = space.rotation % 180 === 0 ? sizes : sizes.toReversed();
      // PDFium draws a page without a sensible box at a size of its own.
      if (
        Math.abs(picture.width - (width! * PPI) / 72) > 2 ||
        Math.abs(picture.height - (height! * PPI) / 72) > 2
      )
        return;
      const found = await inkBox(content);
      if (found === undefined) throw new Error('PDFium paints something, the walk found nothing');
      const drawn = space.rectFromBox(found);
      const unit = space.mmPerUnit;
      const shown = boxGrown(
        {
          x0: drawn.x / unit,
          y0: height! - (drawn.y + drawn.height) / unit,
          x1: (drawn.x + drawn.width) / unit,
          y1: height! - drawn.y / unit,
        },
        3,
        3,
      );
      expect(ink.x0).toBeGreaterThanOrEqual(shown.x0);
      expect(ink.y0).toBeGreaterThanOrEqual(shown.y0);
      expect(ink.x1).toBeLessThanOrEqual(shown.x1);
      expect(ink.y1).toBeLessThanOrEqual(shown.y1);
    });
  }
});
