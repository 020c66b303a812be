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
  /** Where the line begins and ends, measured along itself. */
  readonly from: Mm;
  readonly to: Mm;
  readonly width: Mm;
}

/**
 * A line of the body that slopes or curves. A seam may follow it over the whole width of a section, unless it is a rivet
 * row; it hides the seam from `from` to `to`, beyond which its path goes on along the axis.
 */
export interface ShapedLine extends Omit<PlanLine, 'width'> {
  readonly path: Path;
  /** The same as the body line has it, from its place `at` on. */
  readonly shape: LineShape;
}

export interface PlanArea {
  readonly id: string;
  readonly rect: Rect<'finished'>;
  /** Corners of a closed outline, which the rectangle holds; absent: the area is the rectangle. */
  readonly outline?: readonly Point<'finished'>[];
}

/** Where laying a seam is slow. */
export interface Ground extends PlanArea {
  readonly kind: 'recess' | 'curve';
  /** Surface ÷ drawn area, 1 or more, where its depth is known. */
  readonly surfaceRatio?: number;
}

/** A no-film area, with the width of the frame round it along which no seam may run: film lifts there first. */
export interface PlanNoFilmArea extends PlanArea {
  readonly margin: Mm;
}

/** Film on the glass of a window: no layout changes it, but it takes its time. */
export interface PlanWindow {
  readonly film: { readonly width: Mm; readonly height: Mm };
  readonly squareMeters: number;
}

/** How two parts meet. `first` and `second` as in a layout's joint: both at least 0, their sum is the overlap. */
export const JointShape = z.strictObject({
  kind: JointKind,
  first: mmSchema,
  second: mmSchema,
  top: z.enum(['first', 'second']),
});
export type JointShape = z.infer<typeof JointShape>;

/**
 * A lap as the shop makes it: `under` is what the lower part runs beneath the upper, `over` what the upper
 * part has to spare beyond the seam line, cut away on the vehicle. With no `over`, the upper edge is
 * trimmed in the shop.
 */
export interface LapPolicy {
  readonly name: string;
  readonly under: Mm;
  readonly over: Mm;
}

/** A film at hand. `longest` is the shorter of the printer's longest print and what the roll still holds. */
export interface FilmRoll {
  readonly name: string;
  readonly width: Mm;
  /** What the printer cannot print at each of the film's two long edges. */
  readonly sideMargin: Mm;
  readonly longest: Mm;
}

/** A film beside the one that a plan is made with. */
export interface ZoneFilm extends Pick<CostCard, 'filmPerSquareMeter' | 'laminatePerSquareMeter'> {
  readonly roll: FilmRoll;
  readonly isLaminated: boolean;
}

export interface FilmZone {
  readonly rect: Rect<'finished'>;
  /** Absent: the film that the plan is made with. */
  readonly film?: ZoneFilm | undefined;
}

/** A seam the operator has fixed. It stays, with its own joint where it has one. */
export interface LockedSeam {
  readonly axis: SeamAxis;
  readonly at: Mm;
  readonly from: Mm;
  readonly to: Mm;
  readonly joint?: JointShape;
  /** Where it runs, if it is not straight at `at`. */
  readonly path?: Path;
  readonly shape?: LineShape;
  /** The body line that it follows. */
  readonly follows?: string;
  /** Nobody has locked it: films meet at it, and it stays so that each keeps its part of the side. */
  readonly isFilmEdge?: true;
}

/** A place where sections of a side may be parted without a body line. */
export interface SectionSpace {
  readonly axis: SeamAxis;
  readonly at: Mm;
}

/** A seam of an earlier plan, which a new plan should keep unless moving it pays. */
export interface EarlierSeam {
  readonly axis: SeamAxis;
  readonly at: Mm;
  readonly path?: Path;
}

/**
 * One side as the planner sees it: finished mm, origin top left, y down. All plain values, so that it can
 * be sent to a worker as it is.
 */
export interface PlanSide {
  readonly width: Mm;
  readonly height: Mm;
  /** The edge that leads when the unit drives; absent on a rear or a bonnet. */
  readonly front?: 'left' | 'right';
  /** Straight lines, and what straight seams can meet of those with shape. */
  readonly lines: readonly PlanLine[];
  readonly shapedLines: readonly ShapedLine[];
  /** Accepted areas: never crossed. */
  readonly noSeamAreas: readonly PlanArea[];
  /** Lettering found but not made a no-seam area: crossing it costs, but is allowed. */
  readonly lettering: readonly Lettering[];
  /** Places between letterings and rows of film where sections may be parted, beside those along body lines. */
  readonly spaces: readonly SectionSpace[];
  readonly ground: readonly Ground[];
  readonly noFilmAreas: readonly PlanNoFilmArea[];
  /** Absent: none of them is printed. */
  readonly windows?: readonly PlanWindow[];
  readonly bleed: EdgeLengths;
  /** Unprinted film round every panel. */
  readonly border: Mm;
  readonly rolls: readonly FilmRoll[];
  /** Where its panels are on several films; absent: all on the film of the plan. */
  readonly filmZones?: readonly FilmZone[];
  /** The longest film of a panel that is along the side, as the crew installs it; absent where nothing limits it. */
  readonly longestPanel?: Mm;
  readonly laps: readonly LapPolicy[];
  /** Image that each part carries round its own edge at a gap. */
  readonly gapAllowance: Mm;
  /** What film edges keep from the line of a rivet row: half a head and the shop's clearance. */
  readonly rivetClearance: Mm;
  /** No panel is narrower than this, either way. */
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

/** What film of a roll can be filled with, border included: the film's width without the printer's margins. */
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

/** How many edges of the part before and of the part after a joint are trimmed to the line in the shop: 0 or 1 each. */
export interface JointTrims {
  readonly first: number;
  readonly second: number;
}

/**
 * An edge that is seen ends on its line. With image to spare it is cut on the vehicle; with none, the border begins
 * on the line and must come off in the shop. An edge that is under another is not trimmed.
 * Keeps SP2.
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

/** A rectangle seen from an axis: `along` is where seams of that axis have their position, `across` where they run. */
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

/** How long a side is along an axis's positions. */
export const sideLength = (side: PlanSide, axis: SeamAxis): Mm =>
  axis === 'vertical' ? side.width : side.height;
/** How long a seam of an axis is that runs right across a side. */
export const sideAcross = (side: PlanSide, axis: SeamAxis): Mm =>
  axis === 'vertical' ? side.height : side.width;
