/** Mutated files through the cell; what goes wrong is kept. */
import { randomFrom } from '../support/random.ts';
import { type CaseResult, LockedCell } from './locked-cell.ts';
import { mutated, pick } from './mutations.ts';
import { fuzzSeeds } from './seeds.ts';

export interface FuzzFailure {
  readonly number: number;
  readonly bytes: Uint8Array;
  readonly result: Exclude<CaseResult, { kind: 'sound' }>;
}

export interface FuzzReport {
  readonly panels: number;
  /** How often each problem was the answer. */
  readonly problems: Readonly<Record<string, number>>;
  readonly failures: readonly FuzzFailure[];
}

/** Case `number` of a seed is the same at each run. */
export function caseBytes(seeds: readonly Uint8Array[], seed: number, number: number): Uint8Array {
  const random = randomFrom(seed * 1_000_003 + number);
  return mutated(pick(random, seeds), random);
}

export async function fuzz(options: {
  readonly seed: number;
  readonly cases: number;
  readonly maxFailures: number;
}): Promise<FuzzReport> {
  const seeds = await fuzzSeeds();
  const cell = new LockedCell();
  const problems: Record<string, number> = {};
  const failures: FuzzFailure[] = [];
  let panels = 0;
  try {
    for (let number = 0; number < options.cases && failures.length < options.maxFailures; number++) {
      const bytes = caseBytes(seeds, options.seed, number);
      const result = await cell.run(bytes);
      if (result.kind !== 'sound') failures.push({ number, bytes, result });
      else {
        panels += result.outcome.panels;
        for (const code of new Set(result.outcome.problems)) problems[code] = (problems[code] ?? 0) + 1;
      }
    }
    return { panels, problems, failures };
  } finally {
    await cell.close();
  }
}
