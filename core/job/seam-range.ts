import type { Interval } from '../measure/interval.ts';
import { rectEdgePaths } from '../measure/outline.ts';
import { pathsGap } from '../measure/path.ts';
import { itemAt } from '../measure/present.ts';
import type { Rect } from '../measure/rect.ts';
import { linePath } from './line-path.ts';
import { type RegionPlace, rectAcross, regionSplits, regionsPlaced, seamSpan, splitEdges } from './region.ts';
import type { Joint, Region, SeamDirection, SplitRegion } from './schema.ts';

/** A seam with its split, the split's rectangle, and the range of its position. */
export interface SeamInSplit {
  readonly joint: Joint;
  readonly split: SplitRegion;
  readonly rect: Rect<'finished'>;
  /** Extent of the seam along its direction. */
  readonly span: Interval;
  /**
   * Where the seam can be moved, ends excluded: between the seams beside it in its split, and clear of parallel seams
   * nested in the two parts beside it.
   */
  readonly range: Interval;
}

/** Finds a seam of a layout, or undefined where it has no such seam. */
export function seamInSplit(
  layout: Region,
  outline: Rect<'finished'>,
  seamId: string,
): SeamInSplit | undefined {
  for (const { region, ...place } of regionsPlaced(layout, outline)) {
    if (region.kind === 'panel') continue;
    const { rect } = place;
    const index = region.joints.findIndex(({ id }) => id === seamId);
    if (index === -1) continue;
    return {
      joint: itemAt(region.joints, index),
      split: region,
      rect,
      span: seamSpan(region, index, place),
      range: seamRange(region, place, index),
    };
  }
  return undefined;
}

function seamRange(split: SplitRegion, place: RegionPlace, index: number): Interval {
  const across = rectAcross(place.rect, split.seams);
  const before = [split.joints[index - 1], ...parallelJoints(itemAt(split.parts, index), split.seams)];
  const after = [split.joints[index + 1], ...parallelJoints(itemAt(split.parts, index + 1), split.seams)];
  const joint = itemAt(split.joints, index);
  const isStraight = !place.edges && [joint, ...before, ...after].every((each) => !each?.shape);
  if (isStraight) {
    return {
      start: Math.max(across.start, ...before.flatMap((each) => each?.atMm ?? [])),
      end: Math.min(across.end, ...after.flatMap((each) => each?.atMm ?? [])),
    };
  }
  // As far as it can be shifted without crossing anything beside it.
  const edges = place.edges ?? rectEdgePaths(place.rect);
  const [first, last] = splitEdges(split.seams);
  const span = seamSpan(split, index, place);
  const path = linePath(joint);
  const paths = (joints: readonly (Joint | undefined)[]) =>
    joints.flatMap((each) => (each ? [linePath(each)] : []));
  return {
    start:
      joint.atMm - Math.min(...[edges[first], ...paths(before)].map((each) => pathsGap(each, path, span))),
    end: joint.atMm + Math.min(...[edges[last], ...paths(after)].map((each) => pathsGap(path, each, span))),
  };
}

const parallelJoints = (part: Region, seams: SeamDirection): Joint[] =>
  regionSplits(part)
    .filter((split) => split.seams === seams)
    .flatMap((split) => split.joints);
