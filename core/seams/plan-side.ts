import { z } from 'zod';
import { JointKind, type LineShape } from '../job/schema.ts';
import type { Lettering } from '../lettering/lettering.ts';
import type { Path } from '../measure/path.ts';
import type { EdgeLengths, Point, Rect } from '../measure/rect.ts';
import { mmSchema } from '../measure/schemas.ts';
import type { Mm } from '../measure/units.ts';
import type { CostCard } from '../shop/cost-card.ts';
import type { PictureEnergy } from './picture-energy.ts';
import type { SeamAxis } from './seam-place.ts';

export const LineKind = z.enum(['crease', 'molding', 'body-gap', 'rivet-row']);
export type LineKind = z.infer<typeof LineKind>;

/** The lines that hide a seam. */
export const HidingKind = LineKind.exclude(['rivet-row']);
export type HidingKind = z.infer<typeof HidingKind>;
export const HIDING_KINDS = HidingKind.options;

/**
 * A line of the body, straight, parallel to an edge of the side. A seam anywhere within `width` of it,
 * half to each side, is hidden by it, unless it is a rivet row.
 */
export interface PlanLine {
  readonly id: string;
  readonly kind: LineKind;
  readonly axis: SeamAxis;
  readonly at: Mm;
  /** Beginning and end of the line, measured along it. */
  readonly from: Mm;
  readonly to: Mm;
  readonly width: Mm;
}

/**
 * A line of the body that slopes or curves. A seam may follow it over the whole width of a section, unless it is a
 * rivet row; it hides the seam from `from` to `to`; beyond them the path continues along the axis.
 */
export interface ShapedLine extends Omit<PlanLine, 'width'> {
  readonly path: Path;
  /** The shape of the body line, relative to its place `at`. */
  readonly shape: LineShape;
}

export interface PlanArea {
  readonly id: string;
  readonly rect: Rect<'finished'>;
  /** Corners of a closed outline inside the rectangle; absent: the area is the whole rectangle. */
  readonly outline?: readonly Point<'finished'>[];
}

/** An area where a seam is slow to install. */
export interface Ground extends PlanArea {
  readonly kind: 'recess' | 'curve';
  /** Surface ÷ drawn area, 1 or more, where its depth is known. */
  readonly surfaceRatio?: number;
}

/** A no-film area, with the width of the frame around it where no seam may run, because film lifts there first. */
export interface PlanNoFilmArea extends PlanArea {
  readonly margin: Mm;
}

/** Film on the glass of a window. No layout changes it, but installing it takes time. */
export interface PlanWindow {
  readonly film: { readonly width: Mm; readonly height: Mm };
  readonly squareMeters: number;
}

/**
 * How two parts meet. `first` and `second` are those of a layout's joint: each is at least 0, and their sum is the
 * overlap.
 */
export const JointShape = z.strictObject({
  kind: JointKind,
  first: mmSchema,
  second: mmSchema,
  top: z.enum(['first', 'second']),
});
export type JointShape = z.infer<typeof JointShape>;

/**
 * A lap as the shop makes it: `under` is how far the lower part extends beneath the upper one; `over` is the spare
 * image of the upper part past the seam line, which is cut away on the vehicle. With no `over`, the upper edge is
 * trimmed in the shop.
 */
export interface LapPolicy {
  readonly name: string;
  readonly under: Mm;
  readonly over: Mm;
}

/**
 * A film available for the plan. `longest` is the printer's longest print or the length left on the roll, whichever is
 * shorter.
 */
export interface FilmRoll {
  readonly name: string;
  readonly width: Mm;
  /** Width that the printer cannot print at each long edge of the film. */
  readonly sideMargin: Mm;
  readonly longest: Mm;
}

/** A film other than the one that the plan is made with. */
export interface ZoneFilm extends Pick<CostCard, 'filmPerSquareMeter' | 'laminatePerSquareMeter'> {
  readonly roll: FilmRoll;
  readonly isLaminated: boolean;
}

export interface FilmZone {
  readonly rect: Rect<'finished'>;
  /** Absent: the film of the plan. */
  readonly film?: ZoneFilm | undefined;
}

/** A seam that the operator has fixed. It stays, with its joint where one is given. */
export interface LockedSeam {
  readonly axis: SeamAxis;
  readonly at: Mm;
  readonly from: Mm;
  readonly to: Mm;
  readonly joint?: JointShape;
  /** Path of the seam, where it is not straight at `at`. */
  readonly path?: Path;
  readonly shape?: LineShape;
  /** The body line that the seam follows. */
  readonly follows?: string;
  /** The operator did not lock it: two films meet here, and it stays so that each film keeps its part of the side. */
  readonly isFilmEdge?: true;
}

/** A place, other than a body line, where a side may be divided into sections. */
export interface SectionSpace {
  readonly axis: SeamAxis;
  readonly at: Mm;
}

/** A seam of an earlier plan. A new plan keeps it unless moving it pays. */
export interface EarlierSeam {
  readonly axis: SeamAxis;
  readonly at: Mm;
  readonly path?: Path;
}

/**
 * One side as the planner sees it: finished mm, origin top left, y down. Plain values only, so that it can be sent to a
 * worker.
 */
export interface PlanSide {
  readonly width: Mm;
  readonly height: Mm;
  /** The edge that leads when the vehicle drives; absent on a rear or a hood. */
  readonly front?: 'left' | 'right';
  /** Straight lines, and the straight stretches of shaped lines that seams can meet. */
  readonly lines: readonly PlanLine[];
  readonly shapedLines: readonly ShapedLine[];
  /** Accepted no-seam areas: never crossed. */
  readonly noSeamAreas: readonly PlanArea[];
  /** Lettering that was found but not made a no-seam area: a seam may cross it at a cost. */
  readonly lettering: readonly Lettering[];
  /**
   * Spaces between lettering, and between rows of film, where the side may be divided into sections, in addition to
   * body lines.
   */
  readonly spaces: readonly SectionSpace[];
  readonly ground: readonly Ground[];
  readonly noFilmAreas: readonly PlanNoFilmArea[];
  /** Absent: none of them is printed. */
  readonly windows?: readonly PlanWindow[];
  readonly bleed: EdgeLengths;
  /** Unprinted film around every panel. */
  readonly border: Mm;
  readonly rolls: readonly FilmRoll[];
  /** Films of parts of the side; absent: the whole side is on the film of the plan. */
  readonly filmZones?: readonly FilmZone[];
  /** Longest film of a panel along the side that the crew can install; absent where there is no limit. */
  readonly longestPanel?: Mm;
  readonly laps: readonly LapPolicy[];
  /** Image that each part wraps around its edge at a gap. */
  readonly gapAllowance: Mm;
  /** Distance of film edges from the line of a rivet row: half a head plus the shop's clearance. */
  readonly rivetClearance: Mm;
  /** Smallest panel size in either direction. */
  readonly minPanel: Mm;
  readonly card: CostCard;
  readonly isLaminated: boolean;
  readonly locked: readonly LockedSeam[];
  readonly energy?: PictureEnergy;
  readonly earlier?: readonly EarlierSeam[];
}

/** The one roll and the one lap that a plan is made with: all panels of a film come from one roll (common practice). */
export interface PlanStock {
  readonly roll: FilmRoll;
  readonly lap: LapPolicy;
}

/** Width of a roll that panels can use, borders included: the width of the film minus the printer's margins. */
export const rollUsableWidth = (roll: FilmRoll): Mm => roll.width - 2 * roll.sideMargin;

/**
 * The joint that a lap makes on an axis. Upper part over lower, so that water sheds; front part over rear,
 * so that the edge trails the wind (common practice). With no front, the right part is on the left.
 */
export function jointFromLap(lap: LapPolicy, axis: SeamAxis, front: PlanSide['front']): JointShape {
  const top = axis === 'horizontal' || front === 'left' ? 'first' : 'second';
  if (lap.under + lap.over === 0) return { kind: 'butt', first: 0, second: 0, top };
  return top === 'first'
    ? { kind: 'lap', first: lap.over, second: lap.under, top }
    : { kind: 'lap', first: lap.under, second: lap.over, top };
}

export const jointFromGap = (side: PlanSide, axis: SeamAxis): JointShape => ({
  kind: 'gap',
  first: side.gapAllowance,
  second: side.gapAllowance,
  top: axis === 'horizontal' || side.front === 'left' ? 'first' : 'second',
});

/** Edges trimmed to the line in the shop: 0 or 1 for the part before the joint, and for the part after it. */
export interface JointTrims {
  readonly first: number;
  readonly second: number;
}

/**
 * A visible edge ends on its line. With spare image it is cut on the vehicle; without, the border begins on the line
 * and must come off in the shop. An edge that is under another is not trimmed. Keeps SP2.
 */
export function jointTrims({ kind, first, second, top }: JointShape, border: Mm): JointTrims {
  const isUnder = (part: JointShape['top']) => kind === 'lap' && top !== part;
  return {
    first: isUnder('first') ? 0 : edgeTrims(first, border),
    second: isUnder('second') ? 0 : edgeTrims(second, border),
  };
}

/** The same for an edge on the outline of the side. */
export const edgeTrims = (allowance: Mm, border: Mm): number => (allowance <= 0 && border > 0 ? 1 : 0);

/** A rectangle relative to an axis: seams of the axis have their position along `along` and run along `across`. */
export interface AxisRect {
  readonly alongStart: Mm;
  readonly alongEnd: Mm;
  readonly acrossStart: Mm;
  readonly acrossEnd: Mm;
}

export function axisRect(axis: SeamAxis, r: Rect): AxisRect {
  const [x0, x1, y0, y1] = [r.x, r.x + r.width, r.y, r.y + r.height];
  return axis === 'vertical'
    ? { alongStart: x0, alongEnd: x1, acrossStart: y0, acrossEnd: y1 }
    : { alongStart: y0, alongEnd: y1, acrossStart: x0, acrossEnd: x1 };
}

/** Length of a side along the positions of an axis. */
export const sideLength = (side: PlanSide, axis: SeamAxis): Mm =>
  axis === 'vertical' ? side.width : side.height;
/** Length of a seam that runs right across a side. */
export const sideAcross = (side: PlanSide, axis: SeamAxis): Mm =>
  axis === 'vertical' ? side.height : side.width;
