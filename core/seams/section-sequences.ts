import { FilmRates } from './film-zones.ts';
import type { PlanWeights } from './plan-objective.ts';
import { jointFromLap } from './plan-side.ts';
import { PANEL, type PlanTree } from './plan-tree.ts';
import { SEAM_AXES, type SeamAxis } from './seam-place.ts';
import type { SectionGround } from './section-ground.ts';
import { type SequenceCosts, sequenceTask } from './section-sequence-task.ts';
import type { SectionSequence, SectionStrip, SequenceGroup } from './section-strips.ts';
import { fillSequenceUnits, type SequenceTask, sequenceRelaxed, sequenceSearch } from './sequence-search.ts';

/**
 * Costs of all sequences of a ground under an objective: first a lower bound, then the exact cost, to the millimeter,
 * of the sequences that a search requests. A side with twelve by eight lines has thousands of sequences, of which a
 * search needs a few dozen.
 */
export class SectionSequences {
  readonly #ground: SectionGround;
  readonly #weights: PlanWeights;
  readonly #rates: FilmRates;
  readonly #units: Readonly<Record<SeamAxis, Float64Array>>;
  readonly #isSettled: Readonly<Record<SeamAxis, Uint8Array>>;
  readonly #found: Float64Array;
  readonly #strips = new Map<string, Float64Array>();

  constructor(ground: SectionGround, weights: PlanWeights) {
    this.#ground = ground;
    this.#weights = weights;
    this.#rates = new FilmRates(ground.side, ground.stock, weights);
    const none = () => new Float64Array(ground.size).fill(Number.POSITIVE_INFINITY);
    this.#units = { vertical: none(), horizontal: none() };
    this.#isSettled = { vertical: new Uint8Array(ground.size), horizontal: new Uint8Array(ground.size) };
    this.#found = new Float64Array(Math.max(ground.columns.length, ground.rows.length));
  }

  /**
   * Units of all sequences of an axis, by the key of their rectangle: the exact cost where it is computed, else a
   * bound.
   */
  units(axis: SeamAxis): Float64Array {
    return this.#units[axis];
  }

  isSettled(sequence: SectionSequence): boolean {
    return this.#isSettled[sequence.axis][this.#key(sequence)] === 1;
  }

  /** Computes bounds for every sequence of an axis: one search per strip and start covers all ends. */
  bound(axis: SeamAxis, tick: (share: number) => void): void {
    const { blockStarts, blockSpan } = this.#ground.books[axis];
    this.#eachStrip(axis, (strip, share) => {
      tick(share);
      for (const group of this.#ground.groups(strip)) {
        const task = this.#task(strip, group, 'least');
        // Between straight edges the film has the same height wherever the sequence starts.
        if (!task && !this.#ground.isShaped) return false;
        if (!task) continue;
        fillSequenceUnits(sequenceRelaxed(task, blockStarts, blockSpan), this.#ground.memory, this.#found);
        const { i, k, l } = strip;
        for (let n = 0; n < group.stops.length; n++) {
          const units = this.#found[n]!;
          // A little lower, so that a sum added up in another order is not above the cost that it bounds.
          this.#units[axis][this.#key({ axis, i, j: group.stops[n]!.j, k, l })] =
            units - Math.abs(units) * 1e-9 - 1;
        }
      }
      return true;
    });
  }

  /** Where a visit returns false, the same strip is not visited from other edges. */
  #eachStrip(axis: SeamAxis, visit: (strip: SectionStrip, share: number) => boolean): void {
    const { along, across } = this.#ground.edges(axis);
    for (let k = 0; k < across.length; k++) {
      for (let l = this.#ground.isShaped ? 0 : k + 1; l < across.length; l++) {
        for (let i = 0; i < along.length; i++) {
          if (!visit({ axis, i, k, l }, k / across.length)) break;
        }
      }
    }
  }

  /** Computes the cost of every sequence that may be possible. */
  settleAll(tick: () => void): void {
    for (const axis of SEAM_AXES) {
      const isOpen = (sequence: SectionSequence) =>
        !this.isSettled(sequence) && this.#units[axis][this.#key(sequence)] !== Number.POSITIVE_INFINITY;
      this.#eachStrip(axis, (strip) => {
        tick();
        for (const { stops } of this.#ground.groups(strip)) {
          const last = stops.findLast(({ j }) => isOpen({ ...strip, j }));
          if (last) this.settle({ ...strip, j: last.j });
        }
        return true;
      });
    }
  }

  /** Computes the cost of a sequence, and of every shorter one that the same search finds. */
  settle(sequence: SectionSequence): void {
    const group = this.#groupUpTo(sequence);
    const task = this.#task(sequence, group, 'every');
    if (task) fillSequenceUnits(task, this.#ground.memory, this.#found);
    for (const [n, { j }] of group.stops.entries()) {
      const key = this.#key({ ...sequence, j });
      this.#units[sequence.axis][key] = task ? this.#found[n]! : Number.POSITIVE_INFINITY;
      this.#isSettled[sequence.axis][key] = 1;
    }
  }

  tree(sequence: SectionSequence): PlanTree {
    const { side, stock, memory } = this.#ground;
    const { axis } = sequence;
    const group = this.#groupUpTo(sequence);
    const task = this.#task(sequence, { ...group, stops: group.stops.slice(-1) }, 'every')!;
    const solution = sequenceSearch(task, memory)[0]!;
    const shape = jointFromLap(stock.lap, axis, side.front);
    const joints = solution.seams.map((index) => ({ ...shape, at: task.positions[index]! }));
    return { kind: 'split', axis, joints, parts: [PANEL, ...joints.map(() => PANEL)] };
  }

  #groupUpTo(sequence: SectionSequence): SequenceGroup {
    const isLast = ({ j }: { readonly j: number }) => j === sequence.j;
    const group = this.#ground.groups(sequence).find(({ stops }) => stops.some(isLast))!;
    return { ...group, stops: group.stops.slice(0, group.stops.findIndex(isLast) + 1) };
  }

  #task(strip: SectionStrip, group: SequenceGroup, seams: 'every' | 'least'): SequenceTask | undefined {
    const { axis, k, l } = strip;
    const costs: SequenceCosts = {
      seamUnits: () => this.#seamUnits(axis, k, l, seams),
      ratesOn: (film) => this.#rates.on(film),
    };
    return sequenceTask(this.#ground, strip, group, costs);
  }

  #seamUnits(axis: SeamAxis, k: number, l: number, seams: 'every' | 'least'): Float64Array {
    const key = `${seams} ${axis} ${k} ${l}`;
    let units = this.#strips.get(key);
    if (!units) {
      const { from, to } = this.#ground.seamSpan(axis, k, l);
      const strip = this.#ground.books[axis].strip(from, to);
      units = seams === 'least' ? strip.leastUnits(this.#weights) : strip.units(this.#weights);
      this.#strips.set(key, units);
    }
    return units;
  }

  #key({ axis, i, j, k, l }: SectionSequence): number {
    return axis === 'vertical' ? this.#ground.key(i, j, k, l) : this.#ground.key(k, l, i, j);
  }
}
