/** Limits how many jobs run at a time; the others wait their turn. */
export class JobLimit {
  #free: number;
  readonly #waiting: (() => void)[] = [];

  constructor(jobs: number) {
    this.#free = jobs;
  }

  async begin(): Promise<void> {
    if (this.#free > 0) this.#free -= 1;
    else await new Promise<void>((resolve) => this.#waiting.push(resolve));
  }

  end(): void {
    const next = this.#waiting.shift();
    if (next) next();
    else this.#free += 1;
  }
}
