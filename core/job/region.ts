/** Walking and cutting the layout tree of a side. */
import type { Interval } from '../measure/interval.ts';
import { type Rect, rectFromIntervals, rectHorizontal, rectVertical } from '../measure/rect.ts';
import type { Joint, PanelRegion, Region, SeamDirection, SplitRegion } from './schema.ts';

/** The panels of a region, top to bottom and left to right within each split. */
export function regionPanels(region: Region): PanelRegion[] {
  return region.kind === 'panel' ? [region] : region.parts.flatMap(regionPanels);
}

/** Every split of a region, outer ones first. */
export function regionSplits(region: Region): SplitRegion[] {
  return region.kind === 'panel' ? [] : [region, ...region.parts.flatMap(regionSplits)];
}

/** Every joint of a region, those of outer splits first. */
export const regionJoints = (region: Region): Joint[] =>
  regionSplits(region).flatMap((split) => split.joints);

/** The stretch of a rectangle that seams of this direction cut: x for vertical seams, y for horizontal ones. */
export const rectAcross = (rect: Rect<'finished'>, seams: SeamDirection): Interval =>
  seams === 'vertical' ? rectHorizontal(rect) : rectVertical(rect);

/** The stretch of a rectangle along which seams of this direction run. */
export const rectAlong = (rect: Rect<'finished'>, seams: SeamDirection): Interval =>
  seams === 'vertical' ? rectVertical(rect) : rectHorizontal(rect);

/**
 * The rectangles of a split's parts: vertical seams at 300 and 750 cut a width of 1000 into
 * 0–300, 300–750 and 750–1000.
 */
export function splitPartRects(split: SplitRegion, rect: Rect<'finished'>): Rect<'finished'>[] {
  const across = rectAcross(rect, split.seams);
  const along = rectAlong(rect, split.seams);
  return split.parts.map((_, index) => {
    const slice: Interval = {
      start: split.joints[index - 1]?.atMm ?? across.start,
      end: split.joints[index]?.atMm ?? across.end,
    };
    return split.seams === 'vertical' ? rectFromIntervals(slice, along) : rectFromIntervals(along, slice);
  });
}

export interface PlacedRegion {
  readonly region: Region;
  readonly rect: Rect<'finished'>;
}

/** Every region of the tree with its rectangle, outer ones first. */
export function regionsPlaced(region: Region, rect: Rect<'finished'>): PlacedRegion[] {
  if (region.kind === 'panel') return [{ region, rect }];
  const rects = splitPartRects(region, rect);
  return [{ region, rect }, ...region.parts.flatMap((part, index) => regionsPlaced(part, rects[index]!))];
}

/** The same tree with each panel replaced by what `change` makes of it. */
export function regionWithPanels(region: Region, change: (panel: PanelRegion) => Region): Region {
  if (region.kind === 'panel') return change(region);
  return { ...region, parts: region.parts.map((part) => regionWithPanels(part, change)) };
}

/** The same tree with each joint replaced by what `change` makes of it; untouched splits keep their identity. */
export function regionWithJoints(
  region: Region,
  change: (joint: Joint, split: SplitRegion) => Joint,
): Region {
  if (region.kind === 'panel') return region;
  const joints = region.joints.map((joint) => change(joint, region));
  const parts = region.parts.map((part) => regionWithJoints(part, change));
  const isSame =
    joints.every((joint, index) => joint === region.joints[index]) &&
    parts.every((part, index) => part === region.parts[index]);
  return isSame ? region : { ...region, joints, parts };
}
