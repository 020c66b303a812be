import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  arcPath,
  lineFromTable,
  type Path,
  pathCrossings,
  pathDistance,
  pathFromTable,
  pathMean,
  pathPart,
  pathPartsWithin,
  pathRange,
  pathSimplified,
  pathsFromPoints,
  pathValue,
} from '../../../core/measure/path.ts';
import { seriesRuns } from '../../support/series.ts';

const BELT: Path = [
  { along: 400, across: 820 },
  { along: 1400, across: 870 },
  { along: 2000, across: 846 },
];

const somePath = fc
  .array(fc.tuple(fc.integer({ min: 1, max: 900 }), fc.integer({ min: -400, max: 400 })), {
    minLength: 2,
    maxLength: 12,
  })
  .map((steps): Path => {
    let along = 0;
    return steps.map(([run, across]) => {
      along += run;
      return { along, across };
    });
  });

describe('a path', () => {
  it('has one place across for each place along, and goes on along its axis beyond its ends', () => {
    expect([0, 400, 900, 1400, 1700, 2000, 9000].map((at) => pathValue(BELT, at))).toEqual([
      820, 820, 845, 870, 858, 846, 846,
    ]);
  });

  it('gives the stretch over a span, its extremes and its mean', () => {
    expect(pathPart(BELT, { start: 900, end: 1700 })).toEqual([
      { along: 900, across: 845 },
      { along: 1400, across: 870 },
      { along: 1700, across: 858 },
    ]);
    expect(pathRange(BELT, { start: 0, end: 3000 })).toEqual({ start: 820, end: 870 });
    // 1000 mm at 845 and 600 mm at 858 in the mean.
    expect(pathMean(BELT, { start: 400, end: 2000 })).toBeCloseTo((1000 * 845 + 600 * 858) / 1600, 9);
  });

  it('says where it crosses a place, and which of it lies between two', () => {
    const crossings = pathCrossings(BELT, 850, { start: 0, end: 3000 });
    expect(crossings).toEqual([1000, 1900]);
    expect(pathPartsWithin(BELT, { start: 0, end: 3000 }, { start: 800, end: 850 })).toEqual([
      [
        { along: 0, across: 820 },
        { along: 400, across: 820 },
        { along: 1000, across: 850 },
      ],
      [
        { along: 1900, across: 850 },
        { along: 2000, across: 846 },
        { along: 3000, across: 846 },
      ],
    ]);
  });

  it('is as far from a point as the nearest of many of its points', () => {
    fc.assert(
      fc.property(
        somePath,
        fc.integer({ min: -500, max: 6000 }),
        fc.integer({ min: -700, max: 700 }),
        (path, along, across) => {
          const span = { start: path[0]!.along, end: path.at(-1)!.along };
          const found = pathDistance(path, span, { along, across });
          const step = (span.end - span.start) / 4000;
          const sampled = Math.min(
            ...Array.from({ length: 4001 }, (_, index) => {
              const at = span.start + index * step;
              return Math.hypot(at - along, pathValue(path, at) - across);
            }),
          );
          // A path of these is no steeper than 800 in 1, so a sample is that much off at most.
          expect(found).toBeLessThanOrEqual(sampled + 1e-9);
          const steepest = Math.max(
            ...path
              .slice(1)
              .map((to, index) =>
                Math.abs((to.across - path[index]!.across) / (to.along - path[index]!.along)),
              ),
          );
          expect(sampled - found).toBeLessThanOrEqual(step * Math.hypot(1, steepest));
        },
      ),
      seriesRuns(40, 2000),
    );
  });

  it('simplified, stays within its slack with the same ends', () => {
    fc.assert(
      fc.property(somePath, fc.integer({ min: 0, max: 60 }), (path, slack) => {
        const simple = pathSimplified(path, slack);
        expect([simple[0], simple.at(-1)]).toEqual([path[0], path.at(-1)]);
        expect(simple.every((point) => path.includes(point))).toBe(true);
        for (const { along, across } of path) {
          expect(Math.abs(pathValue(simple, along) - across)).toBeLessThanOrEqual(slack + 1e-9);
        }
      }),
      seriesRuns(100, 10_000),
    );
  });

  it('bends into an arc whose points lie on a circle, half a millimeter from it at most between them', () => {
    const [chord, rise] = [2400, 130];
    const path = arcPath({ start: 300, end: 300 + chord }, 900, rise);
    // Circle through both ends and the middle: r = (c² ÷ 4 + h²) ÷ 2h.
    const radius = (chord ** 2 / 4 + rise ** 2) / (2 * rise);
    const center = { along: 300 + chord / 2, across: 900 + rise - radius };
    expect(pathValue(path, 300)).toBeCloseTo(900, 6);
    expect(pathValue(path, 2700)).toBeCloseTo(900, 6);
    for (const [index, point] of path.entries()) {
      expect(Math.hypot(point.along - center.along, point.across - center.across)).toBeCloseTo(radius, 6);
      const next = path[index + 1];
      if (!next) continue;
      const middle = { along: (point.along + next.along) / 2, across: (point.across + next.across) / 2 };
      const inward = radius - Math.hypot(middle.along - center.along, middle.across - center.across);
      expect(inward).toBeLessThanOrEqual(0.5 + 1e-9);
    }
    expect(pathRange(path, { start: 300, end: 2700 }).end).toBeGreaterThan(1029.5);
    expect(arcPath({ start: 0, end: 800 }, 70, -25).every(({ across }) => across <= 70)).toBe(true);
  });
});

describe('a drawn line', () => {
  it('stays one where it never turns back, whichever way it was drawn', () => {
    const points = [
      { x: 400, y: 820 },
      { x: 1400, y: 870 },
      { x: 2000, y: 846 },
    ];
    expect(pathsFromPoints(points)).toEqual([{ axis: 'horizontal', path: BELT }]);
    expect(pathsFromPoints(points.toReversed())).toEqual([{ axis: 'horizontal', path: BELT }]);
  });

  it('is cut where it turns back; a closed outline gives four edges, pieces under 50 mm none', () => {
    const door = [
      { x: 1000, y: 300 },
      { x: 1830, y: 320 },
      { x: 1810, y: 2100 },
      { x: 1770, y: 2110 },
      { x: 1040, y: 2080 },
      { x: 1000, y: 300 },
    ];
    const found = pathsFromPoints(door);
    expect(found.map(({ axis }) => axis)).toEqual(['horizontal', 'vertical', 'horizontal', 'vertical']);
    expect(found[2]!.path.map(({ along }) => along)).toEqual([1040, 1770, 1810]);
    const hook = [
      { x: 0, y: 0 },
      { x: 700, y: 40 },
      { x: 660, y: 44 },
    ];
    expect(pathsFromPoints(hook)).toHaveLength(1);
    expect(
      pathsFromPoints([
        { x: 0, y: 0 },
        { x: 30, y: 0 },
      ]),
    ).toEqual([]);
  });

  it('keeps a step across that is shorter than the runs beside it, whichever way it was drawn', () => {
    const points = [
      { x: 300, y: 820 },
      { x: 1100, y: 820 },
      { x: 1100, y: 760 },
      { x: 1900, y: 750 },
      { x: 1904, y: 790 },
      { x: 2600, y: 790 },
    ];
    const path = [
      { along: 300, across: 820 },
      { along: 1100, across: 820 },
      { along: 1101, across: 760 },
      { along: 1900, across: 750 },
      { along: 1904, across: 790 },
      { along: 2600, across: 790 },
    ];
    expect(pathsFromPoints(points)).toEqual([{ axis: 'horizontal', path }]);
    const [back, ...others] = pathsFromPoints(points.toReversed());
    expect(others).toEqual([]);
    expect(back!.path.map(({ across }) => across)).toEqual(path.map(({ across }) => across));
    // Of three runs that are as long, each is a line of its own.
    const stairs = [0, 0, 700, 700].map((y, index) => ({ x: [0, 700, 700, 1400][index]!, y }));
    expect(pathsFromPoints(stairs).map(({ axis }) => axis)).toEqual(['horizontal', 'vertical', 'horizontal']);
  });

  it('whatever is drawn, each piece rises along its axis and lies on what was drawn', () => {
    const point = fc.record({ x: fc.integer({ min: 0, max: 900 }), y: fc.integer({ min: 0, max: 900 }) });
    fc.assert(
      fc.property(fc.array(point, { minLength: 2, maxLength: 14 }), (points) => {
        for (const { path } of pathsFromPoints(points)) {
          for (const [index, to] of path.slice(1).entries())
            expect(to.along).toBeGreaterThan(path[index]!.along);
        }
      }),
      seriesRuns(200, 20_000),
    );
  });

  it('typed as a table is put in order, and a step gets a run of 1 mm', () => {
    expect(
      pathFromTable([
        { along: 900, across: 60 },
        { along: 300, across: 20 },
        { along: 300, across: 45 },
      ]),
    ).toEqual([
      { along: 300, across: 45 },
      { along: 301, across: 20 },
      { along: 900, across: 60 },
    ]);
    const steps = [
      { along: 0, across: 45 },
      { along: 300, across: 45 },
      { along: 300, across: 20 },
      { along: 900, across: 60 },
    ];
    expect(pathFromTable(steps.toReversed())).toEqual(pathFromTable(steps));
  });

  it('in a table a line steps, from either end, and runs along the axis on which it is longer', () => {
    const belt = [
      { x: 100, y: 1600 },
      { x: 2000, y: 1600 },
      { x: 2000, y: 1700 },
      { x: 5000, y: 1700 },
    ];
    const path = [
      { along: 100, across: 1600 },
      { along: 2000, across: 1600 },
      { along: 2001, across: 1700 },
      { along: 5000, across: 1700 },
    ];
    expect(lineFromTable(belt)).toMatchObject({ axis: 'horizontal', path });
    expect(lineFromTable(belt.toReversed())).toMatchObject({ axis: 'horizontal', path });
    const slope = [
      { x: 0, y: 0 },
      { x: 40, y: 80 },
      { x: 900, y: 300 },
    ];
    expect(lineFromTable(slope)?.axis).toBe('horizontal');
    expect(lineFromTable(slope, 'vertical')?.axis).toBe('vertical');
    expect(lineFromTable([...slope, { x: 850, y: 250 }])).toBeUndefined();
    expect(lineFromTable([...slope, slope[2]!])).toBeUndefined();
    expect(
      lineFromTable([
        { x: 0, y: 0 },
        { x: 30, y: 30 },
      ]),
    ).toBeUndefined();
    expect(lineFromTable([{ x: 0, y: 0 }])).toBeUndefined();
  });
});
