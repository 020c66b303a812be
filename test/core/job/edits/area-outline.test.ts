import { describe, expect, it } from 'vitest';
import { areaFromPoints, areaPoints } from '../../../../core/job/area-shape.ts';
import { areaCornersSet, itemMove, itemSet, scaleSet, sideMirror } from '../../../../core/job/edits/edits.ts';
import { applySavedLayout, savedLayoutFromSide } from '../../../../core/job/edits/saved-layout.ts';
import { jobInvariantProblem } from '../../../../core/job/job-invariants.ts';
import type { Job, NoFilmArea, Side } from '../../../../core/job/schema.ts';
import { sideSnapLines } from '../../../../core/layout/point-snap.ts';
import { seamDatums } from '../../../../core/layout/seam-datums.ts';
import { sideLayout } from '../../../../core/layout/side-layout.ts';
import { sideTotals } from '../../../../core/layout/side-totals.ts';
import { coveredShare } from '../../../../core/verify/covered-share.ts';
import { codesOf, findingOf, jobClean } from '../../findings/sample-findings.ts';
import { edited, jobSample, lap, panel, sideSample, split } from '../sample-job.ts';

const corners = (...places: readonly (readonly [number, number])[]) => places.map(([x, y]) => ({ x, y }));
const stored = (...places: readonly (readonly [number, number])[]) =>
  places.map(([xMm, yMm]) => ({ xMm, yMm }));

/** A wheel arch: a trapezoid of 900 below and 500 above, 400 high, down to the bottom of the side. */
const arch: NoFilmArea = {
  id: 'o1',
  name: 'Rear arch',
  kind: 'wheel-arch',
  rect: { xMm: 3000, yMm: 1870, widthMm: 900, heightMm: 400 },
  outline: stored([3000, 2270], [3200, 1870], [3700, 1870], [3900, 2270]),
  clearanceMm: 30,
};

const jobOf = (...noFilmAreas: NoFilmArea[]): Job =>
  jobSample({
    sides: [
      sideSample({ noFilmAreas }),
      sideSample({ id: 's2', code: 'RH', name: 'Right side', front: 'right', layout: panel('p9') }),
    ],
  });
const areaOf = (job: Job, index = 0) => job.sides[index]!.noFilmAreas[0]!;
const of = { sideId: 's1', itemId: 'o1' };

describe('closed outlines', () => {
  it('are checked: three corners, no crossing, near the side, within their rectangle', () => {
    const problem = (more: Partial<NoFilmArea>) => jobInvariantProblem(jobOf({ ...arch, ...more }))?.message;
    expect(problem({})).toBeUndefined();
    expect(problem({ outline: stored([3000, 2270], [3200, 1870], [3900, 2270], [3700, 1870]) })).toMatch(
      /^The outline of “Rear arch” \(sides\[0\]\.noFilmAreas\[0\]\.outline\) meets itself at \d+, \d+ mm\.$/,
    );
    expect(problem({ outline: stored([3000, 2270], [3200, 1870], [13_900, 2270]) })).toMatch(
      /reaches more than 5 m beyond its side/,
    );
    const off = jobInvariantProblem(jobOf({ ...arch, rect: { ...arch.rect, widthMm: 880 } }));
    expect(off?.remedy).toBe('Set rect to xMm 3000, yMm 1870, widthMm 900, heightMm 400.');
    const two = areaCornersSet(jobOf(arch), { ...of, points: corners([0, 0], [10, 10]) });
    expect(two.ok ? '' : two.problem.message).toBe('An area needs three corners or more.');
  });

  it('a rectangle of four corners is no outline', () => {
    const set = edited(
      areaCornersSet(jobOf(arch), { ...of, points: corners([10, 20], [70, 20], [70, 90], [10, 90]) }),
    );
    expect(areaOf(set)).toEqual({
      id: 'o1',
      name: 'Rear arch',
      kind: 'wheel-arch',
      rect: { xMm: 10, yMm: 20, widthMm: 60, heightMm: 70 },
      clearanceMm: 30,
    });
    const turned = areaFromPoints(corners([10, 50], [40, 20], [70, 50], [40, 90]));
    expect(turned.rect).toEqual({ xMm: 10, yMm: 20, widthMm: 60, heightMm: 70 });
    expect(turned.outline).toHaveLength(4);
  });

  it('move, are pulled, mirrored, scaled and saved with their area', () => {
    const moved = edited(itemMove(jobOf(arch), { ...of, byMm: { x: -11, y: -7 } }));
    expect(areaOf(moved).outline![1]).toEqual({ xMm: 3189, yMm: 1863 });
    const pulled = edited(
      itemSet(jobOf(arch), {
        ...of,
        list: 'noFilmAreas',
        change: { rect: { xMm: 3000, yMm: 1470, widthMm: 450, heightMm: 800 } },
      }),
    );
    expect(areaOf(pulled).outline).toEqual(stored([3000, 2270], [3100, 1470], [3350, 1470], [3450, 2270]));
    const mirrored = edited(sideMirror(jobOf(arch), { fromSideId: 's1', toSideId: 's2' }));
    expect(areaOf(mirrored, 1).outline).toEqual(
      stored([3130, 2270], [2930, 1870], [2430, 1870], [2230, 2270]),
    );
    expect(areaOf(mirrored, 1).rect).toEqual({ xMm: 2230, yMm: 1870, widthMm: 900, heightMm: 400 });
    expect(areaOf(edited(scaleSet(jobOf(arch), { scale: 5 }))).outline![0]).toEqual({ xMm: 1500, yMm: 1135 });
    const applied = applySavedLayout(jobOf(), 's1', savedLayoutFromSide(jobOf(arch).sides[0]!, 10, 'Van'));
    expect(applied.ok && areaPoints(areaOf(applied.value))).toEqual(areaPoints(arch));
  });

  it('what is covered, and how long a seam is pressed, goes by the outline', () => {
    const job = jobOf(arch);
    const layout = sideLayout(job, job.sides[0]!);
    // p4 is 3420 × 1380 and loses the trapezoid of (900 + 500) / 2 · 400 = 280,000 mm².
    expect(layout.panels.find(({ id }) => id === 'p4')!.coveredAreaMm2).toBeCloseTo(3420 * 1380 - 280_000, 6);
    const seamed = jobSample({
      sides: [
        sideSample({
          noFilmAreas: [arch],
          layout: split('vertical', [lap('j1', 3100)], [panel('p1'), panel('p2')]),
        }),
      ],
    });
    const two = sideLayout(seamed, seamed.sides[0]!);
    // At x = 3100 the arch begins at y = 2070: 200 of 2270 mm are bare.
    expect(sideTotals(two).seamLengthMm).toBeCloseTo(2070, 6);
    expect(
      coveredShare(
        two,
        two.panels.map(({ net }) => net),
      ).share,
    ).toBe(1);
    expect(coveredShare(two, [two.panels.find(({ id }) => id === 'p1')!.net]).uncoveredMm2).toBeCloseTo(
      3030 * 2270 - (280_000 - (100 * 200) / 2),
      3,
    );
  });

  it('only a panel that lies within an outline is dropped', () => {
    const slanted: NoFilmArea = { ...arch, ...areaFromPoints(corners([0, 0], [1290, 0], [0, 2270])) };
    const boxed: NoFilmArea = {
      ...arch,
      ...areaFromPoints(corners([-5, -5], [1400, -5], [1300, 2280], [-5, 2280])),
    };
    const dropped = (area: NoFilmArea) => {
      const job = jobOf(area);
      return sideLayout(job, job.sides[0]!).droppedPanelIds;
    };
    expect(dropped(slanted)).toEqual([]);
    expect(dropped(boxed)).toEqual(['p1']);
  });

  it('findings go by the outline: what crosses it, comes near it, or passes its box alone', () => {
    const withSeam = (atMm: number, more: Partial<Side> = {}) =>
      jobClean({
        noFilmAreas: [arch],
        layout: split(
          'vertical',
          [lap('j1', 1200), lap('j2', 2300), lap('j3', atMm), lap('j4', 4500), lap('j5', 5300)],
          ['p1', 'p2', 'p3', 'p4', 'p5', 'p6'].map(panel),
        ),
        ...more,
      });
    expect(codesOf(withSeam(3100))).toContain('seam-crosses-no-film-area');
    const level = (atMm: number) =>
      jobClean({
        noFilmAreas: [{ ...arch, ...areaFromPoints(corners([0, 400], [900, 900], [0, 900])) }],
        layout: split('horizontal', [lap('j1', atMm)], [panel('p1'), panel('p2')]),
      });
    expect(codesOf(level(650))).toContain('seam-crosses-no-film-area');
    // In the corner of the box, clear of the slanted edge by (x = 1000, edge at x = 900 · (y − 400) / 500) nothing crosses.
    const triangle: NoFilmArea = {
      ...arch,
      ...areaFromPoints(corners([3000, 2270], [3400, 1870], [3400, 2270])),
    };
    const short = (atMm: number) =>
      jobClean({
        noFilmAreas: [triangle],
        layout: split(
          'horizontal',
          [lap('h1', 2000)],
          [split('vertical', [lap('j1', atMm)], [panel('p1'), panel('p2')]), panel('p3')],
        ),
      });
    // Above y = 2000 the triangle begins at x = 3270. A seam at 3180 passes its box (3000 to 3400), 90 · sin 45° = 63.6 mm
    // from it; at 3240 it comes within 30 · sin 45° = 21.2 mm, under the space of 30 mm.
    expect(
      codesOf(short(3180)).filter((code) => code.includes('no-film-area') && code !== 'no-film-area-cut-out'),
    ).toEqual(['seam-crosses-no-film-area']);
    expect(findingOf(short(3240), 'seam-near-no-film-area').figure).toBeCloseTo(30 * Math.SQRT1_2, 6);
  });

  it('an edge of the side is there beside an outline that leaves it', () => {
    // The box of the triangle reaches the left edge from 100 to 2200; the triangle itself touches it at 100 alone.
    const job = jobOf({ ...arch, ...areaFromPoints(corners([0, 100], [900, 100], [900, 2200])) });
    const layout = sideLayout(job, job.sides[0]!);
    const seam = { id: 'x', direction: 'vertical' as const, at: 700, span: { start: 150, end: 2150 } };
    expect(seamDatums(layout, seam, 'mm').near.edge).toBe('left');
    const boxed = jobOf({
      ...arch,
      rect: { xMm: 0, yMm: 100, widthMm: 900, heightMm: 2100 },
      outline: undefined,
    } as NoFilmArea);
    expect(seamDatums(sideLayout(boxed, boxed.sides[0]!), seam, 'mm').near.edge).toBe('right');
  });

  it('points snap to the level and upright edges of an outline', () => {
    const job = jobOf(arch);
    const lines = sideSnapLines(sideLayout(job, job.sides[0]!), []).filter(
      ({ target }) => target.kind === 'area-edge',
    );
    expect(lines.map(({ direction, atMm, span }) => [direction, atMm, span])).toEqual([
      ['horizontal', 2270, { start: 3000, end: 3900 }],
      ['horizontal', 1870, { start: 3200, end: 3700 }],
    ]);
  });
});
