import type { Interval } from '../measure/interval.ts';
import type { Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { rectAcross, rectAlong, regionRuns, regionsPlaced } from './region.ts';
import type { Joint, Region, RunRegion, SeamDirection } from './schema.ts';

/** A seam with its run, the run's rectangle, and the places that it can take. */
export interface SeamInRun {
  readonly joint: Joint;
  readonly run: RunRegion;
  readonly rect: Rect<'finished'>;
  /** Along its own direction, from where to where the seam runs. */
  readonly span: Interval;
  /**
   * Where the seam can be moved, ends excluded: between the seams beside it in its run, and clear of parallel
   * seams in runs nested in the two parts that it joins.
   */
  readonly range: Interval;
}

/** Finds a seam of a layout, or undefined where it has no such seam. */
export function seamInRun(layout: Region, outline: Rect<'finished'>, seamId: string): SeamInRun | undefined {
  for (const { region, rect } of regionsPlaced(layout, outline)) {
    if (region.kind === 'panel') continue;
    const index = region.joints.findIndex(({ id }) => id === seamId);
    if (index === -1) continue;
    return {
      joint: region.joints[index]!,
      run: region,
      rect,
      span: rectAlong(rect, region.seams),
      range: seamRange(region, rect, index),
    };
  }
  return undefined;
}

function seamRange(run: RunRegion, rect: Rect<'finished'>, index: number): Interval {
  const across = rectAcross(rect, run.seams);
  const before = [across.start, ...parallelPositions(run.parts[index]!, run.seams)];
  const after = [across.end, ...parallelPositions(run.parts[index + 1]!, run.seams)];
  return {
    start: Math.max(run.joints[index - 1]?.atMm ?? across.start, ...before),
    end: Math.min(run.joints[index + 1]?.atMm ?? across.end, ...after),
  };
}

const parallelPositions = (part: Region, seams: SeamDirection): Mm[] =>
  regionRuns(part)
    .filter((run) => run.seams === seams)
    .flatMap((run) => run.joints.map(({ atMm }) => atMm));
