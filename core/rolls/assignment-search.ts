import type { Effort } from './effort.ts';
import { type RandomNumbers, randomIndex, randomNumbersFromSeed } from './random-numbers.ts';
import { type Assignment, AssignmentBook, assignmentImproved, assignmentOrder } from './roll-assignment.ts';
import type { RollProblem } from './roll-problem.ts';

/** How long the search may take: nodes of the band search in all, and nodes for each roll it looks at. */
export interface PlanEffort {
  readonly nodes: number;
  readonly nodesPerRoll: number;
  /** Up to this many combinations of choices all are tried. */
  readonly mostCombinations: number;
  readonly mostTrials: number;
  /** Nodes for packing the rolls of the best plan more closely. */
  readonly improvementNodes: number;
}

/** Under a second for sixty panels on a desk machine of 2020. */
export const DEFAULT_PLAN_EFFORT: PlanEffort = {
  nodes: 200_000,
  nodesPerRoll: 20_000,
  mostCombinations: 4096,
  mostTrials: 1500,
  improvementNodes: 150_000,
};

export interface SearchedAssignment {
  /** Assignments that are equally good in film and rolls; the caller takes the one in the best print order. */
  readonly best: readonly Assignment[];
  /** All combinations were tried and every packing was finished: no plan under these rules uses less film. */
  readonly isShortest: boolean;
}

/** Ties are kept up to this number, because each has its print order worked out. */
const MOST_TIES = 12;

/** Hears which share of the search is done, 0 to 1; it may throw to call the search off. */
export type SearchLook = (share: number) => void;

/** Looks for the rolls and directions that use least film: all of them for small jobs, by improvement for large ones. */
export function assignmentSearched(
  problem: RollProblem,
  planEffort: PlanEffort,
  look: SearchLook = () => undefined,
): SearchedAssignment {
  const effort: Effort = { left: planEffort.nodes };
  const book = new AssignmentBook(problem, effort, planEffort.nodesPerRoll);
  const combinations = problem.decisions.reduce((product, { options }) => product * options.length, 1);
  const searched =
    combinations <= planEffort.mostCombinations
      ? allTried(problem, book, (tried) => look(tried / combinations))
      : improved(problem, book, planEffort.mostTrials, look);
  if (searched.isShortest) return searched;
  const better = assignmentImproved(problem, searched.best[0]!, { left: planEffort.improvementNodes });
  return assignmentOrder(better, searched.best[0]!) < 0 ? { best: [better], isShortest: false } : searched;
}

function allTried(
  problem: RollProblem,
  book: AssignmentBook,
  look: (tried: number) => void,
): SearchedAssignment {
  const ties = new Ties();
  let isShortest = true;
  let tried = 0;
  for (const choices of combinationsOf(problem)) {
    look(tried++);
    const assignment = book.assignment(choices);
    ties.add(assignment);
    isShortest &&= assignment.isShortest;
  }
  return { best: ties.best, isShortest };
}

function* combinationsOf({ decisions }: RollProblem): Generator<number[]> {
  const digits = decisions.map(() => 0);
  for (;;) {
    yield decisions.map(({ options }, decision) => options[digits[decision]!]!);
    let decision = 0;
    while (decision < digits.length && digits[decision] === decisions[decision]!.options.length - 1) {
      digits[decision] = 0;
      decision++;
    }
    if (decision === digits.length) return;
    digits[decision]!++;
  }
}

/** Changes one choice, or swaps the rolls of two groups, as long as that helps; then shakes and tries again. */
function improved(
  problem: RollProblem,
  book: AssignmentBook,
  mostTrials: number,
  look: SearchLook,
): SearchedAssignment {
  const random = randomNumbersFromSeed(problem.items.length + 1);
  const ties = new Ties();
  let trials = mostTrials;
  let start = greedyChoices(problem, book);
  while (trials > 0) {
    let current = book.assignment(start);
    let isImproving = true;
    while (isImproving && trials > 0) {
      isImproving = false;
      for (const choices of neighbors(current.choices, problem, random)) {
        if (trials-- <= 0) break;
        look(1 - (trials + 1) / mostTrials);
        const next = book.assignment(choices);
        if (assignmentOrder(next, current) >= 0) continue;
        current = next;
        isImproving = true;
        break;
      }
    }
    ties.add(current);
    start = shaken(ties.best[0]!.choices, problem, random);
  }
  return { best: ties.best, isShortest: false };
}

/** Decides one thing after the other, the largest groups of panels first, each in the way that is best so far. */
function greedyChoices(problem: RollProblem, book: AssignmentBook): number[] {
  const { decisions } = problem;
  const choices = decisions.map(({ options }) => options[0]!);
  const bySize = [...decisions.keys()].sort(
    (a, b) => decisions[b]!.items.length - decisions[a]!.items.length,
  );
  for (const decision of bySize) {
    let best: Assignment | undefined;
    for (const option of decisions[decision]!.options) {
      const assignment = book.assignment(choices.with(decision, option));
      if (!best || assignmentOrder(assignment, best) < 0) best = assignment;
    }
    choices[decision] = best!.choices[decision]!;
  }
  return choices;
}

function* neighbors(
  choices: readonly number[],
  { decisions }: RollProblem,
  random: RandomNumbers,
): Generator<number[]> {
  const shift = randomIndex(random, decisions.length);
  const order = [...decisions.keys()].map((index) => (index + shift) % decisions.length);
  for (const decision of order) {
    for (const option of decisions[decision]!.options) {
      if (option !== choices[decision]) yield choices.with(decision, option);
    }
  }
  const groups = order.filter((decision) => decisions[decision]!.kind === 'roll');
  for (const a of groups) {
    for (const b of groups) {
      const isSwap =
        a < b &&
        choices[a] !== choices[b] &&
        decisions[a]!.options.includes(choices[b]!) &&
        decisions[b]!.options.includes(choices[a]!);
      if (isSwap) yield choices.with(a, choices[b]!).with(b, choices[a]!);
    }
  }
}

function shaken(choices: readonly number[], { decisions }: RollProblem, random: RandomNumbers): number[] {
  const open = [...decisions.keys()].filter((decision) => decisions[decision]!.options.length > 1);
  const shakes = Math.max(2, Math.ceil(open.length / 8));
  const next = [...choices];
  for (let i = 0; i < shakes; i++) {
    const decision = open[randomIndex(random, open.length)]!;
    const { options } = decisions[decision]!;
    next[decision] = options[randomIndex(random, options.length)]!;
  }
  return next;
}

class Ties {
  best: Assignment[] = [];

  add(assignment: Assignment): void {
    const order = this.best.length === 0 ? -1 : assignmentOrder(assignment, this.best[0]!);
    if (order < 0) this.best = [assignment];
    else if (order === 0 && this.best.length < MOST_TIES) this.best.push(assignment);
  }
}
