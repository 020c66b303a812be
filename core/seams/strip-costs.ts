import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { busyMetresAt, energyAlong, registerBand } from './picture-energy.ts';
import { type PlanWeights, UNITS_PER_MONEY } from './plan-objective.ts';
import { type JointShape, type PlanSide, type SeamAxis, type SeamPlace, sideLength } from './plan-side.ts';
import { changePositions, isSeamAllowed } from './seam-limits.ts';
import { seamCost, seamParts } from './seam-parts.ts';

/** Seams are placed to the millimetre. */
export const SEAM_STEP_MM = 1;

/**
 * Where seams of an axis may be tried: every whole millimetre, and the exact places of lines and of an earlier
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
export interface StripCosts {
  /** Units of an objective at each position, Infinity where no seam may be. */
  units(weights: PlanWeights): Float64Array;
}

/**
 * Prices every position of every strip of one axis, for one joint. What a seam meets changes only at a few
 * dozen positions, so each stretch between them is looked at once; only the picture is read at each position.
 */
export class StripBook {
  readonly positions: Float64Array;
  readonly #side: PlanSide;
  readonly #axis: SeamAxis;
  readonly #joint: JointShape;
  /** For each position the stretch it belongs to, and for each stretch one position in it. */
  readonly #stretchOf: Int32Array;
  readonly #samples: number[] = [];
  readonly #isMoved: Uint8Array;
  readonly #strips = new Map<string, StripCosts>();

  constructor(side: PlanSide, axis: SeamAxis, joint: JointShape) {
    this.positions = seamPositions(side, axis);
    this.#side = side;
    this.#axis = axis;
    this.#joint = joint;
    this.#stretchOf = new Int32Array(this.positions.length);
    this.#isMoved = Uint8Array.from(this.positions, (at) => (isMovedSeam(side, axis, at) ? 1 : 0));

    const changes = changePositions(side, axis, joint);
    const near = 2 * LENGTH_TOLERANCE_MM;
    let next = 0;
    let stretch = '';
    for (const [index, at] of this.positions.entries()) {
      while (next < changes.length && changes[next]! < at - near) next++;
      // A position on a change stands for itself; all between two changes share a stretch.
      const isOnChange = next < changes.length && changes[next]! <= at + near;
      const key = isOnChange ? `at ${at}` : `before ${next}`;
      if (key !== stretch) this.#samples.push(at);
      stretch = key;
      this.#stretchOf[index] = this.#samples.length - 1;
    }
  }

  strip(from: Mm, to: Mm): StripCosts {
    const key = `${from} ${to}`;
    const known = this.#strips.get(key);
    if (known) return known;
    const strip = this.#strip(from, to);
    this.#strips.set(key, strip);
    return strip;
  }

  #strip(from: Mm, to: Mm): StripCosts {
    const side = this.#side;
    const costs = this.#samples.map((at) => {
      const place: SeamPlace = { axis: this.#axis, at, from, to };
      return isSeamAllowed(side, place, this.#joint)
        ? seamCost(side.card, this.#joint, seamParts(side, place))
        : undefined;
    });
    const busy = this.#busy(from, to);
    return {
      units: (weights) => {
        const fixed = costs.map((cost) =>
          cost
            ? weights.installMinute * cost.installMinutes +
              weights.shopMinute * cost.shopMinutes +
              weights.shopTrim * cost.shopTrims +
              weights.visibleMetre * cost.visibleMetres
            : Number.POSITIVE_INFINITY,
        );
        const perBusy = weights.installMinute * side.card.pictureMinutesPerMetre;
        const out = new Float64Array(this.positions.length);
        for (let i = 0; i < out.length; i++) {
          const picture = busy ? busy[i]! * perBusy : 0;
          const moved = this.#isMoved[i] === 1 ? weights.movedSeam : 0;
          out[i] = Math.round(UNITS_PER_MONEY * (fixed[this.#stretchOf[i]!]! + picture + moved));
        }
        return out;
      },
    };
  }

  #busy(from: Mm, to: Mm): Float64Array | undefined {
    const { energy } = this.#side;
    if (!energy) return undefined;
    const along = energyAlong(energy, this.#axis, from, to);
    const band = registerBand(this.#joint.first, this.#joint.second);
    return Float64Array.from(this.positions, (at) => busyMetresAt(along, energy.cellMm, at, band));
  }
}
