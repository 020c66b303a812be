import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { seriesLength, seriesSeed } from '../support/series.ts';
import { type FuzzFailure, fuzz } from './fuzzing.ts';

const cases = seriesLength(250, 20_000);
const seed = seriesSeed(20_782);

it(`artwork mutated ${cases} times gives panels or problems`, async () => {
  const { panels, problems, failures } = await fuzz({ seed, cases, maxFailures: 3 });
  expect(failures.map(kept)).toEqual([]);
  expect(panels).toBeGreaterThan(0);
  expect(Object.keys(problems).length).toBeGreaterThan(0);
}, 3_600_000);

/** One line of what went wrong, and where the file is. */
function kept({ number, bytes, result: { kind, detail } }: FuzzFailure): string {
  const path = join(
    mkdtempSync(join(tmpdir(), 'panelwright-fuzz-failure-')),
    `${kind}-${seed}-${number}.pdf`,
  );
  writeFileSync(path, bytes);
  return `${path}: ${detail.split('\n').slice(0, 4).join(' | ')}`;
}
