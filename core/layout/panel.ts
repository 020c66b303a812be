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
 * on an edge of the body, or not at all, because the neighbor covers it. A good layout needs no trimming in the shop.
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
  /** How far this panel's image extends past the seam line. */
  readonly allowanceMm: Mm;
  /** Width of the band that both panels print: the printed overlap. */
  readonly overlapMm: Mm;
  readonly trim: EdgeTrim;
  /** Panels across the seam, with the stretch of the edge where they meet. */
  readonly neighbors: readonly Neighbor[];
}

/** Overlap that remains after the upper panel is trimmed on the seam line; 0 at butt and body-gap seams. */
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
 *     │ │ ┌ net ─────────────┐ │ │   net = visible when installed
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
  /** The film that it is printed on, see core/job/job-films.ts. */
  readonly filmId: string;
  /** The day of the installation; absent: the first. */
  readonly installDay?: number;
  readonly net: Rect<'finished'>;
  /**
   * Set where an edge slopes or curves: the visible area, of which `net` is the bounding rectangle, and the area that
   * must be printed.
   */
  readonly shape?: PanelShape;
  readonly printed: Rect<'finished'>;
  readonly film: Rect<'finished'>;
  /** Allowance per edge that is needed but not on the page. */
  readonly missing: EdgeLengths;
  readonly edges: Readonly<Record<Edge, PanelEdge>>;
  /** Net area minus the no-film areas in it, in mm². */
  readonly coveredAreaMm2: number;
  /** Present only for a patch; see patch.ts. */
  readonly patch?: PatchFacts;
  /** Present only for a panel on the glass of a window; see window-panels.ts. */
  readonly glass?: GlassFacts;
}

export interface GlassFacts {
  /** Id of the no-film area that is the glass. */
  readonly areaId: string;
  readonly name: string;
  /** How far its film ends inside the seal. */
  readonly sealMm: Mm;
  /** Visible area. */
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
  /** Lettering that an edge still cuts. */
  readonly cut: readonly Rect<'finished'>[];
}

export interface PanelShape {
  readonly edges: EdgePaths;
  readonly finished: Outline;
  /** Each edge moved outward by the image needed past it, extended until the edges meet. */
  readonly needed: Outline;
}

/** The visible area of a panel, as a polygon. */
export const panelPoints = ({
  net,
  shape,
  glass,
}: Pick<Panel, 'net' | 'shape' | 'glass'>): readonly Point<'finished'>[] =>
  glass?.points ?? shape?.finished.points ?? rectPoints(net);

/** The same, only for a panel that is not a rectangle. */
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

/** The span of an edge. */
export const panelEdgeSpan = ({ net, shape }: Pick<Panel, 'net' | 'shape'>, edge: Edge): Interval =>
  edgeSpan(net, shape?.finished, edge);

/** A seam line with the panels that meet at it. */
export interface Seam {
  readonly id: string;
  readonly sideId: string;
  readonly direction: SeamDirection;
  readonly joint: JointKind;
  /** Position of the line across its direction; for a seam with shape, its mean. */
  readonly at: Mm;
  /** Path of the seam, where it is not straight at `at`. */
  readonly path?: Path;
  /**
   * Factor from a width across the seam to the width perpendicular to it, at its steepest place; 1 where it is
   * straight.
   */
  readonly squareShare: number;
  /** Extent of the seam along its direction. */
  readonly span: Interval;
  /** How far each part extends past the seam, perpendicular to it, at its narrowest place. */
  readonly firstMm: Mm;
  readonly secondMm: Mm;
  /** The printed overlap perpendicular to the seam, at its narrowest place. */
  readonly overlapMm: Mm;
  readonly top: 'first' | 'second';
  readonly firstPanelIds: readonly string[];
  readonly secondPanelIds: readonly string[];
}
