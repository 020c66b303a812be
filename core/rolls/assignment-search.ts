import type { Effort } from '../nesting/effort.ts';
import { type RandomNumbers, randomIndex, randomNumbersFromSeed } from '../nesting/random-numbers.ts';
import { type Assignment, AssignmentBook, assignmentImproved, assignmentOrder } from './roll-assignment.ts';
import type { RollProblem } from './roll-problem.ts';

/** How long the search may take: blocks of panels looked at in all, and for each roll that it looks at. */
export interface PlanEffort {
  readonly nodes: number;
  readonly nodesPerRoll: number;
  /** Up to this many combinations of choices all are tried. */
  readonly mostCombinations: number;
  readonly mostTrials: number;
  /** The same for packing the rolls of the best plan more closely. */
  readonly improvementNodes: number;
}

/** Three seconds at most on a desk machine of 2020, and far less where few panels or a bound met end it. */
export const DEFAULT_PLAN_EFFORT: PlanEffort = {
  nodes: 15_000_000,
  nodesPerRoll: 600_000,
  mostCombinations: 4096,
  mostTrials: 1500,
  improvementNodes: 90_000_000,
};

export interface SearchedAssignment {
  /** Assignments that are equally good in film and rolls; the caller takes the one in the best print order. */
  readonly best: readonly Assignment[];
  /** All combinations were tried and every packing was finished: no plan under these rules uses less film. */
  readonly isShortest: boolean;
}

/** Of the whole, when the rolls and directions are chosen; the rest goes to nesting more closely. */
const SEARCH_SHARE = 0.6;

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
  const { nodes, nodesPerRoll, improvementNodes } = planEffort;
  const effort: Effort = { left: nodes };
  let shown = 0;
  const lookAt = (share: number) => {
    shown = share * SEARCH_SHARE;
    look(shown);
  };
  const book = new AssignmentBook(problem, effort, nodesPerRoll, () => look(shown));
  const combinations = problem.decisions.reduce((product, { options }) => product * options.length, 1);
  const searched =
    combinations <= planEffort.mostCombinations
      ? allTried(problem, book, (tried) => lookAt(tried / combinations))
      : improvedTwice(problem, book, planEffort.mostTrials, lookAt);
  if (searched.isShortest) return searched;
  const better = assignmentImproved(problem, searched.best[0]!, improvementNodes, (share) =>
    look(SEARCH_SHARE + (1 - SEARCH_SHARE) * share),
  );
  const isShortest = combinations === 1 && better.isShortest;
  return assignmentOrder(better, searched.best[0]!) < 0
    ? { best: [better], isShortest }
    : { best: searched.best, isShortest };
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

/** First by panels side by side, which is quick, then as long as the effort lasts by nesting them. */
function improvedTwice(
  problem: RollProblem,
  book: AssignmentBook,
  mostTrials: number,
  look: SearchLook,
): SearchedAssignment {
  const quickly = new AssignmentBook(problem, { left: 0 }, 0, () => undefined);
  const rough = improved(problem, quickly, mostTrials, (share) => look(share / 2));
  const start = rough.best[0]!.choices;
  return improved(problem, book, mostTrials, (share) => look((1 + share) / 2), start);
}

/** Changes one choice, or swaps the rolls of two groups, as long as that helps; then shakes and tries again. */
function improved(
  problem: RollProblem,
  book: AssignmentBook,
  mostTrials: number,
  look: SearchLook,
  from?: readonly number[],
): SearchedAssignment {
  const random = randomNumbersFromSeed(problem.items.length + 1);
  const ties = new Ties();
  let trials = mostTrials;
  let start = from ?? greedyChoices(problem, book);
  do {
    let current = book.assignment(start);
    let isImproving = true;
    while (isImproving && trials > 0) {
      isImproving = false;
      for (const choices of neighbors(current.choices, problem, random)) {
        if (trials-- <= 0 || (from && book.isSpent)) break;
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
  } while (trials > 0 && !(from && book.isSpent));
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
