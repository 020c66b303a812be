import { NO_WEIGHTS, type PanelRates, panelRates } from './plan-objective.ts';
import type { SectionGround } from './section-ground.ts';
import { sequenceTask } from './section-sequence-task.ts';
import type { SectionSequence, SectionStrip } from './section-strips.ts';
import { fillSequenceReach } from './sequence-reach.ts';

/** Which sequences of a ground are possible at all; one search per strip and start covers all ends. */
export class SectionReach {
  readonly #ground: SectionGround;
  readonly #rates: PanelRates;
  /** By strip and start: whether a sequence reaches each end. */
  readonly #reached = new Map<string, ReadonlyMap<number, boolean>>();

  constructor(ground: SectionGround) {
    this.#ground = ground;
    this.#rates = panelRates(ground.side.card, NO_WEIGHTS, ground.stock);
  }

  isSequencePossible({ axis, i, j, k, l }: SectionSequence): boolean {
    const key = `${axis} ${i} ${k} ${l}`;
    let reached = this.#reached.get(key);
    if (!reached) {
      reached = this.#reachedFrom({ axis, i, k, l });
      this.#reached.set(key, reached);
    }
    return reached.get(j) === true;
  }

  #reachedFrom(strip: SectionStrip): ReadonlyMap<number, boolean> {
    const { books, memory } = this.#ground;
    const { axis, k, l } = strip;
    const found = new Map<number, boolean>();
    const costs = { seamUnits: () => NOT_ASKED, ratesOn: () => this.#rates };
    const { from, to } = this.#ground.seamSpan(axis, k, l);
    for (const group of this.#ground.groups(strip)) {
      const task = sequenceTask(this.#ground, strip, group, costs);
      if (!task) continue;
      const out = new Uint8Array(group.stops.length);
      fillSequenceReach(task, books[axis].isAllowed(from, to), memory, out);
      for (const [n, { j }] of group.stops.entries()) found.set(j, out[n] === 1);
    }
    return found;
  }
}

/** Seam costs do not affect whether a sequence is possible. */
const NOT_ASKED = new Float64Array();
