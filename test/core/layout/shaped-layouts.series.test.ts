import clipping, { type MultiPolygon, type Polygon } from 'polygon-clipping';
import { describe, expect, it } from 'vitest';
import { jobInvariantProblem } from '../../../core/job/job-invariants.ts';
import { regionPanels } from '../../../core/job/region.ts';
import type { Joint, LineShape, Region, Side } from '../../../core/job/schema.ts';
import { type Panel, panelPoints } from '../../../core/layout/panel.ts';
import { type SideLayout, sideLayout } from '../../../core/layout/side-layout.ts';
import { sideTotals } from '../../../core/layout/side-totals.ts';
import { type Path, pathValue } from '../../../core/measure/path.ts';
import {
  EDGES,
  type Edge,
  type Point,
  rectArea,
  rectBottom,
  rectPoints,
  rectRight,
} from '../../../core/measure/rect.ts';
import { seriesLength, seriesSeed } from '../../support/series.ts';
import { jobSample, sideSample } from '../job/sample-job.ts';

const WIDTH = 6130;
const HEIGHT = 2270;

/** Numbers from 0 to 1 from a seed: a linear congruence by Park and Miller. */
function drawnFrom(seed: number): () => number {
  let state = (seed % 2147483646) + 1;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

/** Up to six points, no stretch steeper than 45°. */
function shapeFrom(draw: () => number, length: number): LineShape {
  const count = 2 + Math.floor(draw() * 5);
  const shape: { alongMm: number; offMm: number }[] = [];
  let [along, off] = [-100 + draw() * 300, 0];
  for (let n = 0; n < count; n += 1) {
    shape.push({ alongMm: along, offMm: off });
    const run = 40 + (draw() * length * 1.6) / count;
    along += run;
    off += (draw() * 2 - 1) * Math.min(run, 180);
  }
  return shape;
}

function regionFrom(
  draw: () => number,
  depth: number,
  x: readonly [number, number],
  y: readonly [number, number],
): Region {
  const id = `p${Math.floor(draw() * 1e12)}`;
  const seams = draw() < 0.5 ? 'vertical' : 'horizontal';
  const [from, to] = seams === 'vertical' ? x : y;
  const parts = Math.min(3, Math.floor((to - from) / 420));
  if (depth === 0 || parts < 2 || draw() < 0.2) return { kind: 'panel', id };
  const count = 2 + Math.floor(draw() * (parts - 1));
  const stops = Array.from({ length: count + 1 }, (_, n) => from + ((to - from) * n) / count);
  const joints = stops.slice(1, -1).map((atMm): Joint => {
    const share = () => Math.round(draw() * 40);
    return {
      id: `j${Math.floor(draw() * 1e12)}`,
      kind: 'lap',
      atMm,
      firstMm: share(),
      secondMm: share(),
      top: draw() < 0.5 ? 'first' : 'second',
      ...(draw() < 0.6 && { shape: shapeFrom(draw, seams === 'vertical' ? HEIGHT : WIDTH) }),
    };
  });
  return {
    kind: 'split',
    seams,
    joints,
    parts: stops.slice(1).map((end, index) => {
      const slice = [stops[index]!, end] as const;
      return seams === 'vertical'
        ? regionFrom(draw, depth - 1, slice, y)
        : regionFrom(draw, depth - 1, x, slice);
    }),
  };
}

function sideFrom(draw: () => number): Side {
  const bleed = () => Math.round(draw() * 100);
  return sideSample({
    bleed: { top: bleed(), right: bleed(), bottom: bleed(), left: bleed() },
    front: draw() < 0.5 ? 'left' : 'right',
    layout: regionFrom(draw, 3, [0, WIDTH], [0, HEIGHT]),
  });
}

const layoutOf = (side: Side): SideLayout => sideLayout(jobSample({ sides: [side] }), side);

/** Sides whose seams keep apart and meet their edges once. */
function* sides(count: number): Generator<{ side: Side; layout: SideLayout; draw: () => number }> {
  const draw = drawnFrom(seriesSeed());
  let found = 0;
  while (found < count) {
    const side = sideFrom(draw);
    const hasShape = JSON.stringify(side.layout).includes('shape');
    if (!hasShape || jobInvariantProblem(jobSample({ sides: [side] }))) continue;
    found += 1;
    yield { side, layout: layoutOf(side), draw };
  }
}

/** Whether a point lies between the edges of a panel, each moved outward: the definition, without any polygon. */
function isNeeded({ shape, net, edges }: Panel, { x, y }: Point, past: 0 | 1): boolean {
  const path = (edge: Edge): Path =>
    shape?.edges[edge] ?? [
      { along: 0, across: { top: net.y, right: rectRight(net), bottom: rectBottom(net), left: net.x }[edge] },
    ];
  const out = (edge: Edge) => past * allowance(edges[edge], path(edge), shape?.finished.spans[edge]);
  return (
    y >= pathValue(path('top'), x) - out('top') &&
    y <= pathValue(path('bottom'), x) + out('bottom') &&
    x >= pathValue(path('left'), y) - out('left') &&
    x <= pathValue(path('right'), y) + out('right')
  );
}

/** What was asked for across, from the least square to the seam. */
function allowance(
  { allowanceMm }: Panel['edges'][Edge],
  path: Path,
  span: { start: number; end: number } | undefined,
) {
  if (path.length === 1 || !span) return allowanceMm;
  const inside = path.filter(({ along }) => along > span.start && along < span.end).map(({ along }) => along);
  const stops = [span.start, ...inside, span.end];
  const steepest = Math.max(
    0,
    ...stops
      .slice(1)
      .map((to, n) => Math.abs((pathValue(path, to) - pathValue(path, stops[n]!)) / (to - stops[n]!))),
  );
  return allowanceMm * Math.hypot(1, steepest);
}

const polygon = (points: readonly Point[]): Polygon => [points.map(({ x, y }) => [x, y])];

/** In mm², holes left out. */
const areaOf = (polygons: MultiPolygon): number =>
  polygons.flat().reduce(
    (sum, ring) =>
      sum +
      ring.reduce((twice, [x, y], n) => {
        const [nextX, nextY] = ring[(n + 1) % ring.length]!;
        return twice + x * nextY - nextX * y;
      }, 0) /
        2,
    0,
  );

/** What one polygon has and another one lacks. */
const lackingMm2 = (whole: readonly Point[], part: readonly Point[]): number =>
  Math.abs(areaOf(clipping.difference(polygon(part), polygon(whole))));

/** Of sums of coordinates of some meters. */
const NOTHING_MM2 = 0.01;

function expectOnceCovered(layout: SideLayout): void {
  const seen = layout.panels.map((panel) => polygon(panelPoints(panel)));
  const [first, ...others] = seen;
  const all = rectArea(layout.outline);
  expect(Math.abs(areaOf(clipping.union(first!, ...others)) - all)).toBeLessThan(NOTHING_MM2);
  const sum = seen.reduce((area, each) => area + areaOf([each]), 0);
  expect(Math.abs(sum - all)).toBeLessThan(NOTHING_MM2);
  for (const { shape, printed } of layout.panels) {
    if (!shape) continue;
    expect(lackingMm2(rectPoints(printed), shape.needed.points)).toBeLessThan(NOTHING_MM2);
    expect(lackingMm2(shape.needed.points, shape.finished.points)).toBeLessThan(NOTHING_MM2);
  }
}

describe('layouts with seams that slope and curve', () => {
  it('PN8: a general polygon library (polygon-clipping 0.15.7) finds no gap, no overlap, and nothing needed unprinted', () => {
    const count = seriesLength(60, 10_000);
    let givenUp = 0;
    for (const { layout } of sides(count)) {
      try {
        expectOnceCovered(layout);
      } catch (error) {
        // It gives up on some polygons whose edges nearly lie on one another.
        if (!(error instanceof Error && error.message.startsWith('Unable to complete output ring')))
          throw error;
        givenUp += 1;
      }
    }
    expect(givenUp).toBeLessThanOrEqual(count / 50);
  }, 600_000);

  it('PN8: outlines cover the side once, and no needed point lies outside the printed rectangle', () => {
    for (const { layout, draw } of sides(seriesLength(60, 10_000))) {
      expect(sideTotals(layout).netAreaMm2 / rectArea(layout.outline)).toBeCloseTo(1, 6);
      expect(layout.panels).toHaveLength(regionPanels(layout.side.layout).length);
      const wrong: Point[] = [];
      for (let n = 0; n < 40; n += 1) {
        const on = { x: draw() * WIDTH, y: draw() * HEIGHT };
        if (!layout.panels.some((panel) => isNeeded(panel, on, 0))) wrong.push(on);
        const around = { x: -150 + draw() * (WIDTH + 300), y: -150 + draw() * (HEIGHT + 300) };
        const isOutside = ({ printed }: Panel) =>
          around.x < printed.x - 1e-6 ||
          around.x > rectRight(printed) + 1e-6 ||
          around.y < printed.y - 1e-6 ||
          around.y > rectBottom(printed) + 1e-6;
        if (layout.panels.some((panel) => isNeeded(panel, around, 1) && isOutside(panel))) wrong.push(around);
      }
      expect(wrong).toEqual([]);
    }
  }, 600_000);

  it('the tree alone orders them: under before over, and neighbors agree', () => {
    for (const { layout } of sides(seriesLength(60, 10_000))) {
      const panels = new Map(layout.panels.map((panel) => [panel.id, panel]));
      for (const panel of layout.panels) {
        for (const edge of EDGES) {
          const at = panel.edges[edge];
          if (at.kind !== 'seam' || at.overlapMm === 0) continue;
          for (const { panelId } of at.neighbors) {
            const other = panels.get(panelId)!;
            const back = EDGES.map((each) => other.edges[each]).find(
              (each) => each.kind === 'seam' && each.seamId === at.seamId,
            );
            expect(back?.kind === 'seam' && back.lies).toBe(at.lies === 'over' ? 'under' : 'over');
            expect(at.lies === 'over' ? other.order < panel.order : other.order > panel.order).toBe(true);
          }
        }
      }
    }
  }, 600_000);
});
