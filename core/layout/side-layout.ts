/**
 * From the layout tree of a side to its panels and seams. Everything here is derived from the job document
 * each time it is asked for: a second of thought in the shop, microseconds here.
 */
import { rectAlong, runPartRects } from '../job/region.ts';
import type { Job, Joint, Region, Side } from '../job/schema.ts';
import { sideOutline } from '../job/side-outline.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import { type Interval, intervalIntersection } from '../measure/interval.ts';
import {
  EDGES,
  type Edge,
  type EdgeLengths,
  edgeLengthsAll,
  isRectWithin,
  type Rect,
  rectExcess,
  rectGrown,
  rectHorizontal,
  rectIntersection,
  rectsUnionArea,
  rectVertical,
} from '../measure/rect.ts';
import { finishedFromDrawn } from '../measure/spaces.ts';
import { installOrder, type LapConstraint } from './install-order.ts';
import { panelNumbers } from './numbering.ts';
import type { Neighbour, OuterEdge, Panel, PanelEdge, Seam, SeamEdge } from './panel.ts';

export interface SideLayout {
  readonly side: Side;
  /** The side itself: origin (0, 0), finished size. */
  readonly outline: Rect<'finished'>;
  /** Where the page holds artwork, in finished space of this side; undefined before the artwork is read. */
  readonly artwork: Rect<'finished'> | undefined;
  /** In install order. */
  readonly panels: readonly Panel[];
  readonly seams: readonly Seam[];
  /** Panels that lie wholly within an opening: no film is printed for them. */
  readonly droppedPanelIds: readonly string[];
}

/**
 * Where each page holds artwork, in drawn mm, by page number. The rectangle begins left of or above the origin
 * where the page shows more than the box that drawn space is measured from, such as bleed around a trim box.
 */
export type PageExtents = ReadonlyMap<number, Rect<'drawn'>>;

/** What one edge of a region meets: the outline of the side, or a joint of a run around it. */
type RegionEdge =
  | { readonly kind: 'outer' }
  | { readonly kind: 'joint'; readonly joint: Joint; readonly isFirst: boolean };

interface Leaf {
  readonly id: string;
  readonly net: Rect<'finished'>;
  readonly edges: Readonly<Record<Edge, RegionEdge>>;
}

interface Meeting {
  readonly joint: Joint;
  readonly direction: 'horizontal' | 'vertical';
  readonly span: Interval;
  readonly first: readonly Leaf[];
  readonly second: readonly Leaf[];
}

export { sideOutline };

export function jobLayout(job: Job, pages?: PageExtents): SideLayout[] {
  return job.sides.map((side) => sideLayout(job, side, pages));
}

/**
 * Derives the panels of one side. `job` and `side` need valid structure only (parts = joints + 1, joints in
 * order within their region; see core/job/job-invariants), not a layout free of findings.
 */
export function sideLayout(job: Job, side: Side, pages?: PageExtents): SideLayout {
  const outline = sideOutline(side, job.scale);
  const artwork = pageInFinished(side, job.scale, pages);
  const meetings: Meeting[] = [];
  const outer: RegionEdge = { kind: 'outer' };
  const leaves = regionLeaves(
    side.layout,
    outline,
    { top: outer, right: outer, bottom: outer, left: outer },
    meetings,
  );

  const openings = side.openings.map((opening) => rectFromStored<'finished'>(opening.rect));
  const isDropped = (leaf: Leaf) => openings.some((opening) => isRectWithin(leaf.net, opening));
  const kept = leaves.filter((leaf) => !isDropped(leaf));
  const keptIds = new Set(kept.map((leaf) => leaf.id));

  const wanted = new Map(kept.map((leaf) => [leaf.id, rectGrown(leaf.net, leafAllowances(leaf, side))]));
  const order = installOrder(
    kept.map(({ id, net }) => ({ id, net })),
    lapConstraints(meetings, wanted),
    side.front,
  );
  const numbers = panelNumbers(kept, order, job.output.numbering);
  const places = new Map(order.map((id, index) => [id, index + 1]));
  const meetingOf = new Map(meetings.map((meeting) => [meeting.joint, meeting]));

  const panels = kept.map((leaf): Panel => {
    const asked = wanted.get(leaf.id)!;
    const printed = (artwork && rectIntersection(asked, artwork)) ?? asked;
    const number = numbers.get(leaf.id)!;
    return {
      id: leaf.id,
      sideId: side.id,
      label: panelLabel(side.code, number, kept.length),
      number,
      order: places.get(leaf.id)!,
      net: leaf.net,
      printed,
      film: rectGrown(printed, edgeLengthsAll(job.output.borderMm)),
      missing: artwork ? rectExcess(asked, artwork) : edgeLengthsAll(0),
      edges: edgeRecord((edge) => panelEdge(leaf, edge, side, job.output.borderMm, meetingOf, keptIds)),
      coveredAreaMm2: coveredArea(leaf.net, openings),
    };
  });

  return {
    side,
    outline,
    artwork,
    panels: panels.sort((a, b) => a.order - b.order),
    seams: meetings.map((meeting) => seamFromMeeting(meeting, side.id, keptIds)),
    droppedPanelIds: leaves.filter(isDropped).map((leaf) => leaf.id),
  };
}

/** `LH-03`: two digits, or as many as the largest number needs. */
export function panelLabel(sideCode: string, number: number, count: number): string {
  return `${sideCode}-${String(number).padStart(Math.max(2, String(count).length), '0')}`;
}

function pageInFinished(
  side: Side,
  scale: number,
  pages: PageExtents | undefined,
): Rect<'finished'> | undefined {
  const page = pages?.get(side.page);
  return page && finishedFromDrawn(rectFromStored(side.artworkRect), scale).rect(page);
}

/** Walks the tree, cutting each run's rectangle at its joints; collects the joints as meetings. */
function regionLeaves(
  region: Region,
  rect: Rect<'finished'>,
  edges: Readonly<Record<Edge, RegionEdge>>,
  meetings: Meeting[],
): Leaf[] {
  if (region.kind === 'panel') return [{ id: region.id, net: rect, edges }];

  const rects = runPartRects(region, rect);
  const [edgeBefore, edgeAfter]: [Edge, Edge] =
    region.seams === 'vertical' ? ['left', 'right'] : ['top', 'bottom'];

  const leavesOfParts = region.parts.map((part, index) => {
    const before = region.joints[index - 1];
    const after = region.joints[index];
    const partEdges: Record<Edge, RegionEdge> = { ...edges };
    if (before) partEdges[edgeBefore] = { kind: 'joint', joint: before, isFirst: false };
    if (after) partEdges[edgeAfter] = { kind: 'joint', joint: after, isFirst: true };
    return regionLeaves(part, rects[index]!, partEdges, meetings);
  });

  for (const [index, joint] of region.joints.entries()) {
    meetings.push({
      joint,
      direction: region.seams,
      span: rectAlong(rect, region.seams),
      first: leavesOfParts[index]!,
      second: leavesOfParts[index + 1]!,
    });
  }
  return leavesOfParts.flat();
}

function leafAllowances(leaf: Leaf, side: Side): EdgeLengths {
  return edgeRecord((edge) => edgeAllowance(leaf.edges[edge], edge, side));
}

function edgeAllowance(at: RegionEdge, edge: Edge, side: Side): number {
  if (at.kind === 'outer') return side.bleed[edge];
  return at.isFirst ? at.joint.firstMm : at.joint.secondMm;
}

function panelEdge(
  leaf: Leaf,
  edge: Edge,
  side: Side,
  borderMm: number,
  meetings: ReadonlyMap<Joint, Meeting>,
  keptIds: ReadonlySet<string>,
): PanelEdge {
  const at = leaf.edges[edge];
  const allowanceMm = edgeAllowance(at, edge, side);
  if (at.kind === 'outer') {
    const outer: OuterEdge = { kind: 'outer', allowanceMm, trim: trimWhereSeen(allowanceMm, borderMm) };
    return outer;
  }
  const { joint, isFirst } = at;
  const lies = lieOfPart(joint, isFirst);
  const seam: SeamEdge = {
    kind: 'seam',
    seamId: joint.id,
    joint: joint.kind,
    lies,
    allowanceMm,
    overlapMm: jointOverlap(joint),
    trim: lies === 'under' ? 'none' : trimWhereSeen(allowanceMm, borderMm),
    neighbours: edgeNeighbours(leaf, joint, isFirst, meetings, keptIds),
  };
  return seam;
}

/**
 * An edge that is seen ends on its line. With image to spare it is cut on the vehicle; with none, the
 * unprinted border begins on the line and must come off before the panel leaves the shop.
 */
function trimWhereSeen(allowanceMm: number, borderMm: number): 'vehicle' | 'shop' | 'none' {
  if (allowanceMm > 0) return 'vehicle';
  return borderMm > 0 ? 'shop' : 'none';
}

function lieOfPart(joint: Joint, isFirst: boolean): SeamEdge['lies'] {
  if (joint.kind === 'butt') return 'edge-to-edge';
  if (joint.kind === 'break') return 'apart';
  return (joint.top === 'first') === isFirst ? 'over' : 'under';
}

/** Width of the band that both parts print; a break has none, its two allowances wrap into the gap. */
export function jointOverlap(joint: Joint): number {
  return joint.kind === 'lap' ? joint.firstMm + joint.secondMm : 0;
}

function edgeNeighbours(
  leaf: Leaf,
  joint: Joint,
  isFirst: boolean,
  meetings: ReadonlyMap<Joint, Meeting>,
  keptIds: ReadonlySet<string>,
): Neighbour[] {
  const meeting = meetings.get(joint)!;
  const seamEdge: Edge =
    meeting.direction === 'vertical' ? (isFirst ? 'left' : 'right') : isFirst ? 'top' : 'bottom';
  const stretch = (l: Leaf) =>
    meeting.direction === 'vertical' ? rectVertical(l.net) : rectHorizontal(l.net);
  return (isFirst ? meeting.second : meeting.first).flatMap((other) => {
    const atSameJoint = other.edges[seamEdge];
    const along = intervalIntersection(stretch(leaf), stretch(other));
    const isTouching = atSameJoint.kind === 'joint' && atSameJoint.joint === joint;
    return isTouching && along && keptIds.has(other.id) ? [{ panelId: other.id, along }] : [];
  });
}

/** Under before over, for every two panels whose printed images lie on each other across a lap. */
function lapConstraints(
  meetings: readonly Meeting[],
  wanted: ReadonlyMap<string, Rect<'finished'>>,
): LapConstraint[] {
  return meetings
    .filter((meeting) => meeting.joint.kind === 'lap')
    .flatMap(({ joint, first, second }) =>
      first.flatMap((a) =>
        second.flatMap((b): LapConstraint[] => {
          const [printedA, printedB] = [wanted.get(a.id), wanted.get(b.id)];
          if (!printedA || !printedB || !rectIntersection(printedA, printedB)) return [];
          return [joint.top === 'first' ? { under: b.id, over: a.id } : { under: a.id, over: b.id }];
        }),
      ),
    );
}

function seamFromMeeting(meeting: Meeting, sideId: string, keptIds: ReadonlySet<string>): Seam {
  const { joint, direction } = meeting;
  const [edgeOfFirst, edgeOfSecond]: [Edge, Edge] =
    direction === 'vertical' ? ['right', 'left'] : ['bottom', 'top'];
  const touching = (leaves: readonly Leaf[], edge: Edge) =>
    leaves
      .filter(({ id, edges }) => {
        const at = edges[edge];
        return keptIds.has(id) && at.kind === 'joint' && at.joint === joint;
      })
      .map(({ id }) => id);
  return {
    id: joint.id,
    sideId,
    direction,
    joint: joint.kind,
    at: joint.atMm,
    span: meeting.span,
    firstMm: joint.firstMm,
    secondMm: joint.secondMm,
    overlapMm: jointOverlap(joint),
    top: joint.top,
    firstPanelIds: touching(meeting.first, edgeOfFirst),
    secondPanelIds: touching(meeting.second, edgeOfSecond),
  };
}

function coveredArea(net: Rect<'finished'>, openings: readonly Rect<'finished'>[]): number {
  const inside = openings.flatMap((opening) => rectIntersection(net, opening) ?? []);
  return net.width * net.height - rectsUnionArea(inside);
}

function edgeRecord<T>(of: (edge: Edge) => T): Record<Edge, T> {
  const [top, right, bottom, left] = EDGES.map(of) as [T, T, T, T];
  return { top, right, bottom, left };
}
