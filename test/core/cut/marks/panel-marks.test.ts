import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { groundTicks } from '../../../../core/cut/marks/ground-ticks.ts';
import { marksLayer } from '../../../../core/cut/marks/marks-layer.ts';
import { type PanelMarks, panelMarks } from '../../../../core/cut/marks/panel-marks.ts';
import { CAP_HEIGHT, type Item } from '../../../../core/drawing/drawing.ts';
import { areaFromPoints } from '../../../../core/job/area-shape.ts';
import type { Job } from '../../../../core/job/schema.ts';
import type { Panel } from '../../../../core/layout/panel.ts';
import { jobLayout, type SideLayout } from '../../../../core/layout/side-layout.ts';
import { type Edge, isRectWithin, type Rect, rectIntersection } from '../../../../core/measure/rect.ts';
import { filmFromFinished } from '../../../../core/measure/spaces.ts';
import { itemBounds } from '../../../support/item-bounds.ts';
import { decodedCodes } from '../../sheets/decoded-codes.ts';
import { bookmobileJob, sideOf, testFonts, trailerJob } from '../../sheets/fixture.ts';
import { textsOf } from '../../sheets/sheet-checks.ts';

const fonts = testFonts();
const SHOWN = '5f3a90c1';

interface Marked {
  readonly layout: SideLayout;
  readonly panel: Panel;
  readonly marks: PanelMarks;
}

const withBorder = (job: Job, borderMm: number): Job => ({ ...job, output: { ...job.output, borderMm } });

function markedPanels(job: Job): Marked[] {
  return jobLayout(job).flatMap((layout) =>
    layout.panels.map((panel) => ({ layout, panel, marks: panelMarks(job, layout, panel, SHOWN, fonts) })),
  );
}

const filmRect = ({ panel }: Marked): Rect<'film'> => ({
  x: 0,
  y: 0,
  width: panel.film.width,
  height: panel.film.height,
});
const printedRect = ({ panel }: Marked): Rect<'film'> => filmFromFinished(panel.film).rect(panel.printed);
const words = ({ marks }: Marked): string[] => textsOf(marks.drawing).map(({ text }) => text);
const boundsOf = (item: Item): Rect<'film'> => ({ ...itemBounds(item) }) as Rect<'film'>;

/** All that is wrong with the places of the marks of a panel. */
function misplaced(marked: Marked): string[] {
  const { items } = marked.marks.drawing;
  const printed = printedRect(marked);
  const problems: string[] = [];
  for (const [index, item] of items.entries()) {
    const box = boundsOf(item);
    if (!isRectWithin(box, filmRect(marked))) problems.push(`${item.tag} leaves the film`);
    if (rectIntersection(box, printed)) problems.push(`${item.tag} lies on the image`);
    for (const other of items.slice(index + 1)) {
      if (other.tag === item.tag && item.kind !== 'text') continue;
      const shared = rectIntersection(box, boundsOf(other));
      if (!shared) continue;
      // Two rows of one label are set closer than their boxes, which reach to the tallest accent.
      const isSameLabel = item.tag === 'label' && other.tag === 'label' && shared.height < 2;
      if (!isSameLabel) problems.push(`${item.tag} lies on ${other.tag}`);
    }
  }
  return problems;
}

const labelOf = (job: Job, label: string): Marked =>
  markedPanels(job).find(({ panel }) => panel.label === label)!;

describe('panel marks', () => {
  it('keeps marks in the border and apart, for any border and any size of panel', () => {
    const anyJob = fc.record({
      width: fc.integer({ min: 40, max: 17_000 }),
      height: fc.integer({ min: 40, max: 3100 }),
      borderMm: fc.double({ min: 0, max: 120, noNaN: true }),
      front: fc.constantFrom('left' as const, 'right' as const, 'none' as const),
      name: fc.string({ minLength: 1, maxLength: 80 }),
      drops: fc.integer({ min: 1, max: 7 }),
      isReduced: fc.boolean(),
    });
    fc.assert(
      fc.property(anyJob, ({ width, height, borderMm, front, name, drops, isReduced }) => {
        const base = trailerJob(drops).sides[0]!;
        const isDrops = width > drops * 120;
        const side = sideOf('AB', name, { width: isDrops ? 6040 : width, height }, { front });
        const job = bookmobileJob({ name, sides: [isDrops ? { ...side, layout: base.layout } : side] });
        const size = isReduced ? ({ kind: 'reduction', factor: 7 } as const) : job.output.size;
        const output = { ...job.output, borderMm, size };
        for (const marked of markedPanels({ ...job, output })) expect(misplaced(marked)).toEqual([]);
      }),
      { numRuns: 120, seed: 2611 },
    );
  });

  it('keeps the marks of the nested door and body panels apart', () => {
    for (const borderMm of [7.5, 12, 30, 55]) {
      for (const marked of markedPanels(withBorder(bookmobileJob(), borderMm))) {
        expect(misplaced(marked)).toEqual([]);
      }
    }
  });

  it('says everything on a border of 30 mm, in letters that can be read', () => {
    const marked = markedPanels(bookmobileJob());
    expect(marked).toHaveLength(8);
    for (const each of marked) {
      const { panel, layout, marks } = each;
      expect(marks.omitted).toEqual([]);
      const all = words(each).join('\n');
      expect(all).toContain(panel.label);
      expect(all).toContain(`install ${panel.order} of ${layout.panels.length}`);
      expect(all).toContain(layout.side.name);
      expect(all).toContain('ACL-2611');
      expect(all).toContain('Bookmobile 2026');
      expect(all).toContain('TOP');
      expect(all).toContain(`TICK TO TICK ${panel.net.width} × ${panel.net.height}`);
      expect(all).toContain('100 mm on the finished print');
      for (const { sizeMm } of textsOf(marks.drawing)) {
        // ISO 3098 lettering begins at 2.5 mm.
        expect(sizeMm * CAP_HEIGHT).toBeGreaterThanOrEqual(2.5 - 1e-9);
      }
    }
    // Narrow borders leave things out, but never write them smaller.
    for (const borderMm of [6.5, 9, 14, 19]) {
      for (const { marks } of markedPanels(withBorder(bookmobileJob(), borderMm))) {
        for (const { sizeMm } of textsOf(marks.drawing)) {
          expect(sizeMm * CAP_HEIGHT).toBeGreaterThanOrEqual(2.5 - 1e-9);
        }
      }
    }
    const label = textsOf(labelOf(bookmobileJob(), 'LH-03').marks.drawing).find(
      ({ text }) => text === 'LH-03',
    )!;
    expect(label.sizeMm * CAP_HEIGHT).toBeGreaterThanOrEqual(10);
  });

  it('MK3 puts the label first in the top border and last in the bottom border, with its code and arrows', async () => {
    for (const job of [bookmobileJob(), bookmobileJob({ displayUnit: 'in' }), trailerJob(5)]) {
      for (const marked of markedPanels(job)) {
        const { panel, layout, marks } = marked;
        const printed = printedRect(marked);
        const numbers = textsOf(marks.drawing).filter(({ text }) => text === panel.label);
        const [above, below] = numbers.toSorted((a, b) => a.at.y - b.at.y);
        expect(numbers).toHaveLength(2);
        expect(above!.at.y).toBeLessThan(printed.y);
        expect(below!.at.y).toBeGreaterThan(printed.y + printed.height);
        // At opposite ends: first from the left, and last.
        const middle = panel.film.width / 2;
        if (panel.film.width > 1200) {
          expect(above!.at.x).toBeLessThan(middle);
          expect(below!.at.x).toBeGreaterThan(middle);
        }
        const arrows = words(marked).filter((text) => text === 'TOP' || text === 'FRONT');
        const each = layout.side.front === 'none' ? ['TOP'] : ['FRONT', 'TOP'];
        expect(arrows.toSorted()).toEqual([...each, ...each].toSorted());
        expect(await decodedCodes(marks.drawing)).toEqual(
          Array.from({ length: 2 }, () => `Job ${job.number} Panel ${panel.label} ${SHOWN}`),
        );
      }
    }
  });

  it('ticks body lines and no-film areas where they meet the edges of the panel', () => {
    const marked = labelOf(bookmobileJob(), 'LH-06');
    const { panel, layout, marks } = marked;
    const expected = (atMm: number, along: 'x' | 'y') => atMm - panel.film[along];
    const lines = (tag: string) =>
      marks.drawing.items.flatMap((item) => (item.tag === tag && item.kind === 'line' ? [item] : []));
    const belt = layout.side.bodyLines.find(({ id }) => id === 'belt')!;
    const isAt = (value: number, at: number) => Math.abs(value - at) < 1e-6;
    const ofBelt = lines('body-line').filter(({ from }) => isAt(from.y, expected(belt.atMm, 'y')));
    expect(ofBelt.map(({ from }) => (from.x < panel.film.width / 2 ? 'left' : 'right')).toSorted()).toEqual([
      'left',
      'right',
    ]);
    expect(words(marked)).toContain('Belt line');
    // The window of the door begins on this panel.
    expect(lines('no-film-area').some(({ from }) => isAt(from.x, expected(280, 'x')))).toBe(true);
    expect(lines('no-film-area').every(({ stroke }) => stroke.dashMm && stroke.widthMm < 0.7)).toBe(true);
  });

  it('ticks a no-film area by its outline, not by the rectangle around it', () => {
    const job = bookmobileJob();
    const { panel, layout } = labelOf(job, 'LH-06');
    const { x, y, width, height } = panel.net;
    const ticksOf = (corners: readonly (readonly [number, number])[]) => {
      const shape = areaFromPoints(corners.map(([right, down]) => ({ x: x + right, y: y + down })));
      const area = { id: 'vent', name: 'Vent', kind: 'vent' as const, clearanceMm: 0, ...shape };
      const [, areas] = groundTicks({ ...layout.side, noFilmAreas: [area] }, panel);
      return areas![1].map(({ edge, at }) => [edge, at.x - x, at.y - y]);
    };
    // A corner of this triangle is on the panel: 60 mm along its top, 80 mm down its left edge.
    expect(
      ticksOf([
        [-60, 160],
        [60, 0],
        [-60, -100],
      ]),
    ).toEqual(
      [
        ['top', 60, 0],
        ['bottom', 60, height],
        ['left', 0, 80],
        ['right', width, 80],
      ].map(([edge, right, down]) => [
        edge,
        expect.closeTo(right as number, 6),
        expect.closeTo(down as number, 6),
      ]),
    );
    // The rectangle around this one covers the panel's corner; the triangle passes beside it.
    expect(
      ticksOf([
        [-200, 10],
        [10, -200],
        [-200, -200],
      ]),
    ).toEqual([]);
  });

  it('says less on a narrower border, and names what it leaves out', () => {
    const countAt = (borderMm: number) => labelOf(withBorder(bookmobileJob(), borderMm), 'LH-03').marks;
    expect(countAt(0).drawing.items).toEqual([]);
    const thin = countAt(4);
    expect(textsOf(thin.drawing)).toEqual([]);
    expect(thin.drawing.items.length).toBeGreaterThan(0);
    expect(thin.omitted).toEqual(expect.arrayContaining(['label', 'top', 'check-bar', 'size']));
    const { notes = [] } = marksLayer(thin, fonts);
    expect(notes).toHaveLength(1);
    expect(notes[0]).toMatch(/^The border has no room for the label.*the arrow to the top.*; a wider one/);
    expect(marksLayer(countAt(30), fonts).notes).toEqual([]);
    const narrow = countAt(9);
    expect(
      textsOf(narrow.drawing)
        .map(({ text }) => text)
        .join('\n'),
    ).toContain('LH-03');
    const off = { ...bookmobileJob(), output: { ...bookmobileJob().output, marks: false } };
    expect(labelOf(off, 'LH-03').marks.drawing.items).toEqual([]);
  });

  it('MK5 puts ticks on the seam line at both its ends', () => {
    for (const { panel, marks } of markedPanels(bookmobileJob())) {
      for (const edge of ['left', 'right'] as const) {
        if (panel.edges[edge].kind !== 'seam') continue;
        const seamX = (edge === 'left' ? panel.net.x : panel.net.x + panel.net.width) - panel.film.x;
        const ticks = marks.drawing.items.flatMap((item) =>
          item.tag === `seam-${edge}` && item.kind === 'line' ? [item] : [],
        );
        expect(ticks).toHaveLength(2);
        for (const { from, to } of ticks) {
          expect(from.x).toBeCloseTo(seamX, 9);
          expect(to.x).toBeCloseTo(seamX, 9);
        }
        const [above, below] = ticks.sort((a, b) => a.from.y - b.from.y);
        expect(above!.from.y).toBeLessThan(panel.printed.y - panel.film.y);
        expect(below!.from.y).toBeGreaterThan(panel.printed.y + panel.printed.height - panel.film.y);
      }
    }
    expect(words(labelOf(bookmobileJob(), 'LH-03'))).toEqual(
      expect.arrayContaining(['TRIM HERE', 'COVERED TO HERE', 'WRAP 15 mm FROM HERE']),
    );
  });

  it('MK5 ticks of seams are found with gloves on, and the two kinds look unlike', () => {
    const strokes = (label: string, edge: Edge) =>
      labelOf(bookmobileJob(), label).marks.drawing.items.flatMap((item) =>
        item.tag === `seam-${edge}` && item.kind === 'line' ? [item.stroke] : [],
      );
    // The mid seam: LH-03 lies over LH-02.
    for (const { widthMm, dashMm } of strokes('LH-03', 'right')) {
      expect(widthMm).toBeGreaterThanOrEqual(0.7);
      expect(dashMm).toBeUndefined();
    }
    for (const { widthMm, dashMm } of strokes('LH-02', 'left')) {
      expect(widthMm).toBeGreaterThanOrEqual(0.7);
      expect(dashMm).toBeDefined();
    }
  });

  it('MK6 draws a bar of exactly 4 in in a job in inches', () => {
    for (const marked of markedPanels(bookmobileJob({ displayUnit: 'in' }))) {
      const lines = marked.marks.drawing.items.flatMap((item) =>
        item.tag === 'check-bar' && item.kind === 'line'
          ? [Math.hypot(item.to.x - item.from.x, item.to.y - item.from.y)]
          : [],
      );
      expect(Math.max(...lines)).toBeCloseTo(101.6, 9);
      expect(words(marked)).toContain('4 in on the finished print');
    }
  });

  it('MK6 draws a bar of exactly 100 mm and names a reduction', () => {
    const job = bookmobileJob();
    const reduced = { ...job, output: { ...job.output, size: { kind: 'reduction', factor: 4 } as const } };
    for (const marked of [...markedPanels(job), ...markedPanels(reduced)]) {
      const lines = marked.marks.drawing.items.flatMap((item) =>
        item.tag === 'check-bar' && item.kind === 'line'
          ? [Math.hypot(item.to.x - item.from.x, item.to.y - item.from.y)]
          : [],
      );
      expect(Math.max(...lines)).toBeCloseTo(100, 9);
    }
    for (const marked of markedPanels(reduced)) expect(words(marked).join('\n')).toContain('ENLARGE ×4');
    const longName = {
      ...reduced,
      sides: reduced.sides.map((side) => ({ ...side, name: 'Side '.repeat(300) })),
    };
    for (const marked of markedPanels(longName)) expect(words(marked).join('\n')).toContain('ENLARGE ×4');
    for (const marked of markedPanels(job)) expect(words(marked).join('\n')).not.toContain('ENLARGE');
  });

  it('says over on one panel and under on the other', () => {
    const marked = markedPanels(bookmobileJob());
    const says = new Set(
      marked.flatMap((each) =>
        words(each).flatMap((text) => {
          const match = /^THIS GOES (OVER|UNDER) (\S+)/.exec(text);
          if (!match) return [];
          const [, way, other] = match as unknown as [string, string, string];
          return [way === 'OVER' ? `${each.panel.label} over ${other}` : `${other} over ${each.panel.label}`];
        }),
      ),
    );
    // Each pair is stated twice, once from either side: as a set they must come out once.
    const pairs = ['LH-06 over LH-05', 'LH-04 over LH-03', 'LH-04 over LH-02', 'LH-03 over LH-01'];
    expect([...says].sort()).toEqual([...pairs, 'LH-02 over LH-01', 'LH-03 over LH-02'].sort());
    expect(words(labelOf(bookmobileJob(), 'RR-01'))).toContain('MEETS RR-02 EDGE TO EDGE · TRIM IN SHOP');
    // Printed 35 of which the trim takes 5: both panels name the 30 that stay.
    expect(words(labelOf(bookmobileJob(), 'LH-03'))).toContain(
      'THIS GOES OVER LH-02 · FINISHED OVERLAP 30 mm',
    );
    expect(words(labelOf(bookmobileJob(), 'LH-02'))).toContain(
      'THIS GOES UNDER LH-03 · FINISHED OVERLAP 30 mm',
    );
  });

  it('names the neighbor on the edge where it lies', () => {
    const marked = labelOf(bookmobileJob(), 'LH-03');
    const place = (tag: string) => itemBounds(marked.marks.drawing.items.find((item) => item.tag === tag)!);
    const printed = printedRect(marked);
    expect(place('neighbor-top').y).toBeLessThan(printed.y);
    expect(place('neighbor-bottom').y).toBeGreaterThan(printed.y + printed.height);
    expect(place('neighbor-left').x).toBeLessThan(printed.x);
    expect(place('neighbor-right').x).toBeGreaterThan(printed.x + printed.width);
  });
});
