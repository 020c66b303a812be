/** A round of `node test/fuzz/run.ts`: a minute in CI, a moment elsewhere, PANELWRIGHT_FUZZ_SECONDS as asked. */
import { expect, it } from 'vitest';
import { fuzzed } from './fuzzing.ts';

const isCi = process.env.CI === 'true';
const seconds = Number(process.env.PANELWRIGHT_FUZZ_SECONDS ?? (isCi ? 60 : 15));
/** The same each day, so that a change is judged by itself; `run.ts` draws new ones. */
const seed = Number(process.env.PANELWRIGHT_FUZZ_SEED ?? 20_782);

it(
  `artwork mutated for ${seconds} seconds gives panels or problems`,
  async () => {
    const { cases, panels, problems, failures } = await fuzzed({ seed, seconds, maxFailures: 3 });
    console.log(`Fuzzing with seed ${seed}: ${cases} cases, ${panels} panels, ${JSON.stringify(problems)}`);
    expect(failures.map(({ number, result }) => `case ${number}: ${result.kind}: ${result.detail}`)).toEqual(
      [],
    );
    expect(panels).toBeGreaterThan(0);
    expect(Object.keys(problems).length).toBeGreaterThan(0);
  },
  seconds * 1000 + 300_000,
);
