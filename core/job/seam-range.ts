import type { Interval } from '../measure/interval.ts';
import type { Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { rectAcross, rectAlong, regionSplits, regionsPlaced } from './region.ts';
import type { Joint, Region, SeamDirection, SplitRegion } from './schema.ts';

/** A seam with its split, the split's rectangle, and the places that it can take. */
export interface SeamInSplit {
  readonly joint: Joint;
  readonly split: SplitRegion;
  readonly rect: Rect<'finished'>;
  /** Along its own direction, from where to where the seam runs. */
  readonly span: Interval;
  /**
   * Where the seam can be moved, ends excluded: between the seams beside it in its split, and clear of parallel
   * seams in splits nested in the two parts that it joins.
   */
  readonly range: Interval;
}

/** Finds a seam of a layout, or undefined where it has no such seam. */
export function seamInSplit(
  layout: Region,
  outline: Rect<'finished'>,
  seamId: string,
): SeamInSplit | undefined {
  for (const { region, rect } of regionsPlaced(layout, outline)) {
    if (region.kind === 'panel') continue;
    const index = region.joints.findIndex(({ id }) => id === seamId);
    if (index === -1) continue;
    return {
      joint: region.joints[index]!,
      split: region,
      rect,
      span: rectAlong(rect, region.seams),
      range: seamRange(region, rect, index),
    };
  }
  return undefined;
}

function seamRange(split: SplitRegion, rect: Rect<'finished'>, index: number): Interval {
  const across = rectAcross(rect, split.seams);
  const before = [across.start, ...parallelPositions(split.parts[index]!, split.seams)];
  const after = [across.end, ...parallelPositions(split.parts[index + 1]!, split.seams)];
  return {
    start: Math.max(split.joints[index - 1]?.atMm ?? across.start, ...before),
    end: Math.min(split.joints[index + 1]?.atMm ?? across.end, ...after),
  };
}

const parallelPositions = (part: Region, seams: SeamDirection): Mm[] =>
  regionSplits(part)
    .filter((split) => split.seams === seams)
    .flatMap((split) => split.joints.map(({ atMm }) => atMm));
