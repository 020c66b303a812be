import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import type { Effort } from '../nesting/effort.ts';
import { type Band, type BandItem, bandItems } from './band.ts';
import { type BandSpaces, bandPackingNested } from './band-nesting.ts';
import type { BandPacking } from './band-packing.ts';
import { likeRolls } from './equal-rolls.ts';
import { sizeOnRoll, unsentLength } from './roll-lengths.ts';
import { fitsPrint, type PlanRoll, type RollProblem } from './roll-problem.ts';

/** What one roll holds, apart from its locked panels. */
export interface RollLoad {
  readonly bands: readonly Band[];
  readonly left: readonly number[];
  readonly usedLengthMm: Mm;
  readonly isShortest: boolean;
}

/** One choice per decision of the problem, and what comes of it. */
export interface Assignment {
  readonly choices: readonly number[];
  readonly loads: readonly RollLoad[];
  readonly unplacedArea: number;
  readonly filmArea: number;
  readonly rollsUsed: number;
  /** Every roll's packing is proved the shortest for its panels. */
  readonly isShortest: boolean;
}

/** Works out assignments; the packing of a roll with the same panels is worked out once. */
export class AssignmentBook {
  private readonly problem: RollProblem;
  private readonly effort: Effort;
  private readonly nodesPerRoll: number;
  private readonly look: () => void;
  /** For each roll the first that is like it: what goes on one goes on the other in the same way. */
  private readonly firstLike: readonly number[];
  private readonly loads = new Map<string, RollLoad>();

  constructor(problem: RollProblem, effort: Effort, nodesPerRoll: number, look: () => void) {
    this.problem = problem;
    this.effort = effort;
    this.nodesPerRoll = nodesPerRoll;
    this.look = look;
    this.firstLike = likeRolls(problem.rolls);
  }

  /** What is asked from now on is packed side by side only. */
  get isSpent(): boolean {
    return this.effort.left <= 0;
  }

  assignment(choices: readonly number[]): Assignment {
    const { items, rolls, decisions } = this.problem;
    const rollOf = new Int32Array(items.length);
    const turned = new Uint8Array(items.length);
    decisions.forEach(({ kind, items: group }, decision) => {
      for (const index of group) (kind === 'roll' ? rollOf : turned)[index] = choices[decision]!;
    });
    return assignmentOfLoads(
      this.problem,
      choices,
      rolls.map((_, roll) => this.load(roll, rollOf, turned)),
    );
  }

  private load(roll: number, rollOf: Int32Array, turned: Uint8Array): RollLoad {
    const { items } = this.problem;
    const members = [...items.keys()].filter((index) => rollOf[index] === roll);
    const key = `${this.firstLike[roll]}:${members.map((index) => (turned[index] ? `${index}t` : index)).join()}`;
    const known = this.loads.get(key);
    if (known) return known;
    const load = this.packed(roll, members, turned);
    this.loads.set(key, load);
    return load;
  }

  private packed(roll: number, members: readonly number[], turned: Uint8Array): RollLoad {
    const { items, rolls, rules } = this.problem;
    const { stretches } = rolls[roll]!;
    const spaces = bandSpaces(this.problem);
    const left: number[] = [];
    const bandItems: BandItem[] = [];
    for (const index of members) {
      const item = items[index]!;
      const size = sizeOnRoll(item, turned[index] === 1);
      const isAllowed = (turned[index] === 0 || item.mayTurn) && fitsPrint(size, rules);
      if (isAllowed) bandItems.push({ key: index, ...size });
      else left.push(index);
    }
    const budget: Effort = { left: Math.min(this.nodesPerRoll, this.effort.left) };
    const before = budget.left;
    const packing = bandPackingNested(bandItems, stretches, spaces, {
      effort: budget,
      exactWithin: this.effort.left / 2,
      look: this.look,
    });
    this.effort.left -= before - budget.left;
    return {
      bands: packing.bands,
      left: [...left, ...packing.left.map((item) => item.key)],
      usedLengthMm: usedLength(rolls[roll]!, packing, rules.gapMm),
      isShortest: packing.isShortest,
    };
  }
}

const bandSpaces = ({ rules }: RollProblem): BandSpaces => ({
  gapMm: rules.gapMm,
  longestMm: unsentLength(rules.longestPrintMm, rules),
});

function usedLength({ stock, stretches, lockedUse }: PlanRoll, { bands }: BandPacking, gapMm: Mm): Mm {
  const ends = stretches.flatMap(({ start }, index) => {
    const lengths = bands.filter(({ stretch }) => stretch === index).map(({ length }) => length + gapMm);
    // What lies beside locked panels may end behind them.
    return lengths.length === 0
      ? []
      : [start + lengths.reduce((sum, length) => sum + length, -gapMm) + stock.tailMm];
  });
  return Math.max(lockedUse, ...ends);
}

function assignmentOfLoads(
  { items, rolls }: RollProblem,
  choices: readonly number[],
  loads: readonly RollLoad[],
): Assignment {
  const areaOf = (index: number): number => items[index]!.widthMm * items[index]!.lengthMm;
  return {
    choices,
    loads,
    unplacedArea: loads.flatMap((load) => load.left).reduce((sum, index) => sum + areaOf(index), 0),
    filmArea: loads.reduce((sum, load, roll) => sum + load.usedLengthMm * rolls[roll]!.stock.widthMm, 0),
    rollsUsed: loads.filter((load) => load.usedLengthMm > 0).length,
    isShortest: loads.every((load) => load.isShortest),
  };
}

/** The same choices with each roll nested more closely, where that was not proved impossible. */
export function assignmentImproved(
  problem: RollProblem,
  assignment: Assignment,
  nodes: number,
  look: (share: number) => void,
): Assignment {
  const { rolls, rules } = problem;
  let left = nodes;
  let open = assignment.loads.filter(({ isShortest }) => !isShortest).length;
  const loads = assignment.loads.map((load, roll): RollLoad => {
    if (load.isShortest || load.bands.length === 0) return load;
    const { stretches } = rolls[roll]!;
    const openLength = load.bands
      .filter((band) => stretches[band.stretch]!.isOpen)
      .reduce((sum, band) => sum + band.length + rules.gapMm, 0);
    const start: BandPacking = { bands: load.bands, left: [], openLength };
    const budget: Effort = { left: Math.floor(left / open--) };
    const rest = left - budget.left;
    const packing = bandPackingNested(
      load.bands.flatMap(bandItems),
      stretches,
      bandSpaces(problem),
      {
        effort: budget,
        exactWithin: budget.left,
        look: () => look(1 - (rest + Math.max(0, budget.left)) / nodes),
      },
      start,
    );
    left = rest + Math.max(0, budget.left);
    return {
      bands: packing.bands,
      left: load.left,
      usedLengthMm: usedLength(rolls[roll]!, packing, rules.gapMm),
      isShortest: load.left.length === 0 && packing.isShortest,
    };
  });
  return assignmentOfLoads(problem, assignment.choices, loads);
}

/** Less film left out, then less film used, then fewer rolls; 0 where none of these differ. */
export function assignmentOrder(a: Assignment, b: Assignment): number {
  return (
    difference(a.unplacedArea, b.unplacedArea) ||
    difference(a.filmArea, b.filmArea) ||
    Math.sign(a.rollsUsed - b.rollsUsed)
  );
}

/** Areas are sums of many products, so they are compared with a slack of a length's tolerance on a wide film. */
const difference = (a: number, b: number): number =>
  Math.abs(a - b) <= LENGTH_TOLERANCE_MM * 1e4 ? 0 : Math.sign(a - b);
