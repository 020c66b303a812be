/**
 * `node test/fuzz/run.ts --seconds 600 [--seed N] [--keep folder]`: mutates artwork and opens it in a process
 * with limits. Every case must give panels or a problem. Failing files are kept in the folder.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { fuzzed } from './fuzzing.ts';

const { values } = parseArgs({
  options: {
    seconds: { type: 'string', default: '60' },
    seed: { type: 'string', default: `${Date.now() % 2 ** 20}` },
    first: { type: 'string', default: '0' },
    keep: { type: 'string', default: 'fuzz-failures' },
  },
});
const seed = Number(values.seed);
console.log(`Seed ${seed}.`);
const report = await fuzzed({ seed, seconds: Number(values.seconds), first: Number(values.first) });
for (const { number, bytes, result } of report.failures) {
  mkdirSync(values.keep, { recursive: true });
  const path = join(values.keep, `${result.kind}-${seed}-${number}.pdf`);
  writeFileSync(path, bytes);
  console.log(`${path}: ${result.detail.split('\n').slice(0, 4).join(' | ')}`);
}
const { cases, panels, problems, failures, peakBytes } = report;
console.log(JSON.stringify({ seed, cases, panels, failures: failures.length, peakBytes, problems }));
if (failures.length > 0) process.exitCode = 1;
