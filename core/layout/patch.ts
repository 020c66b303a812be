/**
 * A patch: film over a damaged part of an installed panel, cut from the same place of the artwork.
 *
 *     ┌ panel ──────────────────────────┐
 *     │        ┌ patch ─────────────┐   │   each edge of the patch is past the damage by the lap, farther out where a
 *     │        │  lap  ┌ damage ┐   │   │   body line or the edge of the panel is near or lettering would be cut
 *     │        │       └────────┘   │   │
 *     │        └────────────────────┘   │
 *     └─────────────────────────────────┘
 */
import { bodyLineSpan } from '../job/body-line.ts';
import { sideLines } from '../job/door.ts';
import type { Job } from '../job/schema.ts';
import { type Interval, intervalIntersection } from '../measure/interval.ts';
import { edgeAxis, edgesGrown, outlineFromEdges } from '../measure/outline.ts';
import { pathRange, straightPath } from '../measure/path.ts';
import { present } from '../measure/present.ts';
import {
  EDGES,
  type Edge,
  edgeLengthsAll,
  type Rect,
  rectArea,
  rectBottom,
  rectFromEdges,
  rectGrown,
  rectHorizontal,
  rectIntersection,
  rectRight,
  rectVertical,
} from '../measure/rect.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../measure/result.ts';
import type { Mm } from '../measure/units.ts';
import type { Panel, PanelEdge, PanelShape, PatchEnd, PatchFacts } from './panel.ts';
import { edgeRecord } from './panel-edges.ts';
import type { SideLayout } from './side-layout.ts';

/** How far past its lap a patch may grow so that its edge is hidden. Common practice, no source. */
export const PATCH_REACH_MM: Mm = 150;
/** Distance kept from lettering, so that trimming does not touch it. Common practice, no source. */
const LETTERING_CLEAR_MM: Mm = 10;

export interface PatchOrder {
  readonly panelId: string;
  /** Finished mm on the side. */
  readonly damage: Rect<'finished'>;
  /** Number among the patches of its panel, from 1. */
  readonly number: number;
}

/** A patch as a panel of its side. */
export type Patch = Panel & { readonly patch: PatchFacts };

interface PlacedEnd {
  /** Position of the edge across its axis. */
  readonly at: Mm;
  readonly end: PatchEnd;
}

/** `lettering`: the known lettering of the side. Problems: `patch-outside`, `panel-unknown`. Keeps PAT1. */
export function patchOf(
  job: Job,
  layout: SideLayout,
  order: PatchOrder,
  lettering: readonly Rect<'finished'>[],
): Result<Patch, Problem<'patch-outside' | 'panel-unknown'>> {
  const of = layout.panels.find(({ id }) => id === order.panelId);
  if (!of)
    return resultProblem({
      code: 'panel-unknown',
      message: `Side ${layout.side.code} has no panel ${order.panelId}.`,
      remedy: `Select one of ${layout.panels.map(({ label }) => label).join(', ')}.`,
    });
  const damage = rectIntersection(order.damage, of.net);
  if (!damage || rectArea(damage) <= 0)
    return resultProblem({
      code: 'patch-outside',
      message: `The damage lies outside panel ${of.label}.`,
      remedy: 'Draw it on the panel, or select the panel that it lies on.',
    });
  const ends = placedEnds(job, layout, of, damage, lettering);
  const panel = patchPanel(job, of, ends, order.number);
  return resultOk({
    ...panel,
    patch: {
      of: of.id,
      damage,
      isDamageBeyond: rectArea(order.damage) - rectArea(damage) > 1,
      ends: edgeRecord((edge) => ends[edge].end),
      cut: lettering.filter((rect) => isCut(rect, panel.net, ends)),
    },
  });
}

type Ends = Readonly<Record<Edge, PlacedEnd>>;

const isFirst = (edge: Edge): boolean => edge === 'left' || edge === 'top';
/** The direction out of the patch. */
const outward = (edge: Edge): 1 | -1 => (isFirst(edge) ? -1 : 1);
const edgeOf = (rect: Rect, edge: Edge): Mm =>
  ({ top: rect.y, right: rectRight(rect), bottom: rectBottom(rect), left: rect.x })[edge];
const spanAlong = (rect: Rect, edge: Edge): Interval =>
  edgeAxis(edge) === 'horizontal' ? rectHorizontal(rect) : rectVertical(rect);
const rectOfEnds = (ends: Ends): Rect<'finished'> =>
  rectFromEdges(ends.left.at, ends.top.at, ends.right.at, ends.bottom.at);

/** Edges move outward only, each by a limited distance, so the search ends. */
function placedEnds(
  job: Job,
  layout: SideLayout,
  of: Panel,
  damage: Rect<'finished'>,
  lettering: readonly Rect<'finished'>[],
): Ends {
  const lapMm = job.limits.minOverlapMm;
  let ends: Ends = edgeRecord((edge) => {
    const least = edgeOf(damage, edge) + outward(edge) * lapMm;
    return endFrom({ job, layout, of, damage }, edge, least);
  });
  for (let round = 0; round < 4; round++) {
    const before = ends;
    for (const edge of EDGES)
      ends = { ...ends, [edge]: endPastLettering({ job, layout, of, damage }, edge, ends, lettering) };
    if (EDGES.every((edge) => ends[edge].at === before[edge].at)) break;
  }
  return ends;
}

interface Damaged {
  readonly job: Job;
  readonly layout: SideLayout;
  readonly of: Panel;
  readonly damage: Rect<'finished'>;
}

/** The first place at or past `least` where an edge is hidden, or `least` itself. Keeps PAT2. */
function endFrom({ job, layout, of, damage }: Damaged, edge: Edge, least: Mm): PlacedEnd {
  const way = outward(edge);
  const lapAt = (at: Mm): Mm => Math.abs(at - edgeOf(damage, edge));
  const toPanelEdge = (innermostEdge(of, edge, spanAlong(damage, edge)) - least) * way;
  const { rivetClearanceMm, rivetHeadMm } = job.limits;
  const lines = sideLines(layout.side)
    .filter(({ direction, shape }) => direction === edgeAxis(edge) && !shape)
    .filter((line) => {
      const span = bodyLineSpan(line, layout.outline);
      const along = spanAlong(damage, edge);
      return span.start <= along.start && span.end >= along.end;
    })
    .map((line) => {
      const keep = line.kind === 'rivet-row' ? rivetClearanceMm + rivetHeadMm / 2 : 0;
      const beyond = line.atMm - way * keep;
      // Short of the rivets where that still leaves enough lap, else past them.
      return { name: line.name, at: (beyond - least) * way >= 0 ? beyond : line.atMm + way * keep };
    })
    .filter(({ at }) => {
      const past = (at - least) * way;
      return past >= 0 && past <= PATCH_REACH_MM && past < toPanelEdge;
    })
    .toSorted((a, b) => (a.at - b.at) * way);
  const [line] = lines;
  if (line) return { at: line.at, end: { kind: 'body-line', name: line.name, lapMm: lapAt(line.at) } };
  if (toPanelEdge <= PATCH_REACH_MM) return { at: edgeOf(of.net, edge), end: { kind: 'panel-edge' } };
  return { at: least, end: { kind: 'on-panel', lapMm: lapAt(least) } };
}

/** How far in an edge of the panel extends beside the damage. */
function innermostEdge({ net, shape }: Panel, edge: Edge, along: Interval): Mm {
  if (!shape) return edgeOf(net, edge);
  const range = pathRange(shape.edges[edge], along);
  return isFirst(edge) ? range.end : range.start;
}

/** Moves the edge past lettering that it would cut, where that is near enough; else leaves it in place. Keeps PAT3. */
function endPastLettering(
  { job, layout, of, damage }: Damaged,
  edge: Edge,
  ends: Ends,
  lettering: readonly Rect<'finished'>[],
): PlacedEnd {
  const now = ends[edge];
  if (now.end.kind === 'panel-edge') return now;
  const way = outward(edge);
  const first = edgeOf(damage, edge) + way * job.limits.minOverlapMm;
  let placed = now;
  for (let tries = 0; tries < 8; tries++) {
    const rect = rectOfEnds({ ...ends, [edge]: placed });
    const cut = lettering.filter((each) => isCutBy(each, edge, rect));
    if (cut.length === 0) return placed;
    const past = Math.max(...cut.map((each) => edgeOf(each, edge) * way)) * way + way * LETTERING_CLEAR_MM;
    if ((past - first) * way > PATCH_REACH_MM) return now;
    placed = endFrom({ job, layout, of, damage }, edge, past);
    if (placed.end.kind === 'panel-edge') return placed;
  }
  return now;
}

/** Whether this edge of the rectangle runs through it. */
function isCutBy(lettering: Rect<'finished'>, edge: Edge, rect: Rect<'finished'>): boolean {
  const across = edgeAxis(edge) === 'horizontal' ? rectVertical(lettering) : rectHorizontal(lettering);
  const at = edgeOf(rect, edge);
  const shared = intervalIntersection(spanAlong(lettering, edge), spanAlong(rect, edge));
  return shared !== undefined && at > across.start && at < across.end;
}

/** Where the patch ends at the edge of its panel, it may cut what the panel cut. */
const isCut = (lettering: Rect<'finished'>, rect: Rect<'finished'>, ends: Ends): boolean =>
  EDGES.some((edge) => ends[edge].end.kind !== 'panel-edge' && isCutBy(lettering, edge, rect));

function patchPanel(job: Job, of: Panel, ends: Ends, number: number): Panel {
  const id = `${of.id}-patch-${number}`;
  const plain = rectOfEnds(ends);
  const edges = edgeRecord((edge) => patchEdge(of, edge, ends[edge], spanAlong(plain, edge), id));
  const past = edgeRecord((edge) => edges[edge].allowanceMm);
  const shape = of.shape && patchShape(of.shape, ends, past);
  const net = shape?.finished.rect ?? plain;
  const asked = shape?.needed.rect ?? rectGrown(plain, past);
  const printed = present(rectIntersection(asked, of.printed), 'What of a panel a patch prints');
  return {
    id,
    sideId: of.sideId,
    label: `${of.label} patch ${number}`,
    number: of.number,
    order: of.order,
    filmId: of.filmId,
    net,
    ...(shape && { shape }),
    printed,
    film: rectGrown(printed, edgeLengthsAll(job.output.borderMm)),
    missing: edgeLengthsAll(0),
    edges,
    coveredAreaMm2: rectArea(net),
  };
}

/** Where it ends at an edge of the panel, the patch takes the shape of that edge. */
function patchShape(of: PanelShape, ends: Ends, past: Readonly<Record<Edge, Mm>>): PanelShape | undefined {
  const edges = edgeRecord((edge) =>
    ends[edge].end.kind === 'panel-edge' ? of.edges[edge] : straightPath(ends[edge].at),
  );
  const finished = outlineFromEdges(edges);
  const needed = outlineFromEdges(edgesGrown(edges, past));
  return finished && needed && { edges, finished, needed };
}

/**
 * On top of the panel it is trimmed in the shop, because no blade may cut on film that stays. Where the panel goes
 * under its neighbor, the patch ends at the neighbor's edge. At its other edges it does the same as the panel.
 */
function patchEdge(of: Panel, edge: Edge, { end }: PlacedEnd, along: Interval, id: string): PanelEdge {
  const own = of.edges[edge];
  if (end.kind !== 'panel-edge')
    return {
      kind: 'seam',
      seamId: `${id}-${edge}`,
      joint: 'lap',
      lies: 'over',
      allowanceMm: 0,
      overlapMm: end.lapMm,
      trim: 'shop',
      neighbors: [{ panelId: of.id, along }],
    };
  if (own.kind === 'outer') return own;
  const neighbors = own.neighbors.flatMap((neighbor) => {
    const shared = intervalIntersection(neighbor.along, along);
    return shared ? [{ ...neighbor, along: shared }] : [];
  });
  if (own.lies !== 'under') return { ...own, neighbors };
  return {
    ...own,
    neighbors,
    joint: 'butt',
    lies: 'edge-to-edge',
    allowanceMm: 0,
    overlapMm: 0,
    trim: 'shop',
  };
}

/** The side with a patch among its panels, so that it is cut, labeled and nested like a panel. */
export const layoutWithPatch = (layout: SideLayout, patch: Patch): SideLayout => ({
  ...layout,
  panels: [...layout.panels, patch],
});
