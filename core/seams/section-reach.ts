import { NO_WEIGHTS, type PanelRates, panelRates } from './plan-objective.ts';
import type { SectionGround } from './section-ground.ts';
import { type SectionSequence, sequenceTask } from './section-sequence-task.ts';
import { fillSequenceReach } from './sequence-reach.ts';

/** Which sequences of a ground are possible at all, each strip and start looked at once for all ends. */
export class SectionReach {
  readonly #ground: SectionGround;
  readonly #rates: PanelRates;
  /** By strip and start: for each end after the start, 1 where a sequence reaches it. */
  readonly #reached = new Map<string, Uint8Array>();

  constructor(ground: SectionGround) {
    this.#ground = ground;
    this.#rates = panelRates(ground.side.card, NO_WEIGHTS, ground.stock);
  }

  isSequencePossible(sequence: SectionSequence): boolean {
    const { axis, i, j, k, l } = sequence;
    const key = `${axis} ${i} ${k} ${l}`;
    let reached = this.#reached.get(key);
    if (!reached) {
      reached = this.#reachedFrom(sequence);
      this.#reached.set(key, reached);
    }
    return reached[j - i - 1] === 1;
  }

  #reachedFrom({ axis, i, k, l }: SectionSequence): Uint8Array {
    const { books, memory } = this.#ground;
    const { along, across } = this.#ground.edges(axis);
    const last = along.length - 1;
    const out = new Uint8Array(last - i);
    const costs = { seamUnits: () => NOT_ASKED, rates: this.#rates };
    const task = sequenceTask(this.#ground, { axis, i, j: last, k, l }, costs);
    if (task) fillSequenceReach(task, books[axis].isAllowed(across[k]!.at, across[l]!.at), memory, out);
    return out;
  }
}

/** What seams cost does not say whether a sequence is possible. */
const NOT_ASKED = new Float64Array();
