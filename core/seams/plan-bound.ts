import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { type PlanWeights, panelRates, seamUnits, UNITS_PER_MONEY } from './plan-objective.ts';
import {
  jointFromLap,
  type PlanSide,
  type PlanStock,
  rollUsableWidth,
  type SeamAxis,
  sideAcross,
  sideLength,
} from './plan-side.ts';
import { type SeamParts, seamCost } from './seam-parts.ts';

/**
 * What any plan must cost at least for the part of a side that is not looked at yet, to give up early what cannot
 * become better than a plan in hand.
 *
 * Film: a panel is charged at least its film's share of the roll, since waste + (1 − waste) · x ≥ x for a filled share
 * x ≤ 1, and its image is at most the usable width less two borders one way. Panels: at least one. Seams: never below
 * zero, but for the work that a seam on a line saves, less the least that laying it costs; all of that is granted in
 * advance.
 */
export interface PlanFloor {
  readonly perSquareMm: number;
  readonly perPanel: number;
  /** A seam of a run, wherever it lies: the trim that its joint asks for. */
  readonly perSeam: number;
  readonly mostSaved: number;
}

export function planFloor(side: PlanSide, stock: PlanStock, weights: PlanWeights): PlanFloor {
  const { card } = side;
  const { perPanel, perRollMm } = panelRates(card, weights, stock);
  const leastLaying = Math.min(...Object.values(card.seamMinutesPerMetre));
  const minutes = side.lines.reduce((sum, line) => {
    const metres =
      Math.max(0, Math.min(line.to, sideAcross(side, line.axis)) - Math.max(0, line.from)) / 1000;
    return sum + metres * Math.max(0, card.crossingMinutesPerMetre[line.kind] - leastLaying);
  }, 0);
  return {
    perSquareMm: perRollMm / (rollUsableWidth(stock.roll) - 2 * side.border),
    perPanel,
    perSeam: seamUnits(
      weights,
      seamCost(card, jointFromLap(stock.lap, 'vertical', side.front), NOTHING_MET),
      false,
    ),
    mostSaved: UNITS_PER_MONEY * weights.installMinute * minutes,
  };
}

const NOTHING_MET: SeamParts = {
  ground: { flat: 0, curve: 0, recess: 0, open: 0 },
  online: { crease: 0, moulding: 0, 'panel-gap': 0, 'rivet-row': 0 },
  lettering: 0,
  busy: 0,
};

/**
 * A ceiling on a run's cost so far: at position p it is `base + perMm · p`. Another panel with its seam lifts the cost by
 * `perStep` more than the ceiling, at least.
 */
export interface RunCeiling {
  readonly base: number;
  readonly perMm: number;
  readonly perStep: number;
}

/**
 * The ceiling of a run of an axis from `start`, in a strip `across` high: what its panels and seams up to p may cost if
 * the whole plan is to cost no more than `atMost`. Beyond p at least one more panel comes, and another one where the
 * strip or the run does not take up the whole side.
 */
export function runCeiling(
  floor: PlanFloor,
  side: PlanSide,
  axis: SeamAxis,
  atMost: number,
  start: Mm,
  across: Mm,
): RunCeiling {
  const { bleed } = side;
  const [alongBleed, acrossBleed] =
    axis === 'vertical'
      ? [bleed.left + bleed.right, bleed.top + bleed.bottom]
      : [bleed.top + bleed.bottom, bleed.left + bleed.right];
  const whole = (sideLength(side, axis) + alongBleed) * (sideAcross(side, axis) + acrossBleed);
  const perMm = floor.perSquareMm * (across + acrossBleed);
  const isWholeSide = start <= LENGTH_TOLERANCE_MM && across >= sideAcross(side, axis) - LENGTH_TOLERANCE_MM;
  const rest =
    floor.perSquareMm * whole - perMm * (alongBleed - start) + (isWholeSide ? 1 : 2) * floor.perPanel;
  // A little above, so that sums added up in another order are not cut off at the ceiling itself.
  return {
    base: atMost + Math.abs(atMost) * 1e-9 + 1 + floor.mostSaved - rest,
    perMm,
    perStep: floor.perPanel + floor.perSeam,
  };
}

/** Whether no run from `start` keeps under a ceiling, whatever its first panel. */
export const isRunHopeless = (ceiling: RunCeiling, start: Mm): boolean =>
  ceiling.perStep > ceiling.base + ceiling.perMm * start;
