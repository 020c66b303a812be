import { z } from 'zod';
import type { JointKind, SeamDirection, SeamTrim } from '../job/schema.ts';
import type { Interval } from '../measure/interval.ts';
import { type EdgePaths, edgeSpan, type Outline } from '../measure/outline.ts';
import { pairsAround } from '../measure/pairs.ts';
import { type Path, pathRange } from '../measure/path.ts';
import {
  type Edge,
  type EdgeLengths,
  type Point,
  type Rect,
  rectFromEdges,
  rectPoints,
} from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';

/**
 * How the film of an edge is cut to its line: in the shop before packing, on the vehicle over cutting tape, in a gap or
 * on an edge of the body, or not at all, because the neighbor covers it. Nothing trimmed in the shop is what a good
 * layout strives for.
 */
export type EdgeTrim = SeamTrim | 'shop' | 'none';

/** An edge on the outline of the side. */
export interface OuterEdge {
  readonly kind: 'outer';
  readonly allowanceMm: Mm;
  readonly trim: EdgeTrim;
}

/** An edge along a seam. `lies` says whether this panel is over or under its neighbor there. */
export interface SeamEdge {
  readonly kind: 'seam';
  readonly seamId: string;
  readonly joint: JointKind;
  readonly lies: 'over' | 'under' | 'edge-to-edge' | 'apart';
  /** How far this panel's own image runs past the seam line. */
  readonly allowanceMm: Mm;
  /** Width in which both panels carry the same image: the printed overlap. */
  readonly overlapMm: Mm;
  readonly trim: EdgeTrim;
  /** Panels on the other side of the seam, with the stretch of the edge along which they meet. */
  readonly neighbors: readonly Neighbor[];
}

/** What stays covered at the edge once the upper panel is trimmed on the seam line; 0 at butt and body-gap seams. */
export const edgeFinishedOverlap = ({ lies, allowanceMm, overlapMm }: SeamEdge): Mm =>
  lies === 'under' ? allowanceMm : Math.max(0, overlapMm - allowanceMm);

export interface Neighbor {
  readonly panelId: string;
  readonly along: Interval;
}

export type PanelEdge = OuterEdge | SeamEdge;

/**
 * One piece of film. All rectangles are derived, in finished space of its side:
 *
 *     ┌ film ────────────────────┐   film = printed + border
 *     │ ┌ printed ─────────────┐ │   printed = net + allowances, as far as artwork exists
 *     │ │ ┌ net ─────────────┐ │ │   net = what is seen when installed
 *     │ │ └──────────────────┘ │ │
 *     │ └──────────────────────┘ │
 *     └──────────────────────────┘
 */
export interface Panel {
  readonly id: string;
  readonly sideId: string;
  /** Side code and number, such as LH-03. */
  readonly label: string;
  readonly number: number;
  /** Place in the install order of its side, from 1. */
  readonly order: number;
  /** What it is printed on, see core/job/job-films.ts. */
  readonly filmId: string;
  /** On which day of the installation; absent: the first. */
  readonly installDay?: number;
  readonly net: Rect<'finished'>;
  /** Where an edge slopes or curves: what is seen, of which `net` is the bounding rectangle, and what must be printed. */
  readonly shape?: PanelShape;
  readonly printed: Rect<'finished'>;
  readonly film: Rect<'finished'>;
  /** Allowance that was asked for but where the page holds no artwork, per edge. */
  readonly missing: EdgeLengths;
  readonly edges: Readonly<Record<Edge, PanelEdge>>;
  /** Net area less the no-film areas in it, in mm². */
  readonly coveredAreaMm2: number;
  /** Of a patch alone; see patch.ts. */
  readonly patch?: PatchFacts;
  /** Of a panel on the glass of a window alone; see window-panels.ts. */
  readonly glass?: GlassFacts;
}

export interface GlassFacts {
  /** Id of the no-film area that is the glass. */
  readonly areaId: string;
  readonly name: string;
  /** How far its film ends inside the seal. */
  readonly sealMm: Mm;
  /** What is seen of it. */
  readonly points: readonly Point<'finished'>[];
}

/** Panels on the body: all but those on glass. */
export const bodyPanels = (panels: readonly Panel[]): readonly Panel[] =>
  panels.filter(({ glass }) => !glass);

/** Where an edge of a patch ends. */
export const PatchEnd = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('on-panel'), lapMm: z.number() }),
  z.strictObject({ kind: z.literal('body-line'), name: z.string(), lapMm: z.number() }),
  z.strictObject({ kind: z.literal('panel-edge') }),
]);
export type PatchEnd = z.infer<typeof PatchEnd>;

export interface PatchFacts {
  /** Id of the panel under it. */
  readonly of: string;
  /** The part of the damage on that panel. */
  readonly damage: Rect<'finished'>;
  /** Whether there is damage beside that panel, too. */
  readonly isDamageBeyond: boolean;
  readonly ends: Readonly<Record<Edge, PatchEnd>>;
  /** Lettering that an edge cuts all the same. */
  readonly cut: readonly Rect<'finished'>[];
}

export interface PanelShape {
  readonly edges: EdgePaths;
  readonly finished: Outline;
  /** Each edge moved outward by what is asked for past it, prolonged until the edges meet. */
  readonly needed: Outline;
}

/** What is seen of a panel, as a polygon. */
export const panelPoints = ({
  net,
  shape,
  glass,
}: Pick<Panel, 'net' | 'shape' | 'glass'>): readonly Point<'finished'>[] =>
  glass?.points ?? shape?.finished.points ?? rectPoints(net);

/** The same where it is no rectangle. */
export const panelOutline = ({
  shape,
  glass,
}: Pick<Panel, 'shape' | 'glass'>): readonly Point<'finished'>[] | undefined =>
  shape?.finished.points ?? (glass && !isUprightRect(glass.points) ? glass.points : undefined);

const isUprightRect = (points: readonly Point[]): boolean =>
  points.length === 4 && pairsAround(points).every(([from, to]) => from.x === to.x || from.y === to.y);

/** A rectangle inside the visible area, between the innermost places of its edges: room for text. */
export function panelInside({ net, shape }: Pick<Panel, 'net' | 'shape'>): Rect<'finished'> {
  if (!shape) return net;
  const across = (edge: Edge) => pathRange(shape.edges[edge], shape.finished.spans[edge]);
  const [left, top, right, bottom] = [
    across('left').end,
    across('top').end,
    across('right').start,
    across('bottom').start,
  ];
  return right > left && bottom > top ? rectFromEdges(left, top, right, bottom) : net;
}

/** From where to where an edge runs. */
export const panelEdgeSpan = ({ net, shape }: Pick<Panel, 'net' | 'shape'>, edge: Edge): Interval =>
  edgeSpan(net, shape?.finished, edge);

/** A seam line with the panels that meet along it. */
export interface Seam {
  readonly id: string;
  readonly sideId: string;
  readonly direction: SeamDirection;
  readonly joint: JointKind;
  /** Where the line lies across its direction; of one with shape, its mean. */
  readonly at: Mm;
  /** Where it runs, if it is not straight at `at`. */
  readonly path?: Path;
  /** What a width across it is square to the seam, where it is steepest: 1 where it is straight. */
  readonly squareShare: number;
  /** From where to where the seam runs, along its own direction. */
  readonly span: Interval;
  /** How far each part extends past the seam, square to it: the least of it. */
  readonly firstMm: Mm;
  readonly secondMm: Mm;
  /** The printed overlap, square to the seam: the least of it. */
  readonly overlapMm: Mm;
  readonly top: 'first' | 'second';
  readonly firstPanelIds: readonly string[];
  readonly secondPanelIds: readonly string[];
}
