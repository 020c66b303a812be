/**
 * How far the paint of a page extends past the edges of a side. Paint is stored as boxes in painting order that
 * overstate the painted area (core/checks/scan/paint-areas.ts), so paint reported missing is surely missing.
 */
import type { Interval } from '../measure/interval.ts';
import type { Edge, Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';

export interface Paint {
  readonly area: Rect<'finished'>;
  readonly isWhite: boolean;
}

/** Paint at one place of an edge. */
export interface EdgeSample {
  /** Whether the artwork is painted just inside the edge. */
  readonly isPainted: boolean;
  /** How far the paint that begins inside extends past the edge. */
  readonly reachMm: Mm;
  /** How far inside the edge the paint begins; the whole depth where there is none. */
  readonly bareMm: Mm;
}

/** Number of evenly spaced samples along an edge. */
const SAMPLES = 100;
/** Sampling distance inside the edge: paint that ends within a hair of the edge still reaches it. */
const INSIDE_MM: Mm = 0.5;

/** Samples an edge of the outline, from inside out. `paint` in painting order. */
export function edgeSamples(outline: Rect<'finished'>, edge: Edge, paint: readonly Paint[]): EdgeSample[] {
  const isVertical = edge === 'left' || edge === 'right';
  const [start, length] = isVertical ? [outline.y, outline.height] : [outline.x, outline.width];
  const depth = isVertical ? outline.width : outline.height;
  return Array.from({ length: SAMPLES }, (_, i) => {
    const at = start + (length * (i + 0.5)) / SAMPLES;
    const covered = coveredOutward(outline, edge, at, paint);
    const over = covered.find((run) => run.start <= -INSIDE_MM && run.end >= -INSIDE_MM);
    const nearest = Math.max(
      -depth,
      ...covered.filter((run) => run.start < 0).map((run) => Math.min(0, run.end)),
    );
    return {
      isPainted: over !== undefined,
      reachMm: Math.max(0, over?.end ?? 0),
      bareMm: over === undefined ? -nearest : 0,
    };
  });
}

/** Painted runs on the line across the edge at `at`; 0 is the edge, positive is outside. */
function coveredOutward(outline: Rect<'finished'>, edge: Edge, at: Mm, paint: readonly Paint[]): Interval[] {
  let covered: Interval[] = [];
  for (const { area, isWhite } of paint) {
    const isVertical = edge === 'left' || edge === 'right';
    const [from, size] = isVertical ? [area.y, area.height] : [area.x, area.width];
    if (at < from || at > from + size) continue;
    const run = runAcross(outline, edge, area);
    covered = isWhite ? runsWithout(covered, run) : runsWith(covered, run);
  }
  return covered;
}

function runAcross(outline: Rect<'finished'>, edge: Edge, area: Rect<'finished'>): Interval {
  switch (edge) {
    case 'left':
      return { start: outline.x - (area.x + area.width), end: outline.x - area.x };
    case 'right':
      return {
        start: area.x - (outline.x + outline.width),
        end: area.x + area.width - (outline.x + outline.width),
      };
    case 'top':
      return { start: outline.y - (area.y + area.height), end: outline.y - area.y };
    case 'bottom':
      return {
        start: area.y - (outline.y + outline.height),
        end: area.y + area.height - (outline.y + outline.height),
      };
  }
}

/** Neighbors this close are one run: less than any printer's dot. */
const GAP_MM: Mm = 0.1;

function runsWith(runs: readonly Interval[], added: Interval): Interval[] {
  let { start, end } = added;
  const apart: Interval[] = [];
  for (const run of runs) {
    if (run.end < start - GAP_MM || run.start > end + GAP_MM) apart.push(run);
    else {
      start = Math.min(start, run.start);
      end = Math.max(end, run.end);
    }
  }
  return [...apart, { start, end }];
}

const runsWithout = (runs: readonly Interval[], taken: Interval): Interval[] =>
  runs.flatMap((run) => {
    if (run.end <= taken.start || run.start >= taken.end) return [run];
    return [
      { start: run.start, end: taken.start },
      { start: taken.end, end: run.end },
    ].filter(({ start, end }) => end > start);
  });

const COLUMNS = 60;
const ROWS = 24;

/** Largest possible share of the outline that is painted, estimated from evenly spaced points. */
export function paintedShare(outline: Rect<'finished'>, paint: readonly Paint[]): number {
  let painted = 0;
  for (let row = 0; row < ROWS; row++) {
    const y = outline.y + (outline.height * (row + 0.5)) / ROWS;
    for (let column = 0; column < COLUMNS; column++) {
      const x = outline.x + (outline.width * (column + 0.5)) / COLUMNS;
      const last = paint.findLast(
        ({ area }) => x >= area.x && x <= area.x + area.width && y >= area.y && y <= area.y + area.height,
      );
      if (last?.isWhite === false) painted++;
    }
  }
  return painted / (ROWS * COLUMNS);
}
