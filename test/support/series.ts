/**
 * Series of cases: kills, mutants, random jobs. `npm test` tries a sample, the same in each run; `npm run long` runs the
 * files named *.series.test.ts with the whole series, PANELWRIGHT_TIMES as long. PANELWRIGHT_SEED draws other cases.
 */
export const isLong = process.env.PANELWRIGHT_LONG === 'true';
const times = Number(process.env.PANELWRIGHT_TIMES ?? 1);
const askedSeed = process.env.PANELWRIGHT_SEED;

/** What random cases begin from. A property that found its cases by a number of its own passes that. */
export const seriesSeed = (own = 7204): number => (askedSeed === undefined ? own : Number(askedSeed));

export const seriesLength = (sample: number, whole: number): number =>
  isLong ? Math.ceil(whole * times) : sample;

/** The same for a property test. */
export const seriesRuns = (sample: number, whole: number, own?: number) => ({
  numRuns: seriesLength(sample, whole),
  seed: seriesSeed(own),
});
