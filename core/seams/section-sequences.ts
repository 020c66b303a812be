import { type PanelRates, type PlanWeights, panelRates } from './plan-objective.ts';
import { jointFromLap } from './plan-side.ts';
import { PANEL, type PlanTree } from './plan-tree.ts';
import { SEAM_AXES, type SeamAxis } from './seam-place.ts';
import type { SectionGround } from './section-ground.ts';
import { type SectionSequence, sequenceTask } from './section-sequence-task.ts';
import { fillSequenceUnits, type SequenceTask, sequenceRelaxed, sequenceSearch } from './sequence-search.ts';

/**
 * What every sequence of a ground costs under an objective: first a bound that is never above it, then, for the sequences that
 * are asked for, what it is to the millimeter. A side with twelve by eight lines has thousands of sequences, of which a
 * search needs a few dozen.
 */
export class SectionSequences {
  readonly #ground: SectionGround;
  readonly #weights: PlanWeights;
  readonly #rates: PanelRates;
  readonly #units: Readonly<Record<SeamAxis, Float64Array>>;
  readonly #isSettled: Readonly<Record<SeamAxis, Uint8Array>>;
  readonly #found: Float64Array;
  readonly #strips = new Map<string, Float64Array>();

  constructor(ground: SectionGround, weights: PlanWeights) {
    this.#ground = ground;
    this.#weights = weights;
    this.#rates = panelRates(ground.side.card, weights, ground.stock);
    const none = () => new Float64Array(ground.size).fill(Number.POSITIVE_INFINITY);
    this.#units = { vertical: none(), horizontal: none() };
    this.#isSettled = { vertical: new Uint8Array(ground.size), horizontal: new Uint8Array(ground.size) };
    this.#found = new Float64Array(Math.max(ground.columns.length, ground.rows.length));
  }

  /** The units of all sequences of an axis by the key of their rectangle: the cost of a settled sequence, a bound of any other. */
  units(axis: SeamAxis): Float64Array {
    return this.#units[axis];
  }

  isSettled(sequence: SectionSequence): boolean {
    return this.#isSettled[sequence.axis][this.#key(sequence)] === 1;
  }

  /** Bounds for every sequence of an axis: one search for each strip and start gives all the ends. */
  bound(axis: SeamAxis, tick: (share: number) => void): void {
    const { along, across } = this.#ground.edges(axis);
    const { blockStarts, blockSpan } = this.#ground.books[axis];
    for (let k = 0; k < across.length; k++) {
      for (let l = k + 1; l < across.length; l++) {
        tick(k / across.length);
        for (let i = 0; i + 1 < along.length; i++) {
          const task = this.#task(axis, i, along.length - 1, k, l, 'least');
          if (!task) break;
          fillSequenceUnits(sequenceRelaxed(task, blockStarts, blockSpan), this.#ground.memory, this.#found);
          for (let j = i + 1; j < along.length; j++) {
            const units = this.#found[j - i - 1]!;
            // A little below, so that sums added up in another order are not above what they bound.
            this.#units[axis][this.#key({ axis, i, j, k, l })] = units - Math.abs(units) * 1e-9 - 1;
          }
        }
      }
    }
  }

  /** Settles every sequence that may be possible. */
  settleAll(tick: () => void): void {
    for (const axis of SEAM_AXES) {
      const { along, across } = this.#ground.edges(axis);
      const isOpen = (sequence: SectionSequence) =>
        !this.isSettled(sequence) && this.#units[axis][this.#key(sequence)] !== Number.POSITIVE_INFINITY;
      for (let k = 0; k < across.length; k++) {
        for (let l = k + 1; l < across.length; l++) {
          tick();
          for (let i = 0; i + 1 < along.length; i++) {
            let j = along.length - 1;
            while (j > i && !isOpen({ axis, i, j, k, l })) j--;
            if (j > i) this.settle({ axis, i, j, k, l });
          }
        }
      }
    }
  }

  /** Finds what a sequence costs, and on the way every shorter one from the same start in the same strip. */
  settle({ axis, i, j, k, l }: SectionSequence): void {
    const task = this.#task(axis, i, j, k, l, 'every');
    if (task) fillSequenceUnits(task, this.#ground.memory, this.#found);
    for (let end = i + 1; end <= j; end++) {
      const key = this.#key({ axis, i, j: end, k, l });
      this.#units[axis][key] = task ? this.#found[end - i - 1]! : Number.POSITIVE_INFINITY;
      this.#isSettled[axis][key] = 1;
    }
  }

  tree({ axis, i, j, k, l }: SectionSequence): PlanTree {
    const { side, stock, memory } = this.#ground;
    const task = this.#task(axis, i, j, k, l, 'every')!;
    const solution = sequenceSearch({ ...task, ends: task.ends.slice(-1) }, memory)[0]!;
    const shape = jointFromLap(stock.lap, axis, side.front);
    const joints = solution.seams.map((index) => ({ ...shape, at: task.positions[index]! }));
    return { kind: 'split', axis, joints, parts: [PANEL, ...joints.map(() => PANEL)] };
  }

  #task(
    axis: SeamAxis,
    i: number,
    j: number,
    k: number,
    l: number,
    seams: 'every' | 'least',
  ): SequenceTask | undefined {
    const costs = { seamUnits: () => this.#seamUnits(axis, k, l, seams), rates: this.#rates };
    return sequenceTask(this.#ground, { axis, i, j, k, l }, costs);
  }

  #seamUnits(axis: SeamAxis, k: number, l: number, seams: 'every' | 'least'): Float64Array {
    const key = `${seams} ${axis} ${k} ${l}`;
    let units = this.#strips.get(key);
    if (!units) {
      const { across } = this.#ground.edges(axis);
      const strip = this.#ground.books[axis].strip(across[k]!.at, across[l]!.at);
      units = seams === 'least' ? strip.leastUnits(this.#weights) : strip.units(this.#weights);
      this.#strips.set(key, units);
    }
    return units;
  }

  #key({ axis, i, j, k, l }: SectionSequence): number {
    return axis === 'vertical' ? this.#ground.key(i, j, k, l) : this.#ground.key(k, l, i, j);
  }
}
