/**
 * How many blocks of the program's own code run: a measure of work that is the same on every machine, however busy. The
 * body of a loop counts each time. What other threads and native functions do is not in it.
 */
import { type Profiler, Session } from 'node:inspector';

export class BlockCounter {
  readonly #session = new Session();
  readonly #rooms: readonly string[];

  /** `rooms`: folders of the repository whose code counts, such as `core/pdf`. */
  constructor(...rooms: readonly string[]) {
    this.#rooms = rooms.map((room) => `/${room}/`);
  }

  start(): void {
    this.#session.connect();
    this.#session.post('Profiler.enable');
    this.#session.post('Profiler.startPreciseCoverage', { callCount: true, detailed: true });
  }

  /** Blocks since the start, or since they were last taken. */
  taken(): number {
    let found: readonly Profiler.ScriptCoverage[] | undefined;
    // A session within its own thread answers before `post` returns.
    this.#session.post('Profiler.takePreciseCoverage', (error, answer) => {
      if (error) throw error;
      found = answer.result;
    });
    if (found === undefined) throw new Error('The inspector has not answered.');
    const own = found.filter(({ url }) => this.#rooms.some((room) => url.includes(room)));
    const ranges = own.flatMap(({ functions }) => functions.flatMap((one) => one.ranges));
    return ranges.reduce((sum, { count }) => sum + count, 0);
  }

  end(): void {
    this.#session.disconnect();
  }
}

/** Blocks that run while `work` does. */
export async function countedBlocks(rooms: readonly string[], work: () => Promise<unknown>): Promise<number> {
  const counter = new BlockCounter(...rooms);
  counter.start();
  try {
    await work();
    return counter.taken();
  } finally {
    counter.end();
  }
}
