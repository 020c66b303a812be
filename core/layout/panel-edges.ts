/** What each edge of a panel has: its image past the edge, its neighbors, and its trim. */
import { doorsAtSeam } from '../job/door.ts';
import type { Joint, SeamTrim, Side } from '../job/schema.ts';
import { type Interval, intervalIntersection } from '../measure/interval.ts';
import { edgeAxis, edgeSpan } from '../measure/outline.ts';
import { type Path, pathSteepness } from '../measure/path.ts';
import { valueAt } from '../measure/present.ts';
import { EDGES, type Edge, type EdgeLengths } from '../measure/rect.ts';
import type { EdgeTrim, Neighbor, OuterEdge, PanelEdge, SeamEdge } from './panel.ts';
import type { Leaf, Meeting, RegionEdge } from './region-leaves.ts';

/** How far the printed image of a leaf extends past its net rectangle at each edge. */
export function leafAllowances(leaf: Leaf, side: Side): EdgeLengths {
  return edgeRecord((edge) => edgeAllowance(leaf.edges[edge], edge, side));
}

/** Keeps PN2. */
function edgeAllowance(at: RegionEdge, edge: Edge, side: Side): number {
  if (at.kind === 'outer') return side.bleed[edge];
  return at.isFirst ? at.joint.firstMm : at.joint.secondMm;
}

/** Job settings that apply to all edges. */
export interface EdgeDefaults {
  readonly borderMm: number;
  readonly seamTrim: SeamTrim;
}

/** One edge of a panel for installers and production. `keptIds` are the panels that are printed. */
export function panelEdge(
  leaf: Leaf,
  edge: Edge,
  side: Side,
  { borderMm, seamTrim }: EdgeDefaults,
  {
    meetings,
    keptIds,
  }: { readonly meetings: ReadonlyMap<Joint, Meeting>; readonly keptIds: ReadonlySet<string> },
): PanelEdge {
  const at = leaf.edges[edge];
  const allowanceMm = edgeAllowance(at, edge, side);
  if (at.kind === 'outer') {
    const outer: OuterEdge = {
      kind: 'outer',
      allowanceMm,
      trim: trimWhereSeen(allowanceMm, borderMm, 'edge'),
    };
    return outer;
  }
  const { joint, isFirst } = at;
  const lies = lieOfPart(joint, isFirst);
  const share = squareShare(leaf.paths?.[edge], leafEdgeSpan(leaf, edge));
  // Film wraps into a gap and ends there. At a door where film does not wrap around the edges, it ends on the edge.
  const gapTrim = (): SeamTrim => {
    const doors = doorsAtSeam(side, { direction: edgeAxis(edge), joint, span: leafEdgeSpan(leaf, edge) });
    return doors.some(({ isEdgeWrapped }) => !isEdgeWrapped) ? 'edge' : 'gap';
  };
  const seam: SeamEdge = {
    kind: 'seam',
    seamId: joint.id,
    joint: joint.kind,
    lies,
    allowanceMm: allowanceMm * share,
    overlapMm: jointOverlap(joint) * share,
    trim:
      lies === 'under'
        ? 'none'
        : trimWhereSeen(allowanceMm, borderMm, lies === 'apart' ? gapTrim() : (joint.trim ?? seamTrim)),
    neighbors: edgeNeighbors(leaf, edge, joint, isFirst, { meetings, keptIds }),
  };
  return seam;
}

/**
 * A visible edge ends on its line. With spare image it is cut on the vehicle; without, the unprinted border begins on
 * the line and must come off before the panel leaves the shop. Keeps TR1.
 */
function trimWhereSeen(allowanceMm: number, borderMm: number, onVehicle: SeamTrim): EdgeTrim {
  if (allowanceMm > 0) return onVehicle;
  return borderMm > 0 ? 'shop' : 'none';
}

function lieOfPart(joint: Joint, isFirst: boolean): SeamEdge['lies'] {
  if (joint.kind === 'butt') return 'edge-to-edge';
  if (joint.kind === 'gap') return 'apart';
  return (joint.top === 'first') === isFirst ? 'over' : 'under';
}

/** Width of the band that both parts print; a body-gap seam has none, because its two allowances wrap into the gap. */
export function jointOverlap(joint: Joint): number {
  return joint.kind === 'lap' ? joint.firstMm + joint.secondMm : 0;
}

function edgeNeighbors(
  leaf: Leaf,
  edge: Edge,
  joint: Joint,
  isFirst: boolean,
  {
    meetings,
    keptIds,
  }: { readonly meetings: ReadonlyMap<Joint, Meeting>; readonly keptIds: ReadonlySet<string> },
): Neighbor[] {
  const meeting = valueAt(meetings, joint);
  const seamEdge: Edge =
    meeting.direction === 'vertical' ? (isFirst ? 'left' : 'right') : isFirst ? 'top' : 'bottom';
  return (isFirst ? meeting.second : meeting.first).flatMap((other) => {
    const atSameJoint = other.edges[seamEdge];
    const along = intervalIntersection(leafEdgeSpan(leaf, edge), leafEdgeSpan(other, seamEdge));
    const isTouching = atSameJoint.kind === 'joint' && atSameJoint.joint === joint;
    return isTouching && along && keptIds.has(other.id) ? [{ panelId: other.id, along }] : [];
  });
}

const leafEdgeSpan = ({ net, outline }: Leaf, edge: Edge): Interval => edgeSpan(net, outline, edge);

/**
 * Factor from a width across a path to the width perpendicular to it, at its steepest place: 1 along its axis, 0.8 at a
 * rise of 3 in 4.
 */
export const squareShare = (path: Path | undefined, span: Interval): number =>
  path ? 1 / Math.hypot(1, pathSteepness(path, span)) : 1;

/** One value per edge. */
export function edgeRecord<T>(of: (edge: Edge) => T): Record<Edge, T> {
  const [top, right, bottom, left] = EDGES.map(of) as [T, T, T, T];
  return { top, right, bottom, left };
}
