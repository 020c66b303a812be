import { z } from 'zod';
import { firstOf, itemAt, valueAt } from '../measure/present.ts';
import { equalVerticalFromSide } from './equal-vertical.ts';
import { planEvened } from './even-seams.ts';
import { figuresUnits, isDominated, type PlanFigures, planFigures, planUnits } from './plan-figures.ts';
import { type LimitBroken, limitsBroken } from './plan-limits.ts';
import { PLAN_AIMS, type PlanAim, type PlanWeights, weightsFromAim } from './plan-objective.ts';
import { type PlanProblem, planProblem } from './plan-problem.ts';
import { planRelaxations, type Relaxation } from './plan-relaxations.ts';
import type { PlanSide, PlanStock } from './plan-side.ts';
import { isTreeShaped, type PlanJoint, type PlanTree } from './plan-tree.ts';
import { type SeamReason, seamReasons } from './seam-reasons.ts';
import type { PlanScope } from './section-edges.ts';
import { type SliceBooks, sectionGround, stripBooks } from './section-ground.ts';
import { type SectionPlan, sectionSearch } from './section-search.ts';

/** The first aim that the plan serves, or 'equal-vertical'; unique among the plans of a side. */
export const PlanId = z.enum([...PLAN_AIMS, 'equal-vertical']);
type PlanId = z.infer<typeof PlanId>;

/** A layout proposed for a side, with the aims it is best at and the figures that plans are compared by. */
export interface Plan {
  readonly id: PlanId;
  readonly aims: readonly PlanAim[];
  readonly stock: PlanStock;
  readonly tree: PlanTree;
  readonly figures: PlanFigures;
  readonly reasons: readonly SeamReason[];
}

/** Equal vertical panels, for comparison: this plan may break limits and be worse in every figure. */
export interface EqualVerticalPlan extends Plan {
  readonly broken: readonly LimitBroken[];
  readonly isDominated: boolean;
}

export type PlanOutcome =
  | {
      readonly kind: 'plans';
      readonly plans: readonly Plan[];
      readonly equalVertical: EqualVerticalPlan | undefined;
    }
  | {
      readonly kind: 'infeasible';
      readonly relaxations: readonly Relaxation[];
      readonly equalVertical: EqualVerticalPlan | undefined;
    }
  | { readonly kind: 'problem'; readonly problem: PlanProblem };

export interface PlanOptions {
  /** Sections of both directions, or one plain sequence right across the side. */
  readonly layouts?: 'sections' | 'one-way';
  readonly aims?: readonly PlanAim[];
  /** Receives the share done, from 0 to 1. It may throw; returning `false` ends the work with PlanCancelled. */
  readonly onProgress?: (share: number) => boolean | undefined;
}

/** Thrown when a plan is cancelled through its progress callback. */
export class PlanCancelled extends Error {
  override readonly name = 'PlanCancelled';
  readonly code = 'plan-cancelled';
  constructor() {
    super('Planning was called off.');
  }
}

/** Plans whose seams all agree within this distance count as one plan. */
const SAME_PLACE_MM = 25;

/**
 * Proposes a few clearly different plans for a side, plus the equal vertical panels. No proposed plan is worse than
 * another in every figure.
 *
 * For each aim the exact optimum is found over all available rolls and laps (one of each per plan). Plans that look the
 * same are kept once, in the order of PLAN_AIMS. Next to lines with shape the search overestimates the film of panels,
 * so each plan is priced again from its panels.
 */
export function plansFromSide(side: PlanSide, options: PlanOptions = {}): PlanOutcome {
  const problem = planProblem(side);
  if (problem) return { kind: 'problem', problem };

  const tick = (share: number): void => {
    if (options.onProgress?.(share) === false) throw new PlanCancelled();
  };
  const layouts = options.layouts ?? 'sections';
  tick(0);
  const laps = side.laps.map((lap) => ({ lap, books: stripBooks(side, { lap }) }));
  const shelf = side.rolls.flatMap((roll) => laps.map(({ lap, books }) => ({ stock: { roll, lap }, books })));
  const found = bestByAim(side, shelf, layouts, options.aims ?? PLAN_AIMS, (share) => tick(share * 0.9));
  const equalVertical = equalVerticalPlan(side, shelf, () => tick(0.9));
  if (found.length === 0) {
    const relaxations = planRelaxations(side, layouts === 'one-way' ? ONE_WAY : MIXED, tick);
    return { kind: 'infeasible', relaxations, equalVertical };
  }
  const different = differentPlans(found);
  const plans = different.map((candidate, index) =>
    planFrom(side, candidate, () => tick(0.9 + (0.1 * index) / different.length)),
  );
  tick(1);
  return {
    kind: 'plans',
    plans,
    equalVertical: equalVertical && {
      ...equalVertical,
      isDominated: plans.some(({ figures }) => isDominated(figures, equalVertical.figures)),
    },
  };
}

interface Stock {
  readonly stock: PlanStock;
  readonly books: SliceBooks;
}

interface Candidate extends Stock {
  readonly aim: PlanAim;
  readonly tree: PlanTree;
  readonly figures: PlanFigures;
}

/**
 * Finds the optimum for each aim over all stocks. Plans already found, with another roll or for another aim, set a
 * ceiling for the rest of the search.
 */
function bestByAim(
  side: PlanSide,
  shelf: readonly Stock[],
  layouts: 'sections' | 'one-way',
  aims: readonly PlanAim[],
  tick: (share: number) => void,
): Candidate[] {
  const weightsOf = new Map(aims.map((aim) => [aim, weightsFromAim(side.card, aim)]));
  const best = new Map<PlanAim, SectionPlan & Stock>();
  const offer = (aim: PlanAim, plan: SectionPlan | undefined, kept: Stock) => {
    if (!plan) return;
    const own = isTreeShaped(plan.tree)
      ? planUnits(side, kept.stock, valueAt(weightsOf, aim), plan.tree)
      : plan.units;
    // Among equal plans, the first roll, lap and direction win.
    if (own !== undefined && own < (best.get(aim)?.units ?? Number.POSITIVE_INFINITY))
      best.set(aim, { ...plan, ...kept, units: own });
  };
  const scopes = layouts === 'one-way' ? ONE_WAY : MIXED;
  const searches = shelf.length * scopes.length * aims.length;
  let done = 0;
  for (const kept of shelf) {
    const { stock, books } = kept;
    for (const scope of scopes) {
      const ground = sectionGround(side, stock, scope, books);
      for (const [aim, weights] of weightsOf) {
        const plan = sectionSearch(ground, weights, {
          atMost: ceilingOf(side, weights, [...best.values()]),
          tick: (share) => tick((done + share) / searches),
        });
        done++;
        offer(aim, plan, kept);
      }
    }
  }
  return candidatesFrom(side, aims, best, () => tick(1));
}

const ONE_WAY: readonly PlanScope[] = ['vertical', 'horizontal'];
const MIXED: readonly PlanScope[] = ['mixed'];

/**
 * The lowest cost of any plan found so far under these weights; undefined while there is none. Plans along lines with
 * shape cost less than the search charges for them, so they set no ceiling.
 */
function ceilingOf(
  side: PlanSide,
  weights: PlanWeights,
  inHand: readonly (SectionPlan & Stock)[],
): number | undefined {
  const units = inHand.flatMap(({ tree, stock }) =>
    isTreeShaped(tree) ? [] : (planUnits(side, stock, weights, tree) ?? []),
  );
  return units.length > 0 ? Math.min(...units) : undefined;
}

function candidatesFrom(
  side: PlanSide,
  aims: readonly PlanAim[],
  best: ReadonlyMap<PlanAim, SectionPlan & Stock>,
  tick: () => void,
): Candidate[] {
  const found = aims.flatMap((aim): Candidate[] => {
    tick();
    const plan = best.get(aim);
    if (!plan) return [];
    const { stock, books } = plan;
    const tree = planEvened(plan.tree, side, stock, weightsFromAim(side.card, aim), books);
    return [{ aim, tree, stock, books, figures: planFigures(side, stock, tree) }];
  });
  if (!found.some(({ tree }) => isTreeShaped(tree))) return found;
  return found.map((own) => {
    const weights = weightsFromAim(side.card, own.aim);
    const unitsOf = ({ figures }: Candidate) => figuresUnits(weights, figures);
    return found.reduce(
      (least, other) => (unitsOf(other) < unitsOf(least) ? { ...other, aim: own.aim } : least),
      own,
    );
  });
}

/** Removes candidates that another beats in every figure, then those that look like one already kept. */
function differentPlans(candidates: readonly Candidate[]): (Candidate & { aims: PlanAim[] })[] {
  const strong = candidates.filter((one) => !candidates.some((by) => isDominated(by.figures, one.figures)));
  const kept: (Candidate & { aims: PlanAim[] })[] = [];
  for (const candidate of strong) {
    const twin = kept.find((other) => isSamePlan(other, candidate));
    if (!twin) kept.push({ ...candidate, aims: [candidate.aim] });
    else if (isAsGood(candidate.aim, twin.figures, candidate.figures)) twin.aims.push(candidate.aim);
  }
  return kept;
}

function isSamePlan(a: Candidate, b: Candidate): boolean {
  return a.stock === b.stock && isSameTree(a.tree, b.tree);
}

function isSameTree(a: PlanTree, b: PlanTree): boolean {
  if (a.kind === 'panel' || b.kind === 'panel') return a.kind === b.kind;
  return (
    a.axis === b.axis &&
    a.joints.length === b.joints.length &&
    a.joints.every((joint, i) => isSameJoint(joint, itemAt(b.joints, i))) &&
    a.parts.every((part, i) => isSameTree(part, itemAt(b.parts, i)))
  );
}

const isSameJoint = (a: PlanJoint, b: PlanJoint): boolean =>
  a.path === b.path && Math.abs(a.at - b.at) < SAME_PLACE_MM;

/** The figure that measures each aim. */
export const AIM_FIGURE: Readonly<Record<PlanAim, (figures: PlanFigures) => number>> = {
  'lowest-cost': (figures) => figures.money + figures.visibleWorth,
  'least-lettering': (figures) => figures.letteringCrossed,
  'fewest-panels': (figures) => figures.panels,
  'least-film': (figures) => figures.filmSquareMeters,
  'fastest-install': (figures) => figures.installMinutes + figures.matchingMinutes,
  'fewest-shop-trims': (figures) => figures.shopTrims,
  'best-hidden': (figures) => figures.visibleMeters,
};

const isAsGood = (aim: PlanAim, a: PlanFigures, b: PlanFigures): boolean =>
  AIM_FIGURE[aim](a) <= AIM_FIGURE[aim](b) + 1e-6;

function planFrom(side: PlanSide, candidate: Candidate & { aims: PlanAim[] }, tick: () => void): Plan {
  const { aims, stock, tree, figures, books } = candidate;
  return {
    id: firstOf(aims),
    aims,
    stock,
    tree,
    figures,
    reasons: seamReasons(side, stock, tree, books, tick),
  };
}

/** The equal vertical panels from the stock that needs the fewest panels; on a tie, the cheapest. */
function equalVerticalPlan(
  side: PlanSide,
  shelf: readonly Stock[],
  tick: () => void,
): EqualVerticalPlan | undefined {
  const all = shelf.flatMap(({ stock, books }) => {
    const tree = equalVerticalFromSide(side, stock);
    return tree ? [{ stock, books, tree, figures: planFigures(side, stock, tree) }] : [];
  });
  const [first] = all.sort(
    (a, b) => a.figures.panels - b.figures.panels || a.figures.money - b.figures.money,
  );
  if (!first) return undefined;
  const { stock, tree, figures, books } = first;
  return {
    id: 'equal-vertical',
    aims: [],
    stock,
    tree,
    figures,
    reasons: seamReasons(side, stock, tree, books, tick),
    broken: limitsBroken(side, stock, tree),
    isDominated: false,
  };
}
