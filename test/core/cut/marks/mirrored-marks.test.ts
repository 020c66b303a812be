import { describe, expect, it } from 'vitest';
import { panelMarks } from '../../../../core/cut/marks/panel-marks.ts';
import { drawingMirrored } from '../../../../core/drawing/mirrored-drawing.ts';
import type { Job } from '../../../../core/job/schema.ts';
import { jobLayout } from '../../../../core/layout/side-layout.ts';
import { isRectWithin, type Rect, rectIntersection, rectMirrored } from '../../../../core/measure/rect.ts';
import { filmFromFinished } from '../../../../core/measure/spaces.ts';
import { itemBounds } from '../../../support/item-bounds.ts';
import { decodedCodes } from '../../sheets/decoded-codes.ts';
import { bookmobileJob, testFonts } from '../../sheets/fixture.ts';
import { textsOf } from '../../sheets/sheet-checks.ts';

const fonts = testFonts();
const onFilm = (job: Job, mirror: 'rip' | 'file'): Job => ({
  ...job,
  film: { ...job.film, base: 'clear', mirror },
});
const marksOf = (job: Job) =>
  jobLayout(job).flatMap((layout) =>
    layout.panels.map((panel) => ({ panel, marks: panelMarks(job, layout, panel, '5f3a90c1', fonts) })),
  );

describe('marks of a mirrored panel', () => {
  it('stay in the border, which has changed sides, and read as before', async () => {
    for (const { panel, marks } of marksOf(onFilm(bookmobileJob(), 'file')).slice(0, 4)) {
      const { drawing } = marks;
      const mirrored = drawingMirrored(drawing);
      const film: Rect = { x: 0, y: 0, width: drawing.widthMm, height: drawing.heightMm };
      const printed = rectMirrored(filmFromFinished(panel.film).rect(panel.printed), film.width);
      for (const item of mirrored.items) {
        const box = itemBounds(item);
        // The box of a text holds accents, which reach a little farther on one side than descenders on the other.
        const slack = item.kind === 'text' ? 0.35 * item.sizeMm : 0;
        const outer = {
          x: -slack,
          y: -slack,
          width: film.width + 2 * slack,
          height: film.height + 2 * slack,
        };
        expect(isRectWithin(box, outer)).toBe(true);
        const shared = rectIntersection(box, printed);
        if (shared) expect(Math.min(shared.width, shared.height)).toBeLessThanOrEqual(slack);
      }
      expect(await decodedCodes(mirrored)).toEqual(await decodedCodes(drawing));
      expect(textsOf(mirrored).map(({ text }) => text)).toEqual(textsOf(drawing).map(({ text }) => text));
      const twice = drawingMirrored(mirrored).items.map(itemBounds);
      for (const [index, item] of drawing.items.entries())
        expect(Math.abs(itemBounds(item).x - twice[index]!.x)).toBeLessThan(1e-9);
    }
  });

  it('the label says who mirrors, once', () => {
    const words = (mirror: 'rip' | 'file') =>
      marksOf(onFilm(bookmobileJob(), mirror)).map(({ marks }) =>
        textsOf(marks.drawing)
          .map(({ text }) => text)
          .join(' / '),
      );
    for (const text of words('rip')) expect(text).toContain('MIRROR IN RIP');
    for (const text of words('file')) {
      expect(text).toContain('MIRRORED');
      expect(text).not.toContain('MIRROR IN RIP');
    }
    for (const { marks } of marksOf(bookmobileJob()))
      expect(
        textsOf(marks.drawing)
          .map(({ text }) => text)
          .join(),
      ).not.toContain('MIRROR');
  });
});
