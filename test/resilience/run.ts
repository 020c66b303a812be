/**
 * `node test/resilience/run.ts --kills 300 [--seed N] [--only output]`: kills a working process at random
 * moments and checks after each that nothing is lost. A kill of the process, not of the machine:
 * what the system holds in its caches survives.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { randomFrom } from '../../assets/demo/random.ts';
import { scenarioKilled } from './killing.ts';
import { SCENARIO_NAMES } from './scenarios.ts';

const { values } = parseArgs({
  options: {
    kills: { type: 'string', default: '300' },
    seed: { type: 'string', default: `${Date.now() % 2 ** 31}` },
    only: { type: 'string' },
  },
});
const names = SCENARIO_NAMES.filter((name) => values.only === undefined || values.only === name);
const each = Math.ceil(Number(values.kills) / names.length);
const random = randomFrom(Number(values.seed));
console.log(`Seed ${values.seed}: ${each} kills in each of ${names.join(', ')}.`);
const total = { kills: 0, steps: 0, trouble: 0 };
for (const name of names) {
  const folder = mkdtempSync(join(tmpdir(), `panelwright-kills-${name}-`));
  const { kills, steps, trouble } = await scenarioKilled(name, each, folder, random);
  console.log(`${name}: ${kills} kills, ${steps} whole steps between them, ${trouble.length} in trouble`);
  for (const text of trouble) console.log(`  ${text}`);
  if (trouble.length === 0) rmSync(folder, { recursive: true });
  else console.log(`  left as it is: ${folder}`);
  total.kills += kills;
  total.steps += steps;
  total.trouble += trouble.length;
}
console.log(JSON.stringify(total));
if (total.trouble > 0) process.exitCode = 1;
