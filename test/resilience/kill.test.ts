/** A short round of `node test/resilience/run.ts`, which kills hundreds of times. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { randomFrom } from '../../assets/demo/random.ts';
import { scenarioKilled } from './killing.ts';
import { SCENARIO_NAMES } from './scenarios.ts';

/** For a busy machine; a quiet one takes seconds. */
const TIME_LIMIT_MS = 300_000;
let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-kill-test-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

it.each(SCENARIO_NAMES)(
  'nothing is lost when %s is killed',
  async (name) => {
    const { trouble } = await scenarioKilled(name, 2, folder, randomFrom(name.length));
    expect(trouble).toEqual([]);
  },
  TIME_LIMIT_MS,
);
