import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { panelPrice, panelPriceAt } from './film-fit.ts';
import { busyMetres } from './picture-energy.ts';
import { isRunHopeless, type PlanFloor, planFloor, runCeiling } from './plan-bound.ts';
import { type PanelRates, type PlanWeights, panelRates, seamUnits } from './plan-objective.ts';
import {
  type JointShape,
  jointFromLap,
  type PlanSide,
  type PlanStock,
  type SeamAxis,
  type SeamPlace,
  sideLength,
} from './plan-side.ts';
import { PANEL, type PlanTree, treeFromCut } from './plan-tree.ts';
import { type RunEnd, type RunMemory, type RunTask, runMemory, runSearch, runUnits } from './run-search.ts';
import { seamCost, seamParts } from './seam-parts.ts';
import { isLockedWithin, linesWithOwnJoint, type SectionLine, sectionLines } from './section-lines.ts';
import { isMovedSeam, StripBook } from './strip-costs.ts';

/** Which layouts are searched: one plain run of either direction, or sections of both. */
export type PlanScope = SeamAxis | 'mixed';

export interface SectionPlan {
  readonly units: number;
  readonly tree: PlanTree;
}

/** What one search of a side needs and what the next can use again: everything that does not hang on weights. */
export interface SectionGround {
  readonly side: PlanSide;
  readonly stock: PlanStock;
  readonly columns: readonly Edge[];
  readonly rows: readonly Edge[];
  readonly scope: PlanScope;
  readonly books: Readonly<Record<SeamAxis, StripBook>>;
  readonly memory: RunMemory;
}

/** A place where a rectangle of the search may end: the outline, or a section line. */
interface Edge {
  readonly at: Mm;
  /** How far the image of a part that begins here reaches before it, and of one that ends here beyond it. */
  readonly reachBefore: Mm;
  readonly reachBeyond: Mm;
  readonly line?: SectionLine;
}

/** Called as the search goes on, with the share done. It may throw to end the search. */
export type Tick = (share: number) => void;

/** Strip books are the costly part of a ground; a caller that searches more than one scope hands them over. */
export function sectionGround(
  side: PlanSide,
  stock: PlanStock,
  scope: PlanScope,
  books: Readonly<Record<SeamAxis, StripBook>> = stripBooks(side, stock),
): SectionGround {
  const edges = (axis: SeamAxis): Edge[] => {
    const all = sectionLines(side, stock, axis);
    const lines = scope === 'mixed' ? all : scope === axis ? linesWithOwnJoint(all) : [];
    const { bleed } = side;
    const [start, end] = axis === 'vertical' ? [bleed.left, bleed.right] : [bleed.top, bleed.bottom];
    return [
      { at: 0, reachBefore: start, reachBeyond: 0 },
      ...lines.map((line) => ({
        at: line.at,
        reachBefore: line.joint.second,
        reachBeyond: line.joint.first,
        line,
      })),
      { at: sideLength(side, axis), reachBefore: 0, reachBeyond: end },
    ];
  };
  const longest = Math.max(books.vertical.positions.length, books.horizontal.positions.length);
  return {
    side,
    stock,
    scope,
    columns: edges('vertical'),
    rows: edges('horizontal'),
    books,
    memory: runMemory(longest),
  };
}

export const stripBooks = (side: PlanSide, stock: PlanStock): Record<SeamAxis, StripBook> => ({
  vertical: new StripBook(side, 'vertical', jointFromLap(stock.lap, 'vertical', side.front)),
  horizontal: new StripBook(side, 'horizontal', jointFromLap(stock.lap, 'horizontal', side.front)),
});

type Choice =
  | { readonly kind: 'none' | 'panel' | 'run-vertical' | 'run-horizontal' }
  | { readonly kind: 'cut-vertical' | 'cut-horizontal'; readonly at: number };

/**
 * The cheapest layout of a side among all guillotine partitions along its section lines, each leaf one panel or
 * a plain run either way, seams to the millimetre.
 *
 * Rectangles are named by the edges between which they lie: columns i < j, rows k < l. Their cheapest layout is
 *
 *     best(i, j, k, l) = min( panel, run of vertical seams, run of horizontal seams,
 *                             min over i < m < j of best(i, m, k, l) + best(m, j, k, l) + seam m over rows k..l,
 *                             min over k < m < l of best(i, j, k, m) + best(i, j, m, l) + seam m over columns i..j )
 *
 * A leaf needs nothing but its edges: an edge's joint is its line's, so a panel's film is known there and then,
 * and the minimum of the parts is the minimum of the whole. On a tie the first in the order above stays, cuts
 * from left to right and top to bottom.
 *
 * Returns undefined where no layout keeps all limits, or none costs as little as `atMost`.
 */
export function sectionSearch(
  ground: SectionGround,
  weights: PlanWeights,
  { atMost, tick = () => {} }: SearchOptions = {},
): SectionPlan | undefined {
  return new SectionSearch(ground, weights, atMost).solve(tick);
}

export interface SearchOptions {
  /** What a plan in hand costs: only plans that cost no more are looked for, which is faster. */
  readonly atMost?: number | undefined;
  readonly tick?: Tick;
}

class SectionSearch {
  readonly #ground: SectionGround;
  readonly #weights: PlanWeights;
  readonly #rates: PanelRates;
  readonly #atMost: number | undefined;
  readonly #floor: PlanFloor;
  readonly #columnCount: number;
  readonly #rowCount: number;
  readonly #units: Float64Array;
  readonly #choices: Choice[];
  readonly #cuts: Readonly<Record<SeamAxis, Float64Array>>;
  readonly #verticalRuns: Float64Array;
  readonly #horizontalRuns: Float64Array;

  constructor(ground: SectionGround, weights: PlanWeights, atMost: number | undefined) {
    this.#ground = ground;
    this.#weights = weights;
    this.#atMost = atMost;
    this.#floor = planFloor(ground.side, ground.stock, weights);
    this.#rates = panelRates(ground.side.card, weights, ground.stock);
    this.#columnCount = ground.columns.length;
    this.#rowCount = ground.rows.length;
    const size = this.#columnCount ** 2 * this.#rowCount ** 2;
    const none: Choice = { kind: 'none' };
    this.#units = new Float64Array(size).fill(Number.POSITIVE_INFINITY);
    this.#choices = new Array<Choice>(size).fill(none);
    this.#cuts = {
      vertical: new Float64Array(this.#columnCount * this.#rowCount ** 2).fill(Number.NaN),
      horizontal: new Float64Array(this.#rowCount * this.#columnCount ** 2).fill(Number.NaN),
    };
    this.#verticalRuns = new Float64Array(size).fill(Number.POSITIVE_INFINITY);
    this.#horizontalRuns = new Float64Array(size).fill(Number.POSITIVE_INFINITY);
  }

  solve(tick: Tick): SectionPlan | undefined {
    const { scope } = this.#ground;
    if (scope !== 'horizontal') this.#solveRuns('vertical', (share) => tick(share * 0.6));
    if (scope !== 'vertical') this.#solveRuns('horizontal', (share) => tick(0.6 + share * 0.3));
    this.#solveRectangles((share) => tick(0.9 + share * 0.1));
    const whole = this.#key(0, this.#columnCount - 1, 0, this.#rowCount - 1);
    const units = this.#units[whole]!;
    if (units === Number.POSITIVE_INFINITY) return undefined;
    return { units, tree: this.#tree(0, this.#columnCount - 1, 0, this.#rowCount - 1) };
  }

  #key(i: number, j: number, k: number, l: number): number {
    return ((i * this.#columnCount + j) * this.#rowCount + k) * this.#rowCount + l;
  }

  /** Every run of an axis: one search for each strip and start gives all the ends. */
  #solveRuns(axis: SeamAxis, tick: Tick): void {
    const { columns, rows } = this.#ground;
    const [along, across] = axis === 'vertical' ? [columns, rows] : [rows, columns];
    const table = axis === 'vertical' ? this.#verticalRuns : this.#horizontalRuns;
    const found = new Float64Array(along.length);
    let done = 0;
    for (let k = 0; k < across.length; k++) {
      tick(done++ / across.length);
      for (let l = k + 1; l < across.length; l++) {
        for (let i = 0; i + 1 < along.length; i++) {
          const task = this.#runTask(axis, i, k, l);
          if (!task) continue;
          runUnits(task, this.#ground.memory, found);
          for (let j = i + 1; j < along.length; j++) {
            const key = axis === 'vertical' ? this.#key(i, j, k, l) : this.#key(k, l, i, j);
            table[key] = found[j - i - 1]!;
          }
        }
      }
    }
  }

  /** The run that starts at edge i and lies between edges k and l across; undefined where its panels cannot fit or cost too much. */
  #runTask(axis: SeamAxis, i: number, k: number, l: number): RunTask | undefined {
    const { side, stock, columns, rows, books } = this.#ground;
    const [along, across] = axis === 'vertical' ? [columns, rows] : [rows, columns];
    const [from, to] = [across[k]!, across[l]!];
    if (to.at - from.at < side.minPanel - LENGTH_TOLERANCE_MM) return undefined;
    const height = to.at - from.at + from.reachBefore + to.reachBeyond + 2 * side.border;
    const price = panelPrice(stock.roll, side.card, height, this.#rates);
    if (price.length === 0) return undefined;
    const joint = jointFromLap(stock.lap, axis, side.front);
    const start = along[i]!;
    const ceiling =
      this.#atMost === undefined
        ? undefined
        : runCeiling(this.#floor, side, axis, this.#atMost, start.at, to.at - from.at);
    if (ceiling && isRunHopeless(ceiling, start.at)) return undefined;
    return {
      ...(ceiling ? { ceiling } : {}),
      positions: books[axis].positions,
      seamUnits: this.#stripUnits(axis, from.at, to.at),
      first: joint.first,
      second: joint.second,
      border: side.border,
      minPanel: side.minPanel,
      price,
      start: { at: start.at, reach: start.reachBefore },
      ends: along.slice(i + 1).map((edge): RunEnd => ({ at: edge.at, reach: edge.reachBeyond })),
    };
  }

  readonly #strips = new Map<string, Float64Array>();
  #stripUnits(axis: SeamAxis, from: Mm, to: Mm): Float64Array {
    const key = `${axis} ${from} ${to}`;
    let units = this.#strips.get(key);
    if (!units) {
      // One strip of an axis is used at a time; keeping all of them would cost a hundred megabytes.
      this.#strips.clear();
      units = this.#ground.books[axis].strip(from, to).units(this.#weights);
      this.#strips.set(key, units);
    }
    return units;
  }

  /** Small rectangles first, so that the parts of each are known when it is looked at. */
  #solveRectangles(tick: Tick): void {
    for (let columns = 1; columns < this.#columnCount; columns++) {
      tick(columns / this.#columnCount);
      for (let i = 0; i + columns < this.#columnCount; i++) {
        for (let rows = 1; rows < this.#rowCount; rows++) {
          for (let k = 0; k + rows < this.#rowCount; k++) this.#solveRectangle(i, i + columns, k, k + rows);
        }
      }
    }
  }

  #solveRectangle(i: number, j: number, k: number, l: number): void {
    const { side, columns, rows } = this.#ground;
    const key = this.#key(i, j, k, l);
    let units = Number.POSITIVE_INFINITY;
    let choice: Choice = { kind: 'none' };
    const offer = (value: number, kind: 'panel' | 'run-vertical' | 'run-horizontal') => {
      if (value < units) [units, choice] = [value, { kind }];
    };
    const [left, right, top, bottom] = [columns[i]!, columns[j]!, rows[k]!, rows[l]!];
    if (!isLockedWithin(side, left.at, top.at, right.at, bottom.at)) {
      offer(this.#panelUnits(i, j, k, l), 'panel');
      offer(this.#verticalRuns[key]!, 'run-vertical');
      offer(this.#horizontalRuns[key]!, 'run-horizontal');
    }
    for (let m = i + 1; m < j; m++) {
      const parts = this.#units[this.#key(i, m, k, l)]! + this.#units[this.#key(m, j, k, l)]!;
      if (parts === Number.POSITIVE_INFINITY) continue;
      const value = parts + this.#cutUnits('vertical', m, k, l);
      if (value < units) [units, choice] = [value, { kind: 'cut-vertical', at: m }];
    }
    for (let m = k + 1; m < l; m++) {
      const parts = this.#units[this.#key(i, j, k, m)]! + this.#units[this.#key(i, j, m, l)]!;
      if (parts === Number.POSITIVE_INFINITY) continue;
      const value = parts + this.#cutUnits('horizontal', m, i, j);
      if (value < units) [units, choice] = [value, { kind: 'cut-horizontal', at: m }];
    }
    this.#units[key] = units;
    this.#choices[key] = choice;
  }

  #panelUnits(i: number, j: number, k: number, l: number): number {
    const { side, stock, columns, rows } = this.#ground;
    const [left, right, top, bottom] = [columns[i]!, columns[j]!, rows[k]!, rows[l]!];
    const net = { width: right.at - left.at, height: bottom.at - top.at };
    if (Math.min(net.width, net.height) < side.minPanel - LENGTH_TOLERANCE_MM)
      return Number.POSITIVE_INFINITY;
    const height = net.height + top.reachBefore + bottom.reachBeyond + 2 * side.border;
    const price = panelPrice(stock.roll, side.card, height, this.#rates);
    return panelPriceAt(price, net.width + left.reachBefore + right.reachBeyond + 2 * side.border);
  }

  /** What a cut along section line m costs, Infinity where it may not run there. Each is worked out once. */
  #cutUnits(axis: SeamAxis, m: number, from: number, to: number): number {
    const { columns, rows, side } = this.#ground;
    const [along, across] = axis === 'vertical' ? [columns, rows] : [rows, columns];
    const known = this.#cuts[axis];
    const index = (m * across.length + from) * across.length + to;
    if (Number.isNaN(known[index])) {
      const { line, at } = along[m]!;
      const place: SeamPlace = { axis, at, from: across[from]!.at, to: across[to]!.at };
      known[index] =
        line!.isCutAllowed(place.from, place.to) && place.to - place.from > LENGTH_TOLERANCE_MM
          ? seamUnitsAt(side, this.#weights, place, line!.joint)
          : Number.POSITIVE_INFINITY;
    }
    return known[index]!;
  }

  #tree(i: number, j: number, k: number, l: number): PlanTree {
    const choice = this.#choices[this.#key(i, j, k, l)]!;
    const { columns, rows } = this.#ground;
    switch (choice.kind) {
      case 'run-vertical':
        return this.#runTree('vertical', i, j, k, l);
      case 'run-horizontal':
        return this.#runTree('horizontal', k, l, i, j);
      case 'cut-vertical': {
        const [m, edge] = [choice.at, columns[choice.at]!];
        const joint = { ...edge.line!.joint, at: edge.at };
        return treeFromCut('vertical', joint, this.#tree(i, m, k, l), this.#tree(m, j, k, l));
      }
      case 'cut-horizontal': {
        const [m, edge] = [choice.at, rows[choice.at]!];
        const joint = { ...edge.line!.joint, at: edge.at };
        return treeFromCut('horizontal', joint, this.#tree(i, j, k, m), this.#tree(i, j, m, l));
      }
      case 'panel':
        return PANEL;
      case 'none':
        throw new Error('a rectangle without a layout has no tree');
    }
  }

  #runTree(axis: SeamAxis, i: number, j: number, k: number, l: number): PlanTree {
    const { side, stock, memory } = this.#ground;
    const task = this.#runTask(axis, i, k, l)!;
    const solution = runSearch({ ...task, ends: [task.ends[j - i - 1]!] }, memory)[0]!;
    const shape = jointFromLap(stock.lap, axis, side.front);
    const joints = solution.seams.map((index) => ({ ...shape, at: task.positions[index]! }));
    return { kind: 'run', axis, joints, parts: [PANEL, ...joints.map(() => PANEL)] };
  }
}

/** What one seam costs under an objective, limits aside. */
export function seamUnitsAt(
  side: PlanSide,
  weights: PlanWeights,
  place: SeamPlace,
  joint: JointShape,
): number {
  const parts = seamParts(side, place);
  const busy = side.energy ? busyMetres(side.energy, place, joint.first, joint.second) : 0;
  const cost = seamCost(side.card, joint, { ...parts, busy });
  return seamUnits(weights, cost, isMovedSeam(side, place.axis, place.at));
}
