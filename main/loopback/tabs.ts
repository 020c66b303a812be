/**
 * Which tabs there are. What a tab holds, such as the lock of a job, is given up when the tab says that it is closed, or
 * when nothing was heard of it for a while: a browser that crashes says nothing.
 */

/** Browsers let a page in the background act once a minute. */
const SILENT_MS = 150_000;

interface Tab {
  heardMs: number;
  /** Requests under way. */
  running: number;
  hasLeft: boolean;
}

export class Tabs {
  readonly #tabs = new Map<string, Tab>();
  readonly #release: (clientId: string) => void;
  readonly #nowMs: () => number;

  constructor(release: (clientId: string) => void, nowMs: () => number) {
    this.#release = release;
    this.#nowMs = nowMs;
  }

  /** Runs a request of a tab. The last one may arrive after the word that the tab is closed. */
  async run(clientId: string, work: () => Promise<void>): Promise<void> {
    const tab = this.#hear(clientId);
    tab.running++;
    try {
      await work();
    } finally {
      tab.running--;
      tab.heardMs = this.#nowMs();
      if (tab.hasLeft && tab.running === 0) this.#release(clientId);
    }
  }

  /** The tab is there, or there again. */
  stay(clientId: string): void {
    this.#hear(clientId).hasLeft = false;
  }

  leave(clientId: string): void {
    const tab = this.#hear(clientId);
    tab.hasLeft = true;
    if (tab.running === 0) this.#release(clientId);
  }

  /** Gives up what silent tabs hold. */
  sweep(): void {
    for (const [clientId, { running, heardMs }] of this.#tabs) {
      if (running > 0 || this.#nowMs() - heardMs <= SILENT_MS) continue;
      this.#tabs.delete(clientId);
      this.#release(clientId);
    }
  }

  #hear(clientId: string): Tab {
    const tab = this.#tabs.get(clientId) ?? { heardMs: 0, running: 0, hasLeft: false };
    tab.heardMs = this.#nowMs();
    this.#tabs.set(clientId, tab);
    return tab;
  }
}
