import { expect, it } from 'vitest';
import { panelCutFromLayout } from '../../../core/cut/panel-cut.ts';
import { fontLibraryFromFiles } from '../../../core/drawing/font-library.ts';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { sheetFontFiles } from '../../../main/files/fonts.ts';
import { pdfCodecs } from '../../../main/files/pdf-source.ts';
import { DEMO_JOBS, readDemoJob } from '../../../main/job/demo-jobs.ts';
import { artworkFromBytes } from '../../support/artwork-bytes.ts';
import { demoArt } from '../../support/demo-art.ts';
import { resultValue, TOOLS } from '../../support/panel-check.ts';
import { panelPdf } from '../../support/panel-pdf.ts';
import { pdfiumPicture } from '../../support/pdfium.ts';
import { pixelsBeyondEdges } from '../../support/picture.ts';
import { checkWithQpdf } from '../../support/qpdf-json.ts';
import { popplerPicture } from '../../support/tool-renderers.ts';
import { describeWithTools } from '../../support/tools.ts';

/** Longest side of the rendered panel in pixels: the two resolutions. */
const LONGEST_PIXELS = [700, 1100];
/** Lines of a single pixel drawn a fraction of it aside, where pictures are fine. */
const ALLOWED_SHARE = 0.0002;

describeWithTools(['pdftoppm', 'qpdf'], 'CUT12 panels of the demo, by PDFium and poppler', () => {
  for (const [name, label] of [
    ['bookmobile', 'DS-04'],
    ['trailer', 'SS-01'],
  ] as const) {
    it(`${name} ${label} looks as with everything in it, and is less than half as large`, async () => {
      const demo = DEMO_JOBS[name];
      const job = await readDemoJob(demo);
      const artwork = resultValue(await artworkFromBytes(await demoArt(name), { codecs: pdfCodecs }));
      const reference = { fileName: demo.artworkName, sha256: '0'.repeat(64), sizeBytes: 1, box: demo.box };
      const withArtwork = { ...job, artwork: reference };
      const layout = jobLayout(withArtwork).find(({ side }) => label.startsWith(side.code))!;
      const panel = layout.panels.find((candidate) => candidate.label === label)!;
      const fonts = fontLibraryFromFiles(sheetFontFiles());
      const cut = panelCutFromLayout(withArtwork, layout, panel, {
        program: 'Panelwright test',
        shown: '5f3a90c1',
        fonts,
      });
      const needed = resultValue(await panelPdf(artwork, cut, TOOLS));
      const everything = resultValue(await panelPdf(artwork, cut, { ...TOOLS, carries: 'everything' }));
      expect(needed.bytes.length).toBeLessThan(everything.bytes.length / 2);
      checkWithQpdf(needed.bytes);
      const inches = Math.max(cut.filmWidthMm, cut.filmHeightMm) / needed.enlargeBy / needed.userUnit / 25.4;
      for (const pixels of LONGEST_PIXELS) {
        for (const picture of [pdfiumPicture, popplerPicture]) {
          const ppi = pixels / inches;
          const a = await picture(needed.bytes, { ppi });
          const b = await picture(everything.bytes, { ppi });
          const beyond = pixelsBeyondEdges(a, b, { tolerance: 4 });
          expect(beyond / (a.width * a.height)).toBeLessThan(ALLOWED_SHARE);
        }
      }
    }, 240_000);
  }
});
