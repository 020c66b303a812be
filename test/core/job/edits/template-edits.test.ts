import { describe, expect, it } from 'vitest';
import { outlinesTrace, scaleSet, sideTemplateSet } from '../../../../core/job/edits/edits.ts';
import { linePath } from '../../../../core/job/line-path.ts';
import { templatePlace, templatePointsFromBox } from '../../../../core/job/template-place.ts';
import { pathsDifference } from '../../../../core/measure/path.ts';
import type { Point } from '../../../../core/measure/rect.ts';
import { edited, jobSample, sideSample } from '../sample-job.ts';

const job = jobSample({ sides: [sideSample()] });
const sideId = job.sides[0]!.id;
const crease = { kind: 'body-line', lineKind: 'crease' } as const;
const traced = (points: readonly Point<'finished'>[], isClosed = false) =>
  edited(
    outlinesTrace(job, { sideId, outlines: [{ points, isClosed }], as: crease }),
  ).sides[0]!.bodyLines.slice(job.sides[0]!.bodyLines.length);

describe('a template on its side', () => {
  it('lies as the artwork does where nobody lined it up', () => {
    const side = sideSample({ artworkRect: { xMm: 12, yMm: 34, widthMm: 200, heightMm: 100 } });
    const place = templatePlace({}, side, 10)!;
    expect(place({ x: 12, y: 34 })).toEqual({ x: 0, y: 0 });
    expect(place({ x: 62, y: 41 })).toEqual({ x: 500, y: 70 });
  });

  it('is moved, turned and enlarged by two points, and refused where they are one', () => {
    // Enlarged 20 times and turned by a quarter: right on the page is down on the side.
    const points = [
      { drawnXMm: 10, drawnYMm: 5, xMm: 700, yMm: 300 },
      { drawnXMm: 60, drawnYMm: 5, xMm: 700, yMm: 1300 },
    ];
    const place = templatePlace({ points }, job.sides[0]!, job.scale)!;
    const at = place({ x: 10, y: 12 });
    expect(at.x).toBeCloseTo(560, 9);
    expect(at.y).toBeCloseTo(300, 9);
    expect(templatePlace({ points: [points[0]!, points[0]!] }, job.sides[0]!, job.scale)).toBeUndefined();
  });

  it('by its box it is as wide as the side, in the middle of its height', () => {
    const box = { x: 5, y: 7, width: 250, height: 60 };
    const points = templatePointsFromBox(box, { x: 0, y: 0, width: 5000, height: 1500 });
    const place = templatePlace({ points }, job.sides[0]!, job.scale)!;
    expect(place({ x: 5, y: 37 })).toEqual({ x: 0, y: 750 });
    // 60 mm are 1,200 mm at 20 times: 150 mm are left above and below.
    expect(place({ x: 255, y: 7 })).toEqual({ x: 5000, y: 150 });
    const kept = edited(sideTemplateSet(job, { sideId, template: { page: 1, points } }));
    expect(kept.sides[0]!.template).toEqual({ page: 1, points });
    // A drawing that proves a fifth larger takes its template along.
    const larger = edited(scaleSet(kept, { scale: job.scale * 1.2 })).sides[0]!;
    expect(larger.template!.points!.map(({ xMm, yMm }) => [xMm, yMm])).toEqual([
      [0, 900],
      [6000, 900],
    ]);
    expect(edited(sideTemplateSet(kept, { sideId, template: null })).sides[0]).not.toHaveProperty('template');
  });
});

describe('paths that are traced', () => {
  it('a curve becomes one body line within a millimeter of it', () => {
    const curve = Array.from({ length: 400 }, (_, n) => ({
      x: 100 + n * 4,
      y: 800 + 60 * Math.sin(n / 120),
    }));
    const lines = traced(curve);
    expect(lines).toHaveLength(1);
    expect(lines[0]).toMatchObject({ kind: 'crease', direction: 'horizontal' });
    expect(lines[0]!.shape!.length).toBeLessThan(20);
    const path = curve.map(({ x, y }) => ({ along: x, across: y }));
    const off = pathsDifference(linePath(lines[0]!), path, { start: 100, end: 1696 });
    expect(Math.max(-off.start, off.end)).toBeLessThanOrEqual(1);
    expect(off.end - off.start).toBeGreaterThan(0);
  });

  it('a closed outline gives its four edges, wherever it begins, and none of them in two', () => {
    const corners = [
      { x: 300, y: 400 },
      { x: 900, y: 400 },
      { x: 900, y: 1000 },
      { x: 300, y: 1000 },
    ];
    for (const first of [0, 1, 2, 3]) {
      const round = [...corners.slice(first), ...corners.slice(0, first)];
      // It begins in the midst of an edge.
      const middle = { x: (round[0]!.x + round[3]!.x) / 2, y: (round[0]!.y + round[3]!.y) / 2 };
      const lines = traced([middle, ...round], true);
      const edges = lines.map(({ direction, atMm, extent }) => [
        direction,
        atMm,
        extent!.fromMm,
        extent!.toMm,
      ]);
      expect(edges.toSorted((a, b) => String(a).localeCompare(String(b)))).toEqual([
        ['horizontal', 1000, 300, 900],
        ['horizontal', 400, 300, 900],
        ['vertical', 300, 400, 1000],
        ['vertical', 900, 400, 1000],
      ]);
    }
  });

  it('pieces under 50 mm go; a path of nothing else is refused with a sentence', () => {
    const hook = [
      { x: 100, y: 500 },
      { x: 700, y: 510 },
      { x: 700, y: 540 },
    ];
    expect(traced(hook)).toHaveLength(1);
    const short = outlinesTrace(job, {
      sideId,
      outlines: [{ points: hook.slice(1), isClosed: false }],
      as: crease,
    });
    expect(short).toMatchObject({ ok: false, problem: { code: 'line-too-short' } });
  });

  const round = Array.from({ length: 720 }, (_, n) => ({
    x: 700 + 200 * Math.cos((n * Math.PI) / 360),
    y: 600 + 150 * Math.sin((n * Math.PI) / 360),
  }));

  it('a closed path becomes an area within a millimeter of it, an upright rectangle a plain one', () => {
    const outlines = [
      { points: round, isClosed: true },
      {
        points: [
          { x: 100, y: 100 },
          { x: 300, y: 100 },
          { x: 300, y: 180 },
          { x: 200, y: 180 },
          { x: 100, y: 180 },
        ],
        isClosed: true,
      },
      { points: round.slice(0, 300), isClosed: false },
    ];
    const side = edited(
      outlinesTrace(job, { sideId, outlines, as: { kind: 'no-film-area', noFilmKind: 'wheel-arch' } }),
    ).sides[0]!;
    const [oval, plain, ...others] = side.noFilmAreas.slice(job.sides[0]!.noFilmAreas.length);
    expect(others).toEqual([]);
    expect(plain).toMatchObject({
      rect: { xMm: 100, yMm: 100, widthMm: 200, heightMm: 80 },
      kind: 'wheel-arch',
    });
    expect(plain).not.toHaveProperty('outline');
    expect(oval!.outline!.length).toBeLessThan(60);
    for (const { xMm, yMm } of oval!.outline!)
      expect(((xMm - 700) / 200) ** 2 + ((yMm - 600) / 150) ** 2).toBeCloseTo(1, 9);
    const area = polygonArea(oval!.outline!.map(({ xMm, yMm }) => [xMm, yMm] as const));
    // An ellipse of half axes 200 and 150 mm, less what 1 mm around it can take.
    expect(area).toBeGreaterThan(Math.PI * 200 * 150 - 1110);
    expect(area).toBeLessThan(Math.PI * 200 * 150);
    const seams = edited(outlinesTrace(job, { sideId, outlines, as: { kind: 'no-seam-area' } })).sides[0]!;
    expect(seams.noSeamAreas).toHaveLength(job.sides[0]!.noSeamAreas.length + 2);
  });

  it('a door gets the four edges of its path; open paths and those that cross themselves bound nothing', () => {
    const points = [
      { x: 400, y: 300 },
      { x: 1000, y: 320 },
      { x: 1000, y: 900 },
      { x: 400, y: 900 },
    ];
    const as = { kind: 'door' } as const;
    const { doors } = edited(outlinesTrace(job, { sideId, outlines: [{ points, isClosed: true }], as }))
      .sides[0]!;
    expect(doors).toHaveLength(1);
    const { top, right, bottom, left } = doors![0]!.gap;
    expect(linePath(top).map(({ along, across }) => [along, across])).toEqual([
      [400, 300],
      [1000, 320],
    ]);
    expect([right.atMm, bottom.atMm, left.atMm]).toEqual([1000, 900, 400]);
    const crossed = [points[0]!, points[2]!, points[1]!, points[3]!];
    const outlines = [
      { points: crossed, isClosed: true },
      { points, isClosed: false },
    ];
    expect(outlinesTrace(job, { sideId, outlines, as })).toMatchObject({
      ok: false,
      problem: { code: 'area-open' },
    });
  });
});

/** By the shoelace formula. */
const polygonArea = (points: readonly (readonly [number, number])[]): number =>
  Math.abs(
    points.reduce((sum, [x, y], index) => {
      const [nextX, nextY] = points[(index + 1) % points.length]!;
      return sum + x * nextY - nextX * y;
    }, 0),
  ) / 2;
