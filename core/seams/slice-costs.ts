import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { bandsUpTo, type PictureEnergy, registerBand } from './picture-energy.ts';
import { type PlanWeights, UNITS_PER_MONEY } from './plan-objective.ts';
import { type JointShape, type PlanSide, sideLength } from './plan-side.ts';
import { changePositions, isSeamAllowed } from './seam-limits.ts';
import { type SeamCost, seamCost, seamParts } from './seam-parts.ts';
import type { SeamAxis, SeamPlace } from './seam-place.ts';

/** Seams are placed to the millimeter. */
export const SEAM_STEP_MM = 1;

/**
 * Where seams of an axis may be tried: every whole millimeter, and the exact places of lines and of an earlier
 * plan's seams, which need not be whole. Ascending, strictly within the side.
 */
export function seamPositions(side: PlanSide, axis: SeamAxis): Float64Array {
  const length = sideLength(side, axis);
  const exact = [...side.lines, ...(side.earlier ?? [])].flatMap((item) =>
    item.axis === axis ? [item.at] : [],
  );
  const whole = Array.from({ length: Math.max(0, Math.ceil(length) - 1) }, (_, i) => (i + 1) * SEAM_STEP_MM);
  const isTwin = (at: Mm) => Math.abs(at - Math.round(at)) <= LENGTH_TOLERANCE_MM;
  const extra = exact.filter(
    (at) => !isTwin(at) && at > LENGTH_TOLERANCE_MM && at < length - LENGTH_TOLERANCE_MM,
  );
  return Float64Array.from(extra.length === 0 ? whole : [...new Set([...whole, ...extra])]).sort();
}

export const isMovedSeam = (side: PlanSide, axis: SeamAxis, at: Mm): boolean =>
  side.earlier !== undefined &&
  !side.earlier.some((seam) => seam.axis === axis && Math.abs(seam.at - at) < 0.5);

/** What seams cost all along one strip of the side: between `from` and `to`, across the seams' axis. */
export interface SliceCosts {
  /** Units of an objective at each position, Infinity where no seam may be. */
  units(weights: PlanWeights): Float64Array;
  /** The least of them in each block of positions. */
  leastUnits(weights: PlanWeights): Float64Array;
}

/** Positions that the bounds of a run look at as one; fewer where panels may be smaller than that. */
const MOST_IN_BLOCK = 32;

/**
 * Prices every position of every strip of one axis, for one joint. What a seam meets changes only at a few
 * dozen positions, so each stretch between them is looked at once; only the picture is read at each position.
 */
export class SliceBook {
  readonly positions: Float64Array;
  /** The first position of each block, and the most that a block reaches beyond it: less than the smallest panel. */
  readonly blockStarts: Float64Array;
  readonly blockSpan: Mm;
  readonly #side: PlanSide;
  readonly #axis: SeamAxis;
  readonly #joint: JointShape;
  /** One position of each stretch. */
  readonly #samples: number[] = [];
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
    const near = 2 * LENGTH_TOLERANCE_MM;
    let next = 0;
    let stretch = '';
    let cell = '';
    for (const [index, at] of this.positions.entries()) {
      while (next < changes.length && changes[next]! < at - near) next++;
      // A position on a change stands for itself; all between two changes share a stretch.
      const isOnChange = next < changes.length && changes[next]! <= at + near;
      const key = isOnChange ? `at ${at}` : `before ${next}`;
      if (key !== stretch) this.#samples.push(at);
      stretch = key;
      const block = Math.floor(index / inBlock);
      const isMoved = isMovedSeam(side, axis, at);
      if (`${stretch} ${block} ${isMoved}` === cell) continue;
      cell = `${stretch} ${block} ${isMoved}`;
      cells.start.push(index);
      cells.stretch.push(this.#samples.length - 1);
      cells.block.push(block);
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
      const isFree = this.#samples.map((at) =>
        isSeamAllowed(this.#side, { axis: this.#axis, at, from, to }, this.#joint),
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
    const costs = this.#samples.map((at) => this.#cost({ axis: this.#axis, at, from, to }));
    const busyAt = energy ? this.#busy(energy, from, to) : () => 0;
    const leastBusy = cells.start.map((start, cell) => {
      let least = energy ? Number.POSITIVE_INFINITY : 0;
      const end = cells.start[cell + 1] ?? count;
      for (let i = start; energy && i < end; i++) least = Math.min(least, busyAt(i));
      return least;
    });

    /** Money of a seam in each cell, the picture left out. */
    const cellMoney = (weights: PlanWeights): number[] => {
      const fixed = costs.map((cost) =>
        cost
          ? weights.installMinute * cost.installMinutes +
            weights.shopMinute * cost.shopMinutes +
            weights.visibleMeter * cost.visibleMeters
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
          const end = cells.start[cell + 1] ?? count;
          for (let i = cells.start[cell]!; i < end; i++) {
            out[i] = Math.round(UNITS_PER_MONEY * (money[cell]! + rate * busyAt(i)));
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

  #cost(place: SeamPlace): SeamCost | undefined {
    const side = this.#side;
    if (!isSeamAllowed(side, place, this.#joint)) return undefined;
    return seamCost(side, this.#joint, seamParts(side, place));
  }

  /** Busy meters at each position: what lies above the strip's end in the band, less what lies above its beginning. */
  #busy(energy: PictureEnergy, from: Mm, to: Mm): (index: number) => number {
    const band = registerBand(this.#joint.first, this.#joint.second);
    const upTo = (across: Mm): Float64Array => {
      const bands = this.#bands.get(across) ?? bandsUpTo(energy, this.#axis, across, this.positions, band);
      this.#bands.set(across, bands);
      return bands;
    };
    const [before, whole] = [upTo(from), upTo(to)];
    const bandMm = band.before + band.after;
    return (index) => Math.max(0, (whole[index]! - before[index]!) / bandMm) / 1000;
  }
}

/** Bounds are asked for again with every roll, under the same weights. */
function memoized(costs: (weights: PlanWeights) => Float64Array): (weights: PlanWeights) => Float64Array {
  const known = new Map<PlanWeights, Float64Array>();
  return (weights) => {
    const found = known.get(weights) ?? costs(weights);
    known.set(weights, found);
    return found;
  };
}

/** Stretches, cut once more where a block ends and where an earlier plan had a seam. Each runs on to the next one's start. */
interface Cells {
  readonly start: number[];
  readonly stretch: number[];
  readonly block: number[];
  readonly isMoved: boolean[];
}
