import highsLoader from 'highs';
import { type PlanWeights, panelRates } from '../../core/seams/plan-objective.ts';
import {
  jointFromLap,
  jointTrims,
  type PlanSide,
  type PlanStock,
  rollUsableWidth,
} from '../../core/seams/plan-side.ts';
import { isSeamAllowed } from '../../core/seams/seam-limits.ts';
import { seamUnitsAt } from '../../core/seams/seam-units.ts';

/**
 * The cheapest sequence of vertical seams by a general mixed-integer solver (HiGHS): y_p = 1 where a seam stands at p.
 *
 *     min  Σ (seam at p + one more panel) · y_p
 *     Σ y over every stretch as long as the widest panel  ≥ 1
 *     Σ y over every stretch as long as the smallest panel ≤ 1
 *
 * A covering problem, with nothing of the planner's recurrence in it. For sides of whole millimeters, higher than a
 * roll is wide (so that no panel can be turned) and with more bleed than lap. At least one seam. Undefined where
 * there is no sequence.
 */
export async function leastSequenceByMip(
  side: PlanSide,
  stock: PlanStock,
  weights: PlanWeights,
): Promise<number | undefined> {
  const highs = await highsLoader();
  const joint = jointFromLap(stock.lap, 'vertical', side.front);
  const usable = rollUsableWidth(stock.roll);
  const { left, right, top, bottom } = side.bleed;
  const spare = 2 * side.border;
  const widest = Math.floor(usable - joint.first - joint.second - spare);
  const farthestFirst = Math.floor(usable - left - joint.first - spare);
  const nearestLast = Math.ceil(side.width - (usable - joint.second - right - spare));
  const smallest = Math.ceil(side.minPanel);

  const places: number[] = [];
  for (let at = smallest; at <= side.width - smallest; at++) {
    if (isSeamAllowed(side, { axis: 'vertical', at, from: 0, to: side.height }, joint)) places.push(at);
  }
  const within = (from: number, to: number) =>
    places.filter((at) => at >= from && at <= to).map((at) => `y${at}`);
  const covered = [within(1, farthestFirst), within(nearestLast, side.width - 1)];
  const apart: string[][] = [];
  for (let from = 1; from < side.width; from++) {
    if (from + widest <= side.width) covered.push(within(from, from + widest - 1));
    apart.push(within(from, from + smallest - 1));
  }
  if (covered.some((names) => names.length === 0)) return undefined;

  // Upright panels: length charged = height × (waste + (1 − waste) × width ÷ usable), so one more panel adds the same
  // wherever it begins: its share of waste, and its laps and borders in width.
  const rates = panelRates(side.card, weights, stock);
  const filmHeight = side.height + top + bottom + spare;
  const waste = side.card.offcutWasteShare;
  // No panel is longer than one person handles.
  const film = (count: number, width: number) =>
    count * (rates.perPanel + rates.perPersonMm * filmHeight) +
    rates.perPersonMm * width +
    rates.perRollMm * filmHeight * (count * waste + ((1 - waste) * width) / usable);
  const onePanel = film(1, side.width + left + right + spare);
  // Bleed all round, so only seams are trimmed, and under a lap one edge at most.
  const trims = jointTrims(joint, side.border);
  const oneMore = film(1, joint.first + joint.second + spare) + rates.perTrim * (trims.first + trims.second);
  const price = (at: number) =>
    oneMore + seamUnitsAt(side, weights, { axis: 'vertical', at, from: 0, to: side.height }, joint);

  const terms = places.map((at) => {
    const units = price(at) / UNITS_PER_ROW;
    return `${units < 0 ? '-' : '+'} ${Math.abs(units).toFixed(12)} y${at}`;
  });
  const model = [
    `Minimize\n obj: ${terms.join('\n ')}`,
    'Subject To',
    ...covered.map((names, i) => ` c${i}: ${names.join(' + ')} >= 1`),
    ...apart.flatMap((names, i) => (names.length > 1 ? [` a${i}: ${names.join(' + ')} <= 1`] : [])),
    `Binary\n ${places.map((at) => `y${at}`).join('\n ')}`,
    'End',
  ].join('\n');
  const solution = highs.solve(model, { mip_rel_gap: 0, mip_abs_gap: 0 });
  if (solution.Status === 'Infeasible') return undefined;
  if (solution.Status !== 'Optimal') throw new Error(`The solver stopped with ${solution.Status}.`);
  // The solver's own tolerance is on its objective; the seams it chose are added up again.
  const chosen = places.filter((at) => (solution.Columns[`y${at}`]?.Primal ?? 0) > 0.5);
  return onePanel + chosen.reduce((sum, at) => sum + price(at), 0);
}

/** Objectives are given to the solver in money, so that its tolerances make sense. */
const UNITS_PER_ROW = 1_000_000;
