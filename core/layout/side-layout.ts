/**
 * Derives the panels and seams of a side from its layout tree. It takes microseconds, so it is repeated on every
 * request rather than stored.
 *
 * ```ts
 * import { jobEmpty } from '../job/defaults.ts';
 * import { panelSplit, sideAdd } from '../job/edits/edits.ts';
 *
 * let job = jobEmpty({ id: 'j1', number: 'ACL-7', name: 'Bookmobile', customer: 'Library', date: '2026-11-25' });
 * const artworkRect = { xMm: 0, yMm: 0, widthMm: 500, heightMm: 200 };
 * job = sideAdd(job, { side: { name: 'Left side', code: 'LH', page: 1, artworkRect, front: 'left' } }).value;
 * const [side] = job.sides;
 * job = panelSplit(job, { sideId: side.id, panelId: side.layout.id, seams: 'vertical', atMm: 1900 }).value;
 * const [layout] = jobLayout(job);
 * layout.panels.map(({ label, net }) => [label, net.x, net.width]); // → [['LH-01', 1900, 3100], ['LH-02', 0, 1900]]
 * ```
 */

import { type AreaShape, areaPoints } from '../job/area-shape.ts';
import { sideFilmId } from '../job/job-films.ts';
import { linePath } from '../job/line-path.ts';
import { isLevelAround } from '../job/region.ts';
import type { Job, Side } from '../job/schema.ts';
import { sideOutline } from '../job/side-outline.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import { sideCalled } from '../job/vehicles.ts';
import {
  edgesGrown,
  isPolygonOverlapping,
  type Outline,
  outlineFromEdges,
  polygonArea,
  polygonClipped,
} from '../measure/outline.ts';
import { pathMean } from '../measure/path.ts';
import { polygonCoveredArea } from '../measure/polygon.ts';
import { valueAt } from '../measure/present.ts';
import {
  type Edge,
  edgeLengthsAll,
  isRectWithin,
  type Rect,
  rectExcess,
  rectGrown,
  rectIntersection,
  rectPoints,
  rectsApart,
  rectsUnionArea,
} from '../measure/rect.ts';
import { finishedFromDrawn } from '../measure/spaces.ts';
import { installOrder, type LapConstraint } from './install-order.ts';
import { panelNumbers } from './numbering.ts';
import type { Panel, Seam } from './panel.ts';
import { edgeRecord, jointOverlap, leafAllowances, panelEdge, squareShare } from './panel-edges.ts';
import { type Leaf, type Meeting, type RegionEdge, regionLeaves } from './region-leaves.ts';
import { printedWindows, windowPanels } from './window-panels.ts';

export interface SideLayout {
  /** The side of the job, except for its code: `T-LH` where the job has several types of vehicle. */
  readonly side: Side;
  /** The side itself: origin (0, 0), finished size. */
  readonly outline: Rect<'finished'>;
  /** The extent of the artwork on the page, in finished space of this side; undefined before the artwork is read. */
  readonly artwork: Rect<'finished'> | undefined;
  /** In install order: panels on the body, then those on glass. */
  readonly panels: readonly Panel[];
  readonly seams: readonly Seam[];
  /** Panels wholly within a no-film area: no film is printed for them. */
  readonly droppedPanelIds: readonly string[];
}

/**
 * The extent of the artwork on each page, in drawn mm, by page number. The rectangle begins left of or above the origin
 * where the page shows more than the box that drawn space is measured from, such as bleed around a trim box.
 */
export type PageExtents = ReadonlyMap<number, Rect<'drawn'>>;

export { jointOverlap, sideOutline };

export function jobLayout(job: Job, pages?: PageExtents): SideLayout[] {
  return job.sides.map((side) => sideLayout(job, side, pages));
}

/**
 * Derives the panels of one side. `job` and `side` must be structurally valid (parts = joints + 1, joints in order
 * within their region; see core/job/job-invariants); the layout may have findings.
 */
export function sideLayout(job: Job, ofJob: Side, pages?: PageExtents): SideLayout {
  const side = sideCalled(job, ofJob);
  const outline = sideOutline(side, job.scale);
  const artwork = pageInFinished(side, job.scale, pages);
  const meetings: Meeting[] = [];
  const outer: RegionEdge = { kind: 'outer' };
  const leaves = regionLeaves(
    side.layout,
    { rect: outline },
    { top: outer, right: outer, bottom: outer, left: outer },
    meetings,
  );

  const { noFilmAreas } = side;
  const isDropped = (leaf: Leaf) => noFilmAreas.some((noFilmArea) => isLeafWithin(leaf, noFilmArea));
  const kept = leaves.filter((leaf) => !isDropped(leaf));
  const keptIds = new Set(kept.map((leaf) => leaf.id));

  const wanted = new Map(kept.map((leaf) => [leaf.id, leafNeeded(leaf, side)]));
  const order = installOrder(
    kept.map(({ id, net }) => ({ id, net })),
    lapConstraints(meetings, wanted),
    side.front,
  );
  const numbers = panelNumbers(kept, order, job.output.numbering);
  const places = new Map(order.map((id, index) => [id, index + 1]));
  const defaults = { borderMm: job.output.borderMm, seamTrim: job.limits.seamTrim ?? 'tape' };
  const meetingOf = new Map(meetings.map((meeting) => [meeting.joint, meeting]));

  const count = kept.length + printedWindows(side).length;
  const windows = windowPanels(side, {
    before: kept.length,
    labelOf: (number) => panelLabel(side.code, number, count),
    borderMm: job.output.borderMm,
    artwork,
  });
  const panels = kept.map((leaf): Panel => {
    const { rect: asked, needed } = valueAt(wanted, leaf.id);
    const { paths, outline: finished } = leaf;
    const printed = (artwork && rectIntersection(asked, artwork)) ?? asked;
    const number = valueAt(numbers, leaf.id);
    return {
      id: leaf.id,
      sideId: side.id,
      label: panelLabel(side.code, number, count),
      number,
      order: valueAt(places, leaf.id),
      filmId: leaf.filmId ?? sideFilmId(side),
      ...dayOf(leaf.installDay ?? side.installDay),
      net: leaf.net,
      ...(paths && finished && needed && { shape: { edges: paths, finished, needed } }),
      printed,
      film: rectGrown(printed, edgeLengthsAll(job.output.borderMm)),
      missing: artwork ? rectExcess(asked, artwork) : edgeLengthsAll(0),
      edges: edgeRecord((edge) => panelEdge(leaf, edge, side, defaults, { meetings: meetingOf, keptIds })),
      coveredAreaMm2: coveredArea(leaf, noFilmAreas),
    };
  });

  return {
    side,
    outline,
    artwork,
    panels: [...panels.sort((a, b) => a.order - b.order), ...windows],
    seams: meetings.map((meeting) => seamFromMeeting(meeting, side.id, keptIds)),
    droppedPanelIds: leaves.filter(isDropped).map((leaf) => leaf.id),
  };
}

const dayOf = (installDay: number | undefined): Pick<Panel, 'installDay'> =>
  installDay === undefined ? {} : { installDay };

/** `LH-03`: two digits, or as many as the largest number needs. Keeps NUM2. */
export function panelLabel(sideCode: string, number: number, count: number): string {
  return `${sideCode}-${String(number).padStart(Math.max(2, String(count).length), '0')}`;
}

function pageInFinished(
  side: Side,
  scale: number,
  pages: PageExtents | undefined,
): Rect<'finished'> | undefined {
  const page = side.page === undefined ? undefined : pages?.get(side.page);
  return page && finishedFromDrawn(rectFromStored(side.artworkRect), scale).rect(page);
}

interface NeededFilm {
  readonly rect: Rect<'finished'>;
  readonly needed?: Outline;
}

/** The area that must be printed for a leaf: its edges moved outward, and the rectangle around that. */
function leafNeeded(leaf: Leaf, side: Side): NeededFilm {
  const past = leafAllowances(leaf, side);
  const needed = leaf.paths && outlineFromEdges(edgesGrown(leaf.paths, past));
  return needed ? { rect: needed.rect, needed } : { rect: rectGrown(leaf.net, past) };
}

/** Under before over, for every two panels whose printed images overlap across a lap. */
function lapConstraints(
  meetings: readonly Meeting[],
  wanted: ReadonlyMap<string, NeededFilm>,
): LapConstraint[] {
  return meetings
    .filter((meeting) => meeting.joint.kind === 'lap')
    .flatMap(({ joint, first, second }) =>
      first.flatMap((a) =>
        second.flatMap((b): LapConstraint[] => {
          const [printedA, printedB] = [wanted.get(a.id), wanted.get(b.id)];
          if (!printedA || !printedB || !rectIntersection(printedA.rect, printedB.rect)) return [];
          if (
            (printedA.needed || printedB.needed) &&
            !isPolygonOverlapping(pointsOf(printedA), pointsOf(printedB))
          )
            return [];
          return [joint.top === 'first' ? { under: b.id, over: a.id } : { under: a.id, over: b.id }];
        }),
      ),
    );
}

const pointsOf = ({ rect, needed }: NeededFilm) => needed?.points ?? rectPoints(rect);

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
  const own = linePath(joint);
  const path = joint.shape && !isLevelAround(own, meeting.span) ? own : undefined;
  const share = squareShare(path, meeting.span);
  return {
    id: joint.id,
    sideId,
    direction,
    joint: joint.kind,
    at: joint.shape ? pathMean(own, meeting.span) : joint.atMm,
    ...(path && { path }),
    squareShare: share,
    span: meeting.span,
    firstMm: joint.firstMm * share,
    secondMm: joint.secondMm * share,
    overlapMm: jointOverlap(joint) * share,
    top: joint.top,
    firstPanelIds: touching(meeting.first, edgeOfFirst),
    secondPanelIds: touching(meeting.second, edgeOfSecond),
  };
}

function isLeafWithin(leaf: Leaf, area: AreaShape): boolean {
  if (!isRectWithin(leaf.net, rectFromStored<'finished'>(area.rect))) return false;
  if (!area.outline) return true;
  const points = leafPoints(leaf);
  return polygonArea(points) - polygonCoveredArea(points, [areaPoints(area)]) <= NEGLIGIBLE_MM2;
}

/** Tolerance for sums of areas. */
const NEGLIGIBLE_MM2 = 1e-3;

const leafPoints = ({ net, outline }: Leaf) => outline?.points ?? rectPoints(net);

/** Keeps PN5. */
function coveredArea(leaf: Leaf, noFilmAreas: readonly AreaShape[]): number {
  const { net, outline } = leaf;
  const near = noFilmAreas.filter(({ rect }) => rectIntersection(net, rectFromStored<'finished'>(rect)));
  if (near.some((area) => area.outline)) {
    const points = leafPoints(leaf);
    return polygonArea(points) - polygonCoveredArea(points, near.map(areaPoints));
  }
  const inside = near.flatMap(({ rect }) => rectIntersection(net, rectFromStored<'finished'>(rect)) ?? []);
  if (!outline) return net.width * net.height - rectsUnionArea(inside);
  const taken = rectsApart(inside).reduce(
    (sum, rect) => sum + polygonArea(polygonClipped(outline.points, rect)),
    0,
  );
  return polygonArea(outline.points) - taken;
}
