import { describe, expect, it } from 'vitest';
import { doorSection, itemSet } from '../../../core/job/edits/edits.ts';
import type { Door, Job, NoFilmArea } from '../../../core/job/schema.ts';
import { sideLayout } from '../../../core/layout/side-layout.ts';
import { installMap } from '../../../core/sheets/install-map.ts';
import { seamFromLine, sideKeys } from '../../../core/sheets/side-keys.ts';
import { edited, jobSample, lap, panel, sideSample, split } from '../job/sample-job.ts';
import { testFonts } from './fixture.ts';
import { textsOf } from './sheet-checks.ts';

const door: Door = {
  id: 'd1',
  name: 'Side door',
  gap: { top: { atMm: 0 }, right: { atMm: 3690 }, bottom: { atMm: 2270 }, left: { atMm: 2710 } },
  motion: { kind: 'slides', toward: 'right', byMm: 920, passes: 'over' },
  handle: 'o2',
  isEdgeWrapped: false,
};
/** A wheel arch: a trapezoid of 900 below and 500 above, 400 high. */
const arch: NoFilmArea = {
  id: 'o1',
  name: 'Rear arch',
  kind: 'wheel-arch',
  rect: { xMm: 4500, yMm: 1870, widthMm: 900, heightMm: 400 },
  outline: [
    { xMm: 4500, yMm: 2270 },
    { xMm: 4700, yMm: 1870 },
    { xMm: 5200, yMm: 1870 },
    { xMm: 5400, yMm: 2270 },
  ],
  clearanceMm: 30,
};
const handle: NoFilmArea = {
  id: 'o2',
  name: 'Door handle',
  kind: 'handle',
  rect: { xMm: 2790, yMm: 1130, widthMm: 190, heightMm: 70 },
  clearanceMm: 15,
};
const layout = split(
  'vertical',
  [lap('j1', 1290), lap('j2', 2710), lap('j3', 4900)],
  ['p1', 'p2', 'p3', 'p4'].map(panel),
);
const job: Job = edited(
  doorSection(jobSample({ sides: [sideSample({ doors: [door], noFilmAreas: [arch, handle], layout })] }), {
    sideId: 's1',
    doorId: 'd1',
  }),
);
const sheetsOf = (now: Job) =>
  installMap(now, [sideLayout(now, now.sides[0]!)], { fonts: testFonts(), sheet: 'A3' });
const words = (now: Job) =>
  sheetsOf(now)
    .flatMap((sheet) => textsOf(sheet).map(({ text }) => text))
    .join(' ')
    .replaceAll(/\s+/g, ' ');

describe('doors and outlines on paper', () => {
  it('a door has its name on the picture and a line that says what it is and does', () => {
    const text = words(job);
    expect(text).toContain(
      'D1 Side door: 980 × 2270, 2440 rear, 0 up; slides to the rear by 920, over the body; end film at its edges; handle X2; open and close it before you leave.',
    );
    const drawn = sheetsOf(job).flatMap((sheet) => sheet.items.filter(({ tag }) => tag === 'door'));
    expect(drawn.length).toBeGreaterThanOrEqual(2);
  });

  it('a seam is told from the edge of the door that it lies on', () => {
    const placed = sideLayout(job, job.sides[0]!);
    const seam = placed.seams.find(({ at }) => at === 2710)!;
    expect(seamFromLine(placed, sideKeys(placed), seam, 'mm')).toBe('on D1 left');
    expect(seamFromLine(placed, sideKeys(placed), seam, 'mm', 'name')).toBe(
      'on Side door, left edge (D1 left)',
    );
  });

  it('film ends on the edges of a door that it does not go around, and wraps into the gap of one that it does', () => {
    const edges = (now: Job) => {
      const placed = sideLayout(now, now.sides[0]!);
      const own = placed.panels.find(({ net }) => net.x === 2710)!;
      return [own.edges.left, own.edges.right].map(({ trim }) => trim);
    };
    expect(edges(job)).toEqual(['edge', 'edge']);
    expect(words(job)).toContain('ends on its edges');
    const wrapped = edited(
      itemSet(job, { sideId: 's1', itemId: 'd1', list: 'doors', change: { isEdgeWrapped: true } }),
    );
    expect(edges(wrapped)).toEqual(['gap', 'gap']);
    expect(words(wrapped)).not.toContain('ends on its edges');
  });

  it('an area with an outline is drawn by it and said to be one', () => {
    expect(words(job)).toContain('Rear arch (outline, at its widest)');
    const shapes = sheetsOf(job).flatMap((sheet) =>
      sheet.items.flatMap((item) =>
        item.kind === 'polygon' && item.tag === 'no-film-area' && item.stroke ? [item.points] : [],
      ),
    );
    // 900 wide below and 500 above, whatever the scale of the picture.
    const arches = shapes
      .filter((points) => points.length === 4)
      .map((points) => {
        const [a, b, c, d] = points.map(({ x }) => x) as [number, number, number, number];
        return (c - b) / (d - a);
      });
    expect(arches.some((share) => Math.abs(share - 5 / 9) < 1e-9)).toBe(true);
  });
});
