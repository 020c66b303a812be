import { expect, it } from 'vitest';
import { pixelCut, type Renderer, renderedPair } from '../../support/panel-check.ts';
import { colorCount, pictureDifference } from '../../support/picture.ts';
import { ghostscriptPicture, mupdfInkPicture, popplerPicture } from '../../support/tool-renderers.ts';
import { describeWithTools, type Tool } from '../../support/tools.ts';
import { type RendererName, TRAP_PAGES } from '../../support/trap-pages.ts';

interface ToolRenderer extends Renderer {
  readonly name: RendererName;
  readonly tool: Tool;
}

const RENDERERS: readonly ToolRenderer[] = [
  { name: 'poppler', tool: 'pdftoppm', picture: popplerPicture, knowsUserUnit: false },
  { name: 'ghostscript', tool: 'gs', picture: ghostscriptPicture, knowsUserUnit: true },
  { name: 'mupdf', tool: 'mutool', picture: mupdfInkPicture, knowsUserUnit: true },
];

/** Shadings are approximated in steps that depend on the clip, by up to 11 of 255 levels in these renderers. */
const LEVELS = 12;
/** Single pixels where an edge falls on the border between two pixels. */
const SHARE = 0.001;

for (const renderer of RENDERERS) {
  describeWithTools(
    [renderer.tool],
    `CUT1 a panel looks like its window of the artwork, by ${renderer.name}`,
    () => {
      for (const { name, clause, pdf, windows, unfit, edge = 1 } of TRAP_PAGES) {
        if (unfit?.includes(renderer.name)) continue;
        it(`CUT1 ${name} (ISO 32000-1, ${clause})`, async () => {
          for (const window of windows.slice(0, 2)) {
            const done = await pixelCut(pdf, { window });
            const { source, printed } = await renderedPair(pdf, done, renderer);
            expect(colorCount(source)).toBeGreaterThan(1);
            const { differing, compared } = pictureDifference(source, printed, { edge, tolerance: LEVELS });
            expect(differing / compared).toBeLessThan(SHARE);
          }
        });
      }
    },
  );
}
