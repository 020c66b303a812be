/** Kills of the process, not of the machine: what the system holds in its caches survives. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { randomFrom } from '../support/random.ts';
import { seriesLength, seriesSeed } from '../support/series.ts';
import { killScenario } from './killing.ts';
import { SCENARIO_NAMES } from './scenarios.ts';

/** For a busy machine; a quiet one takes seconds for the sample. */
const TIME_LIMIT_MS = 3_600_000;
const KILLS = seriesLength(1, 50);

it.each(SCENARIO_NAMES)(
  `nothing is lost when %s is killed, ${KILLS} in a row`,
  async (name) => {
    const folder = mkdtempSync(join(tmpdir(), `panelwright-kill-${name}-`));
    const trouble = await killScenario(name, KILLS, folder, randomFrom(seriesSeed(name.length)));
    expect(trouble, `left as it is: ${folder}`).toEqual([]);
    rmSync(folder, { recursive: true });
  },
  TIME_LIMIT_MS,
);
