import { describe, expect, it } from 'vitest';
import { jobSet } from '../../../core/job/edits/edits.ts';
import type { Job } from '../../../core/job/schema.ts';
import { sideLayout } from '../../../core/layout/side-layout.ts';
import { fitGhost } from '../../../renderer/bench/fit-ghost.ts';
import { seamWords, snapWords } from '../../../renderer/bench/seam-words.ts';
import { placedExtent, sidesPlaced } from '../../../renderer/bench/sides-placed.ts';
import { breakable } from '../../support/breakable.ts';
import { smallJob } from '../../support/small-job.ts';

const layoutOf = (job: Job) => sideLayout(job, job.sides[0]!);

/** The job with a roll of this width. */
function withRoll(rollWidthMm: number): Job {
  const job = smallJob();
  const changed = jobSet(job, { change: { printer: { ...job.printer, rollWidthMm } } });
  if (!changed.ok) throw new Error(changed.problem.message);
  return changed.value;
}

describe('words beside a seam that moves', () => {
  it('say where it is and what both neighbors leave of the roll', () => {
    const job = smallJob();
    const layout = layoutOf(job);
    // Film across: 1300 + 2 × 50 bleed + 2 × 30 border = 1460 of 1504; the left film is 1330 + 15 + 50 + 60 wide.
    expect(seamWords(layout, layout.seams[0]!, 650, { ...job, displayUnit: 'mm' })).toEqual([
      '1330 mm from the rear (left) edge',
      'LH-01  1330 × 1300 mm, 49 mm of film width left',
      'LH-02  1770 × 1300 mm, 44 mm of film width left',
    ]);
  });

  it('say so in inches', () => {
    const job = smallJob();
    const layout = layoutOf(job);
    const [place] = seamWords(layout, layout.seams[0]!, 650, { ...job, displayUnit: 'in' });
    expect(breakable(place!)).toBe('52 3/8 in from the rear (left) edge');
  });

  it('say what a seam was drawn to', () => {
    expect(snapWords({ kind: 'body-line', lineId: 'b', name: 'Belt' }, 'mm')).toBe('On the body line “Belt”');
    expect(snapWords({ kind: 'equal-division', nth: 2, of: 3 }, 'mm')).toBe('Part 2 of 3 equal parts');
    expect(snapWords({ kind: 'whole-unit', stepMm: 25.4 }, 'in')).toBe('On a whole 1\u00a0in');
    expect(snapWords({ kind: 'roll-filled' }, 'mm')).toBe('Film fills the roll');
    expect(snapWords({ kind: 'word-space' }, 'in')).toBe('In the space between two words');
    expect(snapWords({ kind: 'none' }, 'mm')).toBeUndefined();
  });
});

describe('the roll laid over a panel', () => {
  it('leaves beside the film what the roll prints more', () => {
    const job = smallJob();
    const panel = layoutOf(job).panels.find(({ id }) => id === 'p2')!;
    const ghost = fitGhost(panel, job.printer);
    expect(ghost).toMatchObject({ printableMm: 1504, leftMm: 44 });
    expect(ghost.printable).toMatchObject({ y: panel.film.y, height: 1504, width: panel.film.width });
    expect(ghost.excess).toBeUndefined();
  });

  it('shows what hangs over, along the length that a cut will shorten', () => {
    const job = withRoll(1067);
    const panel = layoutOf(job).panels.find(({ id }) => id === 'p2')!;
    const upright = fitGhost(panel, job.printer, 'vertical');
    expect(upright.leftMm).toBeCloseTo(1047 - panel.film.width, 9);
    expect(upright.excess?.x).toBeCloseTo(panel.film.x + 1047, 9);
    const level = fitGhost(panel, job.printer, 'horizontal');
    expect(level.excess?.height).toBeCloseTo(panel.film.height - 1047, 9);
  });
});

describe('sides on the bench', () => {
  const layouts = [
    { w: 720, h: 230 },
    { w: 700, h: 210 },
    { w: 190, h: 220 },
  ].map(({ w, h }, index) => {
    const job = smallJob();
    const side = {
      ...job.sides[0]!,
      id: `side-${index}`,
      artworkRect: { xMm: 3, yMm: 4, widthMm: w, heightMm: h },
    };
    return sideLayout({ ...job, sides: [side] }, side);
  });

  it.each([0.5, 1, 2.5, 6])('never lie on each other, on a canvas %d as wide as high', (shape) => {
    const placed = sidesPlaced(layouts, 30, shape);
    const boxes = placed.map((side) => placedExtent([side], 30));
    for (const [index, a] of boxes.entries()) {
      for (const b of boxes.slice(index + 1)) {
        const isApart =
          a.x + a.width < b.x || b.x + b.width < a.x || a.y + a.height < b.y || b.y + b.height < a.y;
        expect(isApart).toBe(true);
      }
    }
  });

  it('lie in a column on a high canvas and in rows on a wide one', () => {
    const column = placedExtent(sidesPlaced(layouts, 30, 0.5), 30);
    const row = placedExtent(sidesPlaced(layouts, 30, 9), 30);
    expect(column.height).toBeGreaterThan(column.width * 0.8);
    expect(row.width).toBeGreaterThan(row.height * 5);
  });
});
