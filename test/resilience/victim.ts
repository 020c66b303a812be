/**
 * The process that gets killed: `node victim.ts <scenario> <folder> <first count> [--steps N] [--kill-at N]`.
 * Without steps it goes on for ever; with a call number it kills itself there.
 */
import { parseArgs } from 'node:util';
import { watchFileCalls } from './file-calls.ts';
import { placesIn, type VictimLine } from './places.ts';
import { SCENARIOS, type ScenarioName } from './scenarios.ts';

const { positionals, values } = parseArgs({
  allowPositionals: true,
  options: { steps: { type: 'string' }, 'kill-at': { type: 'string', default: '0' } },
});
const [name, root, first] = positionals;
const places = placesIn(root!);
const scenario = SCENARIOS[name as ScenarioName];
const say = (line: VictimLine) => process.stdout.write(`${JSON.stringify(line)}\n`);

try {
  const fileCalls = await watchFileCalls(Number(values['kill-at']));
  say({ ready: true });
  const end = Number(first) + Number(values.steps ?? Number.POSITIVE_INFINITY);
  for (let count = Number(first); count < end; count++) say(await scenario.step(places, count));
  say({ fileCalls: fileCalls() });
} catch (error) {
  say({ failed: error instanceof Error ? (error.stack ?? error.message) : String(error) });
  process.exitCode = 1;
}
