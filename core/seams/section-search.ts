import { panelFilmUnits } from './film-fit.ts';
import { FilmRates, rollOf } from './film-zones.ts';
import { type PlanWeights, seamUnits } from './plan-objective.ts';
import { PANEL, type PlanTree, treeFromCut } from './plan-tree.ts';
import type { SeamAxis } from './seam-place.ts';
import type { PanelFilm, SectionGround } from './section-ground.ts';
import { SectionSequences } from './section-sequences.ts';
import type { SectionSequence } from './section-strips.ts';
import { isMovedSeam } from './slice-costs.ts';

export interface SectionPlan {
  readonly units: number;
  readonly tree: PlanTree;
}

/** Called during the search with the share done. It may throw to end the search. */
export type Tick = (share: number) => void;

export interface SearchOptions {
  /** Cost of a plan already found. Only plans that cost no more are searched for, which is faster. */
  readonly atMost?: number | undefined;
  readonly tick?: Tick;
}

/**
 * The cheapest layout of a side among all guillotine partitions along its section lines, each leaf one panel or a plain
 * sequence either way, seams to the millimeter.
 *
 *     best(i, j, k, l) = min( panel, sequence of vertical seams, sequence of horizontal seams,
 *                             min over i < m < j of best(i, m, k, l) + best(m, j, k, l) + seam m over rows k..l,
 *                             min over k < m < l of best(i, j, k, m) + best(i, j, m, l) + seam m over columns i..j )
 *
 * A leaf depends only on its edges. The line at an edge sets the joint, which sets the film of the panel, so the
 * parts can be minimized separately. On a tie the first in the order above wins, cuts from
 * left to right and top to bottom.
 *
 * Sequences take most of the time. Each therefore begins with a lower bound of its cost, and best is filled with the
 * bounds. The sequences of the layout that looks best are then computed to the millimeter and best is filled again,
 * until that layout has only computed sequences. Every other layout then costs at least what its bounds say, which is
 * no less.
 *
 * Returns undefined where no layout keeps all limits, or none costs as little as `atMost`.
 */
export function sectionSearch(
  ground: SectionGround,
  weights: PlanWeights,
  { atMost = Number.MAX_SAFE_INTEGER, tick = () => {} }: SearchOptions = {},
): SectionPlan | undefined {
  // A little above the ceiling, so that a sum added up in another order is not cut off.
  return new SectionSearch(ground, weights).solve(atMost + Math.abs(atMost) * 1e-9 + 1, tick);
}

/**
 * Most searches take a round or two. After this many rounds the bounds are too loose, and all sequences are computed at
 * once.
 */
const MOST_ROUNDS = 12;

/** Numbers of the order between two calls of the tick; each rectangle has four. */
const TICK_EVERY = 4096;

/** Code of the best choice for a rectangle: one of these, or from FIRST_CUT on a cut along a line. */
const NOTHING = 0;
const ONE_PANEL = 1;
const VERTICAL_SEQUENCE = 2;
const HORIZONTAL_SEQUENCE = 3;
const FIRST_CUT = 4;
const cutVertical = (m: number): number => FIRST_CUT + 2 * m;
const cutHorizontal = (m: number): number => FIRST_CUT + 2 * m + 1;

class SectionSearch {
  readonly #ground: SectionGround;
  readonly #weights: PlanWeights;
  readonly #rates: FilmRates;
  readonly #sequences: SectionSequences;
  readonly #columnCount: number;
  readonly #rowCount: number;
  readonly #units: Float64Array;
  readonly #choices: Int32Array;
  readonly #panels: Float64Array;
  readonly #cuts: Readonly<Record<SeamAxis, Float64Array>>;

  constructor(ground: SectionGround, weights: PlanWeights) {
    this.#ground = ground;
    this.#weights = weights;
    this.#rates = new FilmRates(ground.side, ground.stock, weights);
    this.#sequences = new SectionSequences(ground, weights);
    this.#columnCount = ground.columns.length;
    this.#rowCount = ground.rows.length;
    this.#units = new Float64Array(ground.size).fill(Number.POSITIVE_INFINITY);
    this.#choices = new Int32Array(ground.size);
    this.#panels = new Float64Array(ground.size).fill(Number.NaN);
    this.#cuts = {
      vertical: new Float64Array(this.#columnCount * this.#rowCount ** 2).fill(Number.NaN),
      horizontal: new Float64Array(this.#rowCount * this.#columnCount ** 2).fill(Number.NaN),
    };
  }

  solve(atMost: number, tick: Tick): SectionPlan | undefined {
    const { scope } = this.#ground;
    if (scope !== 'horizontal') this.#sequences.bound('vertical', (share) => tick(share * 0.4));
    if (scope !== 'vertical') this.#sequences.bound('horizontal', (share) => tick(0.4 + share * 0.4));
    const whole: Area = { i: 0, j: this.#columnCount - 1, k: 0, l: this.#rowCount - 1 };
    for (let round = 1; ; round++) {
      const tickRound = () => tick(1 - 0.2 / round);
      tickRound();
      this.#fill(tickRound);
      const units = this.#units[this.#ground.key(whole.i, whole.j, whole.k, whole.l)]!;
      if (!(units <= atMost)) return undefined;
      const open = this.#sequencesOf(whole).filter((sequence) => !this.#sequences.isSettled(sequence));
      if (open.length === 0) return { units, tree: this.#tree(whole) };
      if (round === MOST_ROUNDS) this.#sequences.settleAll(tickRound);
      for (const sequence of open) {
        tickRound();
        this.#sequences.settle(sequence);
      }
    }
  }

  #fill(tick: () => void): void {
    const { order } = this.#ground;
    for (let n = 0; n < order.length; n += 4) {
      if (n % TICK_EVERY === 0) tick();
      this.#fillRectangle(order[n]!, order[n + 1]!, order[n + 2]!, order[n + 3]!);
    }
  }

  #fillRectangle(i: number, j: number, k: number, l: number): void {
    const ground = this.#ground;
    const key = ground.key(i, j, k, l);
    let units = Number.POSITIVE_INFINITY;
    let choice = NOTHING;
    const panel = this.#panelUnits(key, i, j, k, l);
    if (panel !== IS_SPLIT) {
      if (panel < units) [units, choice] = [panel, ONE_PANEL];
      const [vertical, horizontal] = [this.#sequences.units('vertical'), this.#sequences.units('horizontal')];
      if (vertical[key]! < units) [units, choice] = [vertical[key]!, VERTICAL_SEQUENCE];
      if (horizontal[key]! < units) [units, choice] = [horizontal[key]!, HORIZONTAL_SEQUENCE];
    }
    const { isShaped } = ground;
    const columnEnd = isShaped ? this.#columnCount : j;
    for (let m = isShaped ? 0 : i + 1; m < columnEnd; m++) {
      if (isShaped && !ground.isCutBetween('vertical', m, i, j, k, l)) continue;
      const parts = this.#units[ground.key(i, m, k, l)]! + this.#units[ground.key(m, j, k, l)]!;
      if (parts === Number.POSITIVE_INFINITY) continue;
      const value = parts + this.#cutUnits('vertical', m, k, l);
      if (value < units) [units, choice] = [value, cutVertical(m)];
    }
    const rowEnd = isShaped ? this.#rowCount : l;
    for (let m = isShaped ? 0 : k + 1; m < rowEnd; m++) {
      if (isShaped && !ground.isCutBetween('horizontal', m, i, j, k, l)) continue;
      const parts = this.#units[ground.key(i, j, k, m)]! + this.#units[ground.key(i, j, m, l)]!;
      if (parts === Number.POSITIVE_INFINITY) continue;
      const value = parts + this.#cutUnits('horizontal', m, i, j);
      if (value < units) [units, choice] = [value, cutHorizontal(m)];
    }
    this.#units[key] = units;
    this.#choices[key] = choice;
  }

  /** Cost of a rectangle as one panel; IS_SPLIT where a locked seam rules out both one panel and a plain sequence. */
  #panelUnits(key: number, i: number, j: number, k: number, l: number): number {
    if (Number.isNaN(this.#panels[key])) {
      const ground = this.#ground;
      if (!ground.isWhole(i, j, k, l)) this.#panels[key] = IS_SPLIT;
      else if (ground.isOpen(i, j, k, l)) this.#panels[key] = 0;
      else {
        const film = ground.panelFilm(i, j, k, l);
        this.#panels[key] = film ? this.#filmUnits(film, i, j, k, l) : Number.POSITIVE_INFINITY;
      }
    }
    return this.#panels[key]!;
  }

  #filmUnits({ width, height }: PanelFilm, i: number, j: number, k: number, l: number): number {
    const { side, stock } = this.#ground;
    const film = this.#ground.filmOf(i, j, k, l);
    const rates = this.#rates.on(film);
    const trims = rates.perTrim * this.#ground.trims(i, j, k, l);
    return panelFilmUnits(side, rollOf(stock, film), rates, width, height) + trims;
  }

  /** Cost of a cut along section line m, Infinity where no cut is allowed. */
  #cutUnits(axis: SeamAxis, m: number, from: number, to: number): number {
    const across = axis === 'vertical' ? this.#rowCount : this.#columnCount;
    const known = this.#cuts[axis];
    const index = (m * across + from) * across + to;
    if (Number.isNaN(known[index])) {
      const { at, line } = this.#ground.edges(axis).along[m]!;
      const cost = this.#ground.cut(axis, m, from, to);
      known[index] = cost
        ? seamUnits(this.#weights, cost, isMovedSeam(this.#ground.side, axis, at, line?.path))
        : Number.POSITIVE_INFINITY;
    }
    return known[index]!;
  }

  /** The sequences in the best layout of a rectangle. */
  #sequencesOf(area: Area): SectionSequence[] {
    const { i, j, k, l } = area;
    const choice = this.#choices[this.#ground.key(i, j, k, l)]!;
    if (choice === VERTICAL_SEQUENCE) return [{ axis: 'vertical', i, j, k, l }];
    if (choice === HORIZONTAL_SEQUENCE) return [{ axis: 'horizontal', i: k, j: l, k: i, l: j }];
    if (choice < FIRST_CUT) return [];
    const { parts } = cutFromChoice(area, choice);
    return parts.flatMap((part) => this.#sequencesOf(part));
  }

  #tree(area: Area): PlanTree {
    const choice = this.#choices[this.#ground.key(area.i, area.j, area.k, area.l)]!;
    if (choice === ONE_PANEL) return PANEL;
    if (choice < FIRST_CUT) return this.#sequences.tree(this.#sequencesOf(area)[0]!);
    const { axis, m, parts } = cutFromChoice(area, choice);
    const { joint, at, path, follows } = this.#ground.edges(axis).along[m]!.line!;
    const run = { ...(path && { path }), ...(follows !== undefined && { follows }) };
    return treeFromCut(axis, { ...joint, at, ...run }, this.#tree(parts[0]), this.#tree(parts[1]));
  }
}

/** Marks a rectangle that can be neither one panel nor a plain sequence. */
const IS_SPLIT = -1;

/** A rectangle by its edges: columns i < j, rows k < l. */
interface Area {
  readonly i: number;
  readonly j: number;
  readonly k: number;
  readonly l: number;
}

function cutFromChoice(
  area: Area,
  choice: number,
): { readonly axis: SeamAxis; readonly m: number; readonly parts: readonly [Area, Area] } {
  const m = (choice - FIRST_CUT) >> 1;
  return choice % 2 === 0
    ? {
        axis: 'vertical',
        m,
        parts: [
          { ...area, j: m },
          { ...area, i: m },
        ],
      }
    : {
        axis: 'horizontal',
        m,
        parts: [
          { ...area, l: m },
          { ...area, k: m },
        ],
      };
}
