import { describe, expect, it } from 'vitest';
import type { Job, Joint, NoFilmArea, Region, Side } from '../../../core/job/schema.ts';
import { jobLayout, type SideLayout, sideLayout } from '../../../core/layout/side-layout.ts';
import { countedReads } from '../../support/counted-reads.ts';
import {
  jobSample,
  jobWithSide,
  lap,
  layoutOfMany,
  PAGES_SAMPLE,
  panel,
  sideSample,
  split,
} from '../job/sample-job.ts';

function layoutOf(
  side: Partial<Side> = {},
  pages: typeof PAGES_SAMPLE | undefined = PAGES_SAMPLE,
): SideLayout {
  const job = jobWithSide(side);
  return sideLayout(job, job.sides[0]!, pages);
}

const byId = (layout: SideLayout, id: string) => layout.panels.find((p) => p.id === id)!;
const ids = (layout: SideLayout) => layout.panels.map(({ id }) => id);

const noFilmArea = (id: string, xMm: number, yMm: number, widthMm: number, heightMm: number): NoFilmArea => ({
  id,
  name: id,
  kind: 'window',
  rect: { xMm, yMm, widthMm, heightMm },
  clearanceMm: 20,
});

describe('panel rectangles, worked by hand', () => {
  const layout = layoutOf();

  it('net is the region between its seams and the outline', () => {
    expect(layout.outline).toEqual({ x: 0, y: 0, width: 6130, height: 2270 });
    expect(byId(layout, 'p1').net).toEqual({ x: 0, y: 0, width: 1290, height: 2270 });
    expect(byId(layout, 'p2').net).toEqual({ x: 1290, y: 0, width: 1420, height: 2270 });
    expect(byId(layout, 'p3').net).toEqual({ x: 2710, y: 0, width: 3420, height: 890 });
    expect(byId(layout, 'p4').net).toEqual({ x: 2710, y: 890, width: 3420, height: 1380 });
  });

  it('PN2 printed is net with the allowance of each seam and the bleed of each outer edge', () => {
    // Bleed 40 top, 60 right, 70 bottom, 50 left; seams 14 before and 11 after.
    expect(byId(layout, 'p1').printed).toEqual({ x: -50, y: -40, width: 1354, height: 2380 });
    expect(byId(layout, 'p2').printed).toEqual({ x: 1279, y: -40, width: 1445, height: 2380 });
    expect(byId(layout, 'p3').printed).toEqual({ x: 2699, y: -40, width: 3491, height: 944 });
    expect(byId(layout, 'p4').printed).toEqual({ x: 2699, y: 879, width: 3491, height: 1461 });
  });

  it('film is printed with the border all round', () => {
    expect(byId(layout, 'p1').film).toEqual({ x: -80, y: -70, width: 1414, height: 2440 });
    expect(byId(layout, 'p4').film).toEqual({ x: 2669, y: 849, width: 3551, height: 1521 });
  });

  it('printed ends where the page does, and what is missing is told per edge', () => {
    // The page ends 30 mm (finished) beyond the right edge of the side, 40 mm beyond its bottom, and begins
    // 35 mm before its left edge and 20 mm above it: 10 × (31 − 27.5) and 10 × (17 − 15).
    const tight = layoutOf({}, new Map([[1, { x: 27.5, y: 15, width: 619.5, height: 233 }]]));
    expect(byId(tight, 'p4').printed).toEqual({ x: 2699, y: 879, width: 3461, height: 1431 });
    expect(byId(tight, 'p4').missing).toEqual({ top: 0, right: 30, bottom: 30, left: 0 });
    expect(byId(tight, 'p3').missing).toEqual({ top: 20, right: 30, bottom: 0, left: 0 });
    expect(byId(tight, 'p1').missing).toEqual({ top: 20, right: 0, bottom: 30, left: 15 });
  });

  it('takes all that is asked for as there, before the artwork is read', () => {
    const unread = sideLayout(jobSample(), sideSample());
    expect(unread.artwork).toBeUndefined();
    expect(byId(unread, 'p4').missing).toEqual({ top: 0, right: 0, bottom: 0, left: 0 });
  });

  it('PN5 a panel wholly within an opening is dropped; another keeps its area net of openings', () => {
    const withNoFilmAreas = layoutOf({
      noFilmAreas: [
        noFilmArea('o1', 2700, 0, 3430, 890),
        noFilmArea('o2', 200, 310, 700, 500),
        noFilmArea('o3', 500, 610, 600, 410),
      ],
    });
    expect(withNoFilmAreas.droppedPanelIds).toEqual(['p3']);
    expect(ids(withNoFilmAreas)).toEqual(['p4', 'p2', 'p1']);
    expect(withNoFilmAreas.panels.map(({ label }) => label)).toEqual(['LH-01', 'LH-02', 'LH-03']);
    // 1290 × 2270 less (700 × 500 + 600 × 410 − the shared 400 × 200).
    expect(byId(withNoFilmAreas, 'p1').coveredAreaMm2).toBe(1290 * 2270 - (350_000 + 246_000 - 80_000));
    // 10 mm of the first no-film area lie on p2.
    expect(byId(withNoFilmAreas, 'p2').coveredAreaMm2).toBe(1420 * 2270 - 10 * 890);
    expect(byId(withNoFilmAreas, 'p4').edges.top).toMatchObject({
      kind: 'seam',
      seamId: 'j3',
      neighbors: [],
    });
  });
});

describe('joints at the edges of a panel', () => {
  it('a lap lies over on the top part and under on the other, with the stretch along which they meet', () => {
    const layout = layoutOf();
    expect(byId(layout, 'p2').edges.right).toEqual({
      kind: 'seam',
      seamId: 'j2',
      joint: 'lap',
      lies: 'over',
      allowanceMm: 14,
      overlapMm: 25,
      trim: 'tape',
      neighbors: [
        { panelId: 'p3', along: { start: 0, end: 890 } },
        { panelId: 'p4', along: { start: 890, end: 2270 } },
      ],
    });
    expect(byId(layout, 'p3').edges.left).toMatchObject({ lies: 'under', allowanceMm: 11, trim: 'none' });
    expect(byId(layout, 'p3').edges.right).toEqual({ kind: 'outer', allowanceMm: 60, trim: 'edge' });
  });

  it('a butt meets edge to edge, a break stands apart with its allowances and no overlap', () => {
    const layout = layoutOf({
      layout: split(
        'vertical',
        [
          lap('j1', 1290, { kind: 'butt', firstMm: 0, secondMm: 0 }),
          lap('j2', 2710, { kind: 'gap', firstMm: 17, secondMm: 23 }),
        ],
        [panel('p1'), panel('p2'), panel('p3')],
      ),
    });
    expect(byId(layout, 'p1').edges.right).toMatchObject({
      lies: 'edge-to-edge',
      overlapMm: 0,
      allowanceMm: 0,
      trim: 'shop',
    });
    expect(byId(layout, 'p2').edges.left).toMatchObject({ lies: 'edge-to-edge', trim: 'shop' });
    expect(byId(layout, 'p2').edges.right).toMatchObject({
      lies: 'apart',
      overlapMm: 0,
      allowanceMm: 17,
      trim: 'gap',
    });
    expect(byId(layout, 'p3').edges.left).toMatchObject({ lies: 'apart', allowanceMm: 23 });
    expect(byId(layout, 'p2').printed).toEqual({ x: 1290, y: -40, width: 1437, height: 2380 });
  });

  it('TR1 the top part of a lap without allowance is trimmed in the shop, with one on the vehicle', () => {
    const withTop = (firstMm: number) =>
      byId(
        layoutOf({
          layout: split('vertical', [lap('j1', 1290, { firstMm, secondMm: 25 })], [panel('p1'), panel('p2')]),
        }),
        'p1',
      ).edges.right;
    expect(withTop(0)).toMatchObject({ lies: 'over', trim: 'shop' });
    expect(withTop(3)).toMatchObject({ lies: 'over', trim: 'tape' });
  });

  it('a seam is trimmed in its own way, else in the way of the shop', () => {
    const right = (own: Partial<Joint>, shop?: Job['limits']['seamTrim']) => {
      const job = jobWithSide({
        layout: split(
          'vertical',
          [lap('j1', 1290, { firstMm: 9, secondMm: 25, ...own })],
          [panel('p1'), panel('p2')],
        ),
      });
      const limits = shop ? { ...job.limits, seamTrim: shop } : job.limits;
      return byId(jobLayout({ ...job, limits })[0]!, 'p1').edges.right.trim;
    };
    expect(right({})).toBe('tape');
    expect(right({}, 'edge')).toBe('edge');
    expect(right({ trim: 'gap' }, 'edge')).toBe('gap');
    expect(right({ trim: 'gap', firstMm: 0 }, 'edge')).toBe('shop');
  });

  it('TR1 without a border there is nothing to trim in the shop', () => {
    const job = jobWithSide({ bleed: { top: 0, right: 60, bottom: 70, left: 50 } });
    const top = (borderMm: number) =>
      byId(sideLayout({ ...job, output: { ...job.output, borderMm } }, job.sides[0]!), 'p1').edges.top;
    expect(top(30)).toEqual({ kind: 'outer', allowanceMm: 0, trim: 'shop' });
    expect(top(0)).toEqual({ kind: 'outer', allowanceMm: 0, trim: 'none' });
  });

  it('a seam knows its line, its span and the panels on both sides', () => {
    const { seams } = layoutOf();
    expect(seams.find(({ id }) => id === 'j2')).toEqual({
      id: 'j2',
      sideId: 's1',
      direction: 'vertical',
      joint: 'lap',
      at: 2710,
      span: { start: 0, end: 2270 },
      squareShare: 1,
      firstMm: 14,
      secondMm: 11,
      overlapMm: 25,
      top: 'first',
      firstPanelIds: ['p2'],
      secondPanelIds: ['p3', 'p4'],
    });
    expect(seams.find(({ id }) => id === 'j3')).toMatchObject({
      direction: 'horizontal',
      at: 890,
      span: { start: 2710, end: 6130 },
    });
  });
});

describe('install order and numbers', () => {
  const drops = (top: 'first' | 'second'): Region =>
    split(
      'vertical',
      [lap('j1', 1500, { top }), lap('j2', 2900, { top }), lap('j3', 4400, { top })],
      ['p1', 'p2', 'p3', 'p4'].map(panel),
    );

  it('ORD1 rear first and bottom first, so that front and upper panels lie on top', () => {
    expect(ids(layoutOf())).toEqual(['p4', 'p3', 'p2', 'p1']);
    expect(layoutOf().panels.map(({ order, label }) => [order, label])).toEqual([
      [1, 'LH-01'],
      [2, 'LH-02'],
      [3, 'LH-03'],
      [4, 'LH-04'],
    ]);
  });

  it('ORD1 facing right, panels go on from the left, each on top of the one before; the other side mirrors (common practice, no source)', () => {
    expect(ids(layoutOf({ front: 'right', layout: drops('second') }))).toEqual(['p1', 'p2', 'p3', 'p4']);
    expect(ids(layoutOf({ front: 'left', layout: drops('first') }))).toEqual(['p4', 'p3', 'p2', 'p1']);
  });

  it('ORD1 laps decide even against the front of the vehicle', () => {
    expect(ids(layoutOf({ front: 'left', layout: drops('second') }))).toEqual(['p1', 'p2', 'p3', 'p4']);
    const mixed = split(
      'vertical',
      [lap('j1', 1500, { top: 'second' }), lap('j2', 2900, { top: 'first' })],
      ['p1', 'p2', 'p3'].map(panel),
    );
    // p2 lies on both; of p1 and p3 the rear one comes first.
    expect(ids(layoutOf({ front: 'left', layout: mixed }))).toEqual(['p3', 'p1', 'p2']);
    expect(ids(layoutOf({ front: 'right', layout: mixed }))).toEqual(['p1', 'p3', 'p2']);
  });

  it('ORD2 where laps leave a choice: rear to front, then bottom to top', () => {
    const butt = { kind: 'butt', firstMm: 0, secondMm: 0 } as const;
    const column = (n: number) =>
      split('horizontal', [lap(`jh${n}`, 800 + n, butt)], [panel(`up${n}`), panel(`low${n}`)]);
    const layout = split(
      'vertical',
      [lap('j1', 2000, butt), lap('j2', 4100, butt)],
      [column(1), column(2), column(3)],
    );
    expect(ids(layoutOf({ front: 'left', layout }))).toEqual(['low3', 'up3', 'low2', 'up2', 'low1', 'up1']);
    expect(ids(layoutOf({ front: 'right', layout }))).toEqual(['low1', 'up1', 'low2', 'up2', 'low3', 'up3']);
    expect(ids(layoutOf({ front: 'none', layout }))).toEqual(['low1', 'up1', 'low2', 'up2', 'low3', 'up3']);
  });

  it('numbers follow the install order, or rows from the top left on request', () => {
    const job = jobWithSide({});
    const reading = sideLayout(
      { ...job, output: { ...job.output, numbering: 'reading-order' } },
      job.sides[0]!,
    );
    const numbers = Object.fromEntries(reading.panels.map(({ id, label, order }) => [id, [label, order]]));
    expect(numbers).toEqual({ p1: ['LH-01', 4], p2: ['LH-02', 3], p3: ['LH-03', 2], p4: ['LH-04', 1] });
  });

  it('NUM2 labels have two digits, or as many as the largest number needs', () => {
    const labels = (count: number) =>
      layoutOf({ layout: layoutOfMany(count) }).panels.map(({ label }) => label);
    expect(labels(9)[0]).toBe('LH-01');
    expect(labels(99)[98]).toBe('LH-99');
    expect(labels(101)[0]).toBe('LH-001');
    expect(labels(101)[100]).toBe('LH-101');
  });

  it('a thousand panels are laid out by looking at each a few times', () => {
    const reads = (panels: number) =>
      countedReads(jobWithSide({ layout: layoutOfMany(panels) }), (job) => sideLayout(job, job.sides[0]!));
    expect(reads(1001)).toBeLessThan(100 * 1001);
    expect(reads(1001) / reads(501)).toBeLessThan(2.1);
  });
});
