/** Walks and divides the layout tree of a side. */
import type { Interval } from '../measure/interval.ts';
import {
  type EdgePaths,
  type Outline,
  outlineFromEdges,
  rectEdgePaths,
  straightEdges,
} from '../measure/outline.ts';
import { type Path, pathRange } from '../measure/path.ts';
import { itemAt } from '../measure/present.ts';
import {
  EDGES,
  type Rect,
  rectFromEdges,
  rectFromIntervals,
  rectHorizontal,
  rectVertical,
} from '../measure/rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { linePath } from './line-path.ts';
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

/** The extent of a rectangle across seams of this direction: x for vertical seams, y for horizontal ones. */
export const rectAcross = (rect: Rect<'finished'>, seams: SeamDirection): Interval =>
  seams === 'vertical' ? rectHorizontal(rect) : rectVertical(rect);

/** The extent of a rectangle along seams of this direction. */
export const rectAlong = (rect: Rect<'finished'>, seams: SeamDirection): Interval =>
  seams === 'vertical' ? rectVertical(rect) : rectHorizontal(rect);

/** The place of a region. */
export interface RegionPlace {
  /** The region itself, or its bounding rectangle. */
  readonly rect: Rect<'finished'>;
  /** Its edges, where one of them slopes or curves. */
  readonly edges?: EdgePaths;
  readonly outline?: Outline;
}

/**
 * The places of a split's parts: vertical seams at 300 and 750 cut a width of 1000 into
 * 0–300, 300–750 and 750–1000.
 */
export function splitPartPlaces(split: SplitRegion, { rect, edges }: RegionPlace): RegionPlace[] {
  const isStraight = !edges && split.joints.every(({ shape }) => !shape);
  const across = rectAcross(rect, split.seams);
  const along = rectAlong(rect, split.seams);
  return split.parts.map((_, index): RegionPlace => {
    const [before, after] = [split.joints[index - 1], split.joints[index]];
    const slice: Interval = { start: before?.atMm ?? across.start, end: after?.atMm ?? across.end };
    const plain: Rect<'finished'> =
      split.seams === 'vertical'
        ? rectFromIntervals<'finished'>(slice, along)
        : rectFromIntervals<'finished'>(along, slice);
    if (isStraight) return { rect: plain };
    const own = { ...(edges ?? rectEdgePaths(rect)) };
    const [first, last] = splitEdges(split.seams);
    if (before) own[first] = linePath(before);
    if (after) own[last] = linePath(after);
    return regionPlace(own, plain);
  });
}

/** Where the edges cannot bound an area, only the rectangle remains. */
function regionPlace(edges: EdgePaths, plain: Rect<'finished'>): RegionPlace {
  const straight = straightEdges(edges);
  if (straight) return { rect: rectFromEdges(straight.left, straight.top, straight.right, straight.bottom) };
  const outline = outlineFromEdges(edges);
  if (!outline) return { rect: plain, edges };
  const isRect = EDGES.every((edge) => isLevelAround(edges[edge], outline.spans[edge]));
  return isRect ? { rect: outline.rect } : { rect: outline.rect, edges, outline };
}

/** More than any bleed or extension past an edge. */
const AROUND_MM: Mm = 500;

/** Whether a path is straight along its axis over a span and as far past it as film may extend. */
export function isLevelAround(path: Path, { start, end }: Interval): boolean {
  const range = pathRange(path, { start: start - AROUND_MM, end: end + AROUND_MM });
  return range.end - range.start <= LENGTH_TOLERANCE_MM;
}

/** The edges at which the parts of a split begin and end. */
export const splitEdges = (seams: SeamDirection): readonly ['left', 'right'] | readonly ['top', 'bottom'] =>
  seams === 'vertical' ? ['left', 'right'] : ['top', 'bottom'];

/** The extent of a seam along its direction, between the edges of its region. */
export function seamSpan(split: SplitRegion, index: number, place: RegionPlace): Interval {
  const joint = itemAt(split.joints, index);
  if (!place.edges && !joint.shape) return rectAlong(place.rect, split.seams);
  const [, last] = splitEdges(split.seams);
  const part = itemAt(splitPartPlaces(split, place), index);
  return part.outline?.spans[last] ?? rectAlong(part.rect, split.seams);
}

export interface PlacedRegion extends RegionPlace {
  readonly region: Region;
}

/** Every region of the tree with its place, outer ones first. */
export function regionsPlaced(region: Region, rect: Rect<'finished'>): PlacedRegion[] {
  return regionsFrom(region, { rect });
}

function regionsFrom(region: Region, place: RegionPlace): PlacedRegion[] {
  if (region.kind === 'panel') return [{ ...place, region }];
  const places = splitPartPlaces(region, place);
  return [
    { ...place, region },
    ...region.parts.flatMap((part, index) => regionsFrom(part, itemAt(places, index))),
  ];
}

/** The same tree with each panel replaced by the result of `change`. */
export function regionWithPanels(region: Region, change: (panel: PanelRegion) => Region): Region {
  if (region.kind === 'panel') return change(region);
  return { ...region, parts: region.parts.map((part) => regionWithPanels(part, change)) };
}

/** The same tree with each joint replaced by the result of `change`; unchanged splits keep their identity. */
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
