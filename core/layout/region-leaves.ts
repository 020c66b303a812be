/** Divides the layout tree of a side into its leaves, and records what each edge of a leaf meets. */
import { type RegionPlace, seamSpan, splitEdges, splitPartPlaces } from '../job/region.ts';
import type { Joint, Region } from '../job/schema.ts';
import type { Interval } from '../measure/interval.ts';
import type { EdgePaths, Outline } from '../measure/outline.ts';
import { itemAt } from '../measure/present.ts';
import type { Edge, Rect } from '../measure/rect.ts';

/** What one edge of a region meets: the outline of the side, or a joint of a split around it. */
export type RegionEdge =
  | { readonly kind: 'outer' }
  | { readonly kind: 'joint'; readonly joint: Joint; readonly isFirst: boolean };

/** A panel of the tree, before its allowances are known. */
export interface Leaf {
  readonly id: string;
  /** Absent: the film of the side. */
  readonly filmId?: string | undefined;
  /** Absent: the day of the side. */
  readonly installDay?: number | undefined;
  /** The visible area, or its bounding rectangle. */
  readonly net: Rect<'finished'>;
  /** Paths of its edges, where one of them slopes or curves. */
  readonly paths?: EdgePaths;
  readonly outline?: Outline;
  readonly edges: Readonly<Record<Edge, RegionEdge>>;
}

/** A joint with the leaves of the two parts that meet there. */
export interface Meeting {
  readonly joint: Joint;
  readonly direction: 'horizontal' | 'vertical';
  readonly span: Interval;
  readonly first: readonly Leaf[];
  readonly second: readonly Leaf[];
}

/** Walks the tree, divides each split at its joints, and collects the joints as meetings of parts. */
export function regionLeaves(
  region: Region,
  place: RegionPlace,
  edges: Readonly<Record<Edge, RegionEdge>>,
  meetings: Meeting[],
): Leaf[] {
  if (region.kind === 'panel') {
    const { rect, edges: paths, outline } = place;
    const { id, filmId, installDay } = region;
    return [
      { id, filmId, installDay, net: rect, edges, ...(paths && { paths }), ...(outline && { outline }) },
    ];
  }

  const places = splitPartPlaces(region, place);
  const [edgeBefore, edgeAfter] = splitEdges(region.seams);

  const leavesOfParts = region.parts.map((part, index) => {
    const before = region.joints[index - 1];
    const after = region.joints[index];
    const partEdges: Record<Edge, RegionEdge> = { ...edges };
    if (before) partEdges[edgeBefore] = { kind: 'joint', joint: before, isFirst: false };
    if (after) partEdges[edgeAfter] = { kind: 'joint', joint: after, isFirst: true };
    return regionLeaves(part, itemAt(places, index), partEdges, meetings);
  });

  for (const [index, joint] of region.joints.entries()) {
    meetings.push({
      joint,
      direction: region.seams,
      span: seamSpan(region, index, place),
      first: itemAt(leavesOfParts, index),
      second: itemAt(leavesOfParts, index + 1),
    });
  }
  return leavesOfParts.flat();
}
