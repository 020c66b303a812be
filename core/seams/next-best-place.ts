import { z } from 'zod';
import { mmSchema } from '../measure/schemas.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { panelFilmUnits } from './film-fit.ts';
import { type FilmRates, filmAt, rollOf } from './film-zones.ts';
import { seamLimitsBroken } from './plan-limits.ts';
import { type PlanWeights, UNITS_PER_MONEY } from './plan-objective.ts';
import { HIDING_KINDS, type JointShape, jointFromLap, type PlanSide, type PlanStock } from './plan-side.ts';
import {
  frameAlong,
  frameCut,
  frameFilm,
  frameNarrowest,
  frameNet,
  frameSeam,
  frameTrims,
  isFrameOpen,
  isTreeShaped,
  type PlanFrame,
  type PlanJoint,
  type PlannedSeam,
  type PlanSplit,
  type PlanTree,
  pairFrame,
  treeParts,
} from './plan-tree.ts';
import { seamUnitsAt } from './seam-units.ts';
import type { SliceBooks } from './section-ground.ts';
import { firstAbove } from './sequence-search.ts';

/** Smallest distance to another place; nearer ones are the same seam moved slightly. */
export const ELSEWHERE_MM = 25;
/**
 * Number of positions bounded as one block before each is evaluated. Next to lines with shape, one position represents
 * its block.
 */
const BLOCK_POSITIONS = 64;
const SHAPED_BLOCK_POSITIONS = 256;

export interface Pricing {
  readonly side: PlanSide;
  readonly stock: PlanStock;
  readonly weights: PlanWeights;
  readonly rates: FilmRates;
  readonly books: SliceBooks;
  /**
   * Costs of the layout's seams, by joint and by start and end: most stay the same while one seam is tried elsewhere.
   */
  readonly priced: Map<JointShape, Map<string, number>>;
  /** Called for each place; it may throw to end the search. */
  readonly tick: () => void;
}

export const NextPlace = z.strictObject({
  at: mmSchema,
  /**
   * Extra cost of the plan with the seam there; negative where the plan serves another aim than cost. Absent where the
   * panels beside the present seam break a limit, as equal vertical panels may.
   */
  extraMoney: z.number().optional(),
});
export type NextPlace = z.infer<typeof NextPlace>;

/**
 * Tries a seam as a lap at every other position between its neighbors, and finds the cheapest one. The cost is that of
 * the seam, the two parts beside it and all seams and panels in them. On a tie the nearer place wins, then the earlier
 * one. Undefined where the limits leave no other place.
 *
 * Blocks of positions are tried in order of promise until no block can be better: in a block the part before the seam
 * costs at least what it costs at the block's start, the part after at least what it costs at its end. Next to lines
 * with shape the cheapest place of the seam alone represents its block.
 */
export function nextBestPlace(
  pricing: Pricing,
  node: PlanSplit,
  frame: PlanFrame,
  index: number,
): NextPlace | undefined {
  const { side, stock, weights, books, tick } = pricing;
  const { axis } = node;
  const joint = node.joints[index]!;
  const pair = pairFrame(node, frame, index);
  const [before, after] = [node.parts[index]!, node.parts[index + 1]!];
  const sequence = frameAlong(pair, axis);
  const framesAt = (tried: PlanJoint) => frameCut(pair, axis, tried);
  const unitsAt = (tried: PlanJoint, seamUnits = seamUnitsIn(pair, tried)): number => {
    const [frameBefore, frameAfter] = framesAt(tried);
    return seamUnits + partUnits(pricing, before, frameBefore) + partUnits(pricing, after, frameAfter);
  };
  const seamUnitsIn = (within: PlanFrame, tried: PlanJoint) =>
    seamUnitsAt(side, weights, frameSeam(within, axis, tried), tried);
  const isShaped = Boolean(pair.outline ?? joint.path) || [before, after].some(isTreeShaped);
  const isElsewhere = (at: Mm) => joint.path !== undefined || Math.abs(at - joint.at) >= ELSEWHERE_MM;
  const lap = jointFromLap(stock.lap, axis, side.front);
  const { positions } = books[axis];
  const seamUnits = books[axis].strip(sequence.from, sequence.to).units(weights);

  const blocks: { readonly start: number; readonly end: number; readonly floor: number }[] = [];
  const first = firstAbove(positions, sequence.start);
  const last = firstAbove(positions, sequence.end - LENGTH_TOLERANCE_MM);
  const inBlock = isShaped ? SHAPED_BLOCK_POSITIONS : BLOCK_POSITIONS;
  for (let start = first; start < last; start += inBlock) {
    const end = Math.min(last, start + inBlock);
    const seam = seamUnits.subarray(start, end).reduce((least, units) => Math.min(least, units));
    if (isShaped) {
      if (seam < Number.POSITIVE_INFINITY) blocks.push({ start, end, floor: seam });
      continue;
    }
    const [low, high] = [
      framesAt({ ...lap, at: positions[start]! }),
      framesAt({ ...lap, at: positions[end - 1]! }),
    ];
    const floor =
      seam + partFloor(pricing, before, low[0], high[0]) + partFloor(pricing, after, high[1], low[1]);
    if (floor < Number.POSITIVE_INFINITY) blocks.push({ start, end, floor });
  }

  let best: { readonly at: Mm; readonly units: number } | undefined;
  for (const { start, end, floor } of blocks.sort((a, b) => a.floor - b.floor || a.start - b.start)) {
    if (best && floor > best.units) break;
    tick();
    const cheapest = isShaped
      ? cheapestIndex(seamUnits, start, end, (i) => isElsewhere(positions[i]!))
      : undefined;
    for (let i = cheapest ?? start; i < (cheapest === undefined ? end : cheapest + 1); i++) {
      const at = positions[i]!;
      if (!isElsewhere(at) || seamUnits[i] === Number.POSITIVE_INFINITY) continue;
      const units = unitsAt({ ...lap, at }, seamUnits[i]!);
      if (units < Number.POSITIVE_INFINITY && (!best || isNearer({ at, units }, best, joint.at)))
        best = { at, units };
    }
  }
  if (!best) return undefined;
  const current = unitsAt(joint, seamUnitsIn(frame, joint));
  // Next to lines with shape, the strip assumed its greatest length for every seam.
  const units = isShaped ? unitsAt({ ...lap, at: best.at }) : best.units;
  return current === Number.POSITIVE_INFINITY
    ? { at: best.at }
    : { at: best.at, extraMoney: (units - current) / UNITS_PER_MONEY };
}

function cheapestIndex(
  seamUnits: Float64Array,
  start: number,
  end: number,
  isAsked: (index: number) => boolean,
): number {
  let cheapest = start;
  for (let i = start + 1; i < end; i++) {
    if (isAsked(i) && (!isAsked(cheapest) || seamUnits[i]! < seamUnits[cheapest]!)) cheapest = i;
  }
  return cheapest;
}

interface Place {
  readonly at: Mm;
  readonly units: number;
}

function isNearer(a: Place, b: Place, from: Mm): boolean {
  const [offA, offB] = [Math.abs(a.at - from), Math.abs(b.at - from)];
  return a.units < b.units || (a.units === b.units && (offA < offB || (offA === offB && a.at < b.at)));
}

/** Cost of the panels and seams of a part in a frame, Infinity where they break a limit of size or place. */
function partUnits(pricing: Pricing, part: PlanTree, frame: PlanFrame): number {
  const { side } = pricing;
  const { panels, seams } = treeParts(part, frame);
  let units = 0;
  for (const panel of panels) {
    if (isFrameOpen(side, panel.frame)) continue;
    if (isSmall(side, panel.frame)) return Number.POSITIVE_INFINITY;
    units += filmUnits(pricing, panel.frame);
  }
  if (units === Number.POSITIVE_INFINITY) return units;
  for (const seam of seams) {
    units += innerSeamUnits(pricing, seam);
    if (units === Number.POSITIVE_INFINITY) return units;
  }
  return units;
}

/** Infinity where a seam breaks a limit. */
function innerSeamUnits({ side, weights, priced }: Pricing, seam: PlannedSeam): number {
  const { place, joint } = seam;
  const known = priced.get(joint) ?? new Map<string, number>();
  priced.set(joint, known);
  const key = `${place.from} ${place.to}`;
  let units = known.get(key);
  if (units === undefined) {
    const isBroken = seamLimitsBroken(side, seam).length > 0;
    units = isBroken ? Number.POSITIVE_INFINITY : seamUnitsAt(side, weights, place, joint);
    known.set(key, units);
  }
  return units;
}

/** Lower bound of the cost of a part in any frame between a smaller and a larger one; limits of place are ignored. */
function partFloor(pricing: Pricing, part: PlanTree, smaller: PlanFrame, larger: PlanFrame): number {
  const { side, weights } = pricing;
  const [small, large] = [treeParts(part, smaller), treeParts(part, larger)];
  let units = 0;
  for (const [index, { frame }] of small.panels.entries()) {
    // In a no-film area a panel may be of any size and costs nothing.
    if (isFrameOpen(side, frame)) continue;
    if (isSmall(side, large.panels[index]!.frame)) return Number.POSITIVE_INFINITY;
    units += filmUnits(pricing, frame);
  }
  if (units === Number.POSITIVE_INFINITY) return units;
  // A longer seam never costs less, except for the work saved where it is on a line.
  const mostSaved = Math.max(...HIDING_KINDS.map((kind) => side.card.crossingMinutesPerMeter[kind])) / 1000;
  for (const [index, { place, joint }] of small.seams.entries()) {
    const { from, to } = large.seams[index]!.place;
    const longer = to - from - Math.max(0, place.to - place.from);
    units += place.to > place.from ? seamUnitsAt(side, weights, place, joint) : 0;
    units -= UNITS_PER_MONEY * weights.installMinute * mostSaved * longer + 1;
  }
  return units;
}

const isSmall = (side: PlanSide, frame: PlanFrame): boolean =>
  frameNarrowest(frame) < side.minPanel - LENGTH_TOLERANCE_MM;

function filmUnits({ side, stock, rates }: Pricing, frame: PlanFrame): number {
  const { width, height } = frameFilm(frame);
  const film = filmAt(side, frameNet(frame));
  const { perTrim } = rates.on(film);
  const [across, along] = [Math.max(0, width), Math.max(0, height)];
  return (
    panelFilmUnits(side, rollOf(stock, film), rates.on(film), across, along) + perTrim * frameTrims(frame)
  );
}
