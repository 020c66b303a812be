import { firstOf, valueAt } from '../measure/present.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import type { PackItem, RollRules, RollStock } from '../shop/rolls.ts';
import { assignmentSearched, type PlanEffort } from './assignment-search.ts';
import { assignmentOrder } from './roll-assignment.ts';
import { sizeOnRoll } from './roll-lengths.ts';
import { directionsOf, type PlanRoll, type RollProblem, rollProblem } from './roll-problem.ts';
import type { BandEnds } from './roll-stretch.ts';
import { rollBands } from './roll-use.ts';

/** Enough to see whether a longer band helps; the plan itself is searched afterwards. */
const TRIAL: PlanEffort = {
  nodes: 4000,
  nodesPerRoll: 1000,
  mostCombinations: 128,
  mostTrials: 60,
  improvementNodes: 0,
};
const MOST_TRIALS = 60;

/**
 * The problem of laying panels around locked ones. A band may grow beyond its locked panel when a longer one
 * lies beside it, so each band's end is chosen among the lengths of the free panels, band by band.
 * Keeps RL10.
 */
export function problemAroundLocked(
  free: readonly PackItem[],
  locked: readonly PackItem[],
  rolls: readonly RollStock[],
  rules: RollRules,
): RollProblem {
  let problem = rollProblem(free, locked, rolls, rules);
  if (free.length === 0 || locked.length === 0) return problem;
  const ends = new Map<string, BandEnds>();
  let best = firstOf(assignmentSearched(problem, TRIAL).best);
  let trials = MOST_TRIALS;
  for (const roll of problem.rolls) {
    for (const { band, end } of longerEnds(roll, free, rules)) {
      if (trials-- <= 0) return problem;
      const longer = new Map(ends).set(roll.stock.id, new Map(ends.get(roll.stock.id)).set(band, end));
      const candidate = rollProblem(free, locked, rolls, rules, longer);
      const assignment = firstOf(assignmentSearched(candidate, TRIAL).best);
      if (assignmentOrder(assignment, best) >= 0) continue;
      best = assignment;
      problem = candidate;
      ends.set(roll.stock.id, valueAt(longer, roll.stock.id));
    }
  }
  return problem;
}

/** Ends that a free panel beside the locked ones of a band would give it, before the next locked band begins. */
function longerEnds({ stock, locked, stretches }: PlanRoll, free: readonly PackItem[], rules: RollRules) {
  const bands = rollBands(locked);
  return bands.flatMap(({ startMm, endMm }, band): { band: number; end: Mm }[] => {
    const widest = stretches
      .filter(({ lockedBand }) => lockedBand === band)
      .reduce((width, stretch) => Math.max(width, stretch.width), 0);
    const next = bands[band + 1];
    const latest = next ? next.startMm - rules.gapMm : stock.usableLengthMm - stock.tailMm;
    const lengths = free
      .flatMap((item) => directionsOf(item).map((turned) => sizeOnRoll(item, turned)))
      .filter((size) => size.across <= widest + LENGTH_TOLERANCE_MM)
      .map((size) => size.along);
    return [...new Set(lengths)]
      .map((length) => ({ band, end: startMm + length }))
      .filter(({ end }) => end > endMm + LENGTH_TOLERANCE_MM && end <= latest + LENGTH_TOLERANCE_MM);
  });
}
