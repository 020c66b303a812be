import type { Path } from '../measure/path.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { bandsUpTo, type PictureEnergy, registerBand } from './picture-energy.ts';
import { type PlanWeights, UNITS_PER_MONEY } from './plan-objective.ts';
import { axisRect, type JointShape, type PlanArea, type PlanSide, sideLength } from './plan-side.ts';
import { changePositions, changeStretches, isSeamAllowed } from './seam-limits.ts';
import { type SeamCost, seamCost, seamParts } from './seam-parts.ts';
import type { SeamAxis, SeamPlace } from './seam-place.ts';

/** Seams are placed to the millimeter. */
export const SEAM_STEP_MM = 1;

/**
 * Positions of an axis where a seam may be tried: every whole millimeter, plus the exact places of lines and of an
 * earlier plan's seams, which may be fractions. Ascending, strictly within the side.
 */
export function seamPositions(side: PlanSide, axis: SeamAxis): Float64Array {
  const length = sideLength(side, axis);
  const isTwin = (at: Mm) => Math.abs(at - Math.round(at)) <= LENGTH_TOLERANCE_MM;
  const exact = [...side.lines, ...(side.earlier ?? []).filter(({ path }) => !path)]
    .flatMap((item) => (item.axis === axis ? [item.at] : []))
    .filter((at) => !isTwin(at) && at > LENGTH_TOLERANCE_MM && at < length - LENGTH_TOLERANCE_MM);
  const between = [...new Set(exact)].sort((a, b) => a - b);
  const wholeCount = Math.max(0, Math.ceil(length) - 1);
  const positions = new Float64Array(wholeCount + between.length);
  let next = 0;
  for (let i = 0, whole = 1; i < positions.length; i++) {
    const isWhole = next === between.length || (whole <= wholeCount && whole * SEAM_STEP_MM < between[next]!);
    positions[i] = isWhole ? SEAM_STEP_MM * whole++ : between[next++]!;
  }
  return positions;
}

export const isMovedSeam = (side: PlanSide, axis: SeamAxis, at: Mm, path?: Path): boolean =>
  side.earlier !== undefined &&
  !side.earlier.some(
    (seam) => seam.axis === axis && Math.abs(seam.at - at) < 0.5 && seam.path?.length === path?.length,
  );

/** Cost of seams along one whole strip of the side, `from`..`to` across the axis of the seams. */
export interface SliceCosts {
  /** Cost at each position in units of an objective, Infinity where no seam may be. */
  units(weights: PlanWeights): Float64Array;
  /** The lowest cost in each block of positions. */
  leastUnits(weights: PlanWeights): Float64Array;
}

/** Most positions in one block of a sequence's bounds; fewer where panels may be smaller than the block. */
const MOST_IN_BLOCK = 32;

/**
 * Prices every position of every strip of one axis, for one joint. What a seam crosses changes only at a few dozen
 * positions, so each stretch between them is evaluated once. Only the picture is read at each position.
 */
export class SliceBook {
  readonly positions: Float64Array;
  /** The first position of each block, and the farthest that a block extends past it: less than the smallest panel. */
  readonly blockStarts: Float64Array;
  readonly blockSpan: Mm;
  readonly #side: PlanSide;
  readonly #axis: SeamAxis;
  readonly #joint: JointShape;
  /** One sample position per stretch, with the part of the side that is near it. */
  readonly #samples: { readonly at: Mm; readonly near: PlanSide }[] = [];
  readonly #cells: Cells;
  readonly #bands = new Map<Mm, Float64Array>();
  readonly #strips = new Map<string, SliceCosts>();
  readonly #allowed = new Map<string, Uint8Array>();

  constructor(side: PlanSide, axis: SeamAxis, joint: JointShape) {
    this.positions = seamPositions(side, axis);
    this.#side = side;
    this.#axis = axis;
    this.#joint = joint;
    const inBlock = Math.max(1, Math.min(MOST_IN_BLOCK, Math.floor(side.minPanel / SEAM_STEP_MM)));
    this.blockStarts = this.positions.filter((_, index) => index % inBlock === 0);
    this.blockSpan = (inBlock - 1) * SEAM_STEP_MM;

    const cells: Cells = { start: [], stretch: [], block: [], isMoved: [] };
    const changes = changePositions(side, axis, joint);
    const changing = changeStretches(side, axis, joint);
    const slack = 2 * LENGTH_TOLERANCE_MM;
    let next = 0;
    let stretch = -1;
    for (let index = 0; index < this.positions.length; index++) {
      const at = this.positions[index]!;
      while (next < changes.length && changes[next]! < at - slack) next++;
      // A position where something changes has a sample to itself; all positions between two changes share one.
      const isOnChange =
        (next < changes.length && changes[next]! <= at + slack) ||
        changing.some(({ start, end }) => start - slack <= at && at <= end + slack);
      const isNew = isOnChange || stretch !== next;
      if (isNew) this.#samples.push({ at, near: sideNear(side, axis, at, joint) });
      stretch = isOnChange ? -1 : next;
      const isMoved = isMovedSeam(side, axis, at);
      if (!isNew && index % inBlock !== 0 && isMoved === cells.isMoved.at(-1)) continue;
      cells.start.push(index);
      cells.stretch.push(this.#samples.length - 1);
      cells.block.push(Math.floor(index / inBlock));
      cells.isMoved.push(isMoved);
    }
    this.#cells = cells;
  }

  /** 1 at each position where a seam may be in a strip, 0 where not. */
  isAllowed(from: Mm, to: Mm): Uint8Array {
    const key = `${from} ${to}`;
    let allowed = this.#allowed.get(key);
    if (!allowed) {
      const { start, stretch } = this.#cells;
      const isFree = this.#samples.map(({ at, near }) =>
        isSeamAllowed(near, { axis: this.#axis, at, from, to }, this.#joint),
      );
      allowed = new Uint8Array(this.positions.length);
      for (const [cell, begin] of start.entries()) {
        if (isFree[stretch[cell]!]) allowed.fill(1, begin, start[cell + 1]);
      }
      this.#allowed.set(key, allowed);
    }
    return allowed;
  }

  strip(from: Mm, to: Mm): SliceCosts {
    const key = `${from} ${to}`;
    const known = this.#strips.get(key);
    if (known) return known;
    const strip = this.#strip(from, to);
    this.#strips.set(key, strip);
    return strip;
  }

  #strip(from: Mm, to: Mm): SliceCosts {
    const { card, energy } = this.#side;
    const cells = this.#cells;
    const count = this.positions.length;
    const costs = this.#samples.map(({ at, near }) => this.#cost(near, { axis: this.#axis, at, from, to }));
    const busy = energy ? this.#busy(energy, from, to) : undefined;
    const leastBusy = busy ? leastOfCells(busy, cells.start) : new Float64Array(cells.start.length);
    const busyAt = (i: number): number => busyMetersFrom(busy!, busy!.whole[i]! - busy!.before[i]!);

    /** Cost of a seam in each cell in money, without the picture. */
    const cellMoney = (weights: PlanWeights): number[] => {
      const fixed = costs.map((cost) =>
        cost
          ? weights.installMinute * cost.installMinutes +
            weights.shopMinute * cost.shopMinutes +
            weights.visibleMeter * cost.visibleMeters +
            weights.letteringLine * cost.letteringLines
          : Number.POSITIVE_INFINITY,
      );
      return cells.stretch.map(
        (stretch, cell) => fixed[stretch]! + (cells.isMoved[cell] ? weights.movedSeam : 0),
      );
    };
    const perBusy = (weights: PlanWeights): number => weights.installMinute * card.pictureMinutesPerMeter;
    return {
      units: (weights) => {
        const money = cellMoney(weights);
        const rate = perBusy(weights);
        const out = new Float64Array(count);
        for (let cell = 0; cell < money.length; cell++) {
          const fixed = money[cell]!;
          const end = cells.start[cell + 1] ?? count;
          if (!busy || rate === 0) out.fill(Math.round(UNITS_PER_MONEY * fixed), cells.start[cell], end);
          else {
            for (let i = cells.start[cell]!; i < end; i++) {
              out[i] = Math.round(UNITS_PER_MONEY * (fixed + rate * busyAt(i)));
            }
          }
        }
        return out;
      },
      leastUnits: memoized((weights) => {
        const rate = perBusy(weights);
        const out = new Float64Array(this.blockStarts.length).fill(Number.POSITIVE_INFINITY);
        for (const [cell, money] of cellMoney(weights).entries()) {
          const units = Math.round(UNITS_PER_MONEY * (money + rate * leastBusy[cell]!));
          const block = cells.block[cell]!;
          if (units < out[block]!) out[block] = units;
        }
        return out;
      }),
    };
  }

  #cost(near: PlanSide, place: SeamPlace): SeamCost | undefined {
    if (!isSeamAllowed(near, place, this.#joint)) return undefined;
    return seamCost(near, this.#joint, seamParts(near, place));
  }

  /** Busy meters at each position: the integral up to the end of the strip, minus the integral up to its beginning. */
  #busy(energy: PictureEnergy, from: Mm, to: Mm): StripBusy {
    const band = registerBand(this.#joint.first, this.#joint.second);
    const upTo = (across: Mm): Float64Array => {
      const bands = this.#bands.get(across) ?? bandsUpTo(energy, this.#axis, across, this.positions, band);
      this.#bands.set(across, bands);
      return bands;
    };
    return { before: upTo(from), whole: upTo(to), bandMm: band.before + band.after };
  }
}

/**
 * The integral of the picture in the band around each position, in mm²: up to the start of a strip, and up to its end.
 */
interface StripBusy {
  readonly before: Float64Array;
  readonly whole: Float64Array;
  readonly bandMm: Mm;
}

/** Converts mm² of picture in a band to meters of seam through full contrast. */
const busyMetersFrom = ({ bandMm }: StripBusy, area: number): number => Math.max(0, area / bandMm) / 1000;

/** The side reduced to what a seam at a given place can cross: same results from much shorter lists. */
function sideNear(side: PlanSide, axis: SeamAxis, at: Mm, joint: JointShape): PlanSide {
  const isNear = (start: Mm, end: Mm, reach: Mm): boolean => start - reach <= at && at <= end + reach;
  const overlap = joint.first + joint.second + 1;
  const areasNear = <T extends PlanArea>(areas: readonly T[], reach: (area: T) => Mm): readonly T[] =>
    areas.filter((area) => {
      const { alongStart, alongEnd } = axisRect(axis, area.rect);
      return isNear(alongStart, alongEnd, overlap + reach(area));
    });
  const onLine = overlap + side.gapAllowance + side.rivetClearance;
  return {
    ...side,
    noSeamAreas: areasNear(side.noSeamAreas, () => 0),
    lettering: areasNear(side.lettering, () => 0),
    ground: areasNear(side.ground, () => 0),
    noFilmAreas: areasNear(side.noFilmAreas, ({ margin }) => margin),
    lines: side.lines.filter((line) => line.axis === axis && isNear(line.at, line.at, onLine + line.width)),
  };
}

/** The lowest picture cost in each cell. Each cell extends to the start of the next. */
function leastOfCells(busy: StripBusy, starts: readonly number[]): Float64Array {
  const { before, whole } = busy;
  const out = new Float64Array(starts.length);
  for (let cell = 0; cell < out.length; cell++) {
    const end = starts[cell + 1] ?? whole.length;
    let least = Number.POSITIVE_INFINITY;
    for (let i = starts[cell]!; i < end; i++) {
      const area = whole[i]! - before[i]!;
      if (area < least) least = area;
    }
    out[cell] = busyMetersFrom(busy, least);
  }
  return out;
}

/** Bounds are requested again for every roll, under the same weights. */
function memoized(costs: (weights: PlanWeights) => Float64Array): (weights: PlanWeights) => Float64Array {
  const known = new Map<PlanWeights, Float64Array>();
  return (weights) => {
    const found = known.get(weights) ?? costs(weights);
    known.set(weights, found);
    return found;
  };
}

/**
 * Stretches, divided further where a block ends and where an earlier plan had a seam. Each cell extends to the start of
 * the next.
 */
interface Cells {
  readonly start: number[];
  readonly stretch: number[];
  readonly block: number[];
  readonly isMoved: boolean[];
}
