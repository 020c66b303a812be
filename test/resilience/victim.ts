/** The process that gets killed: `node victim.ts <scenario> <folder> <first count> [steps]`. Without steps it goes on for ever. */
import { placesIn, type VictimLine } from './places.ts';
import { SCENARIOS, type ScenarioName } from './scenarios.ts';

const [name, root, first, steps] = process.argv.slice(2);
const places = placesIn(root!);
const scenario = SCENARIOS[name as ScenarioName];
const say = (line: VictimLine) => process.stdout.write(`${JSON.stringify(line)}\n`);

try {
  say({ ready: true });
  const end = Number(first) + Number(steps ?? Number.POSITIVE_INFINITY);
  for (let count = Number(first); count < end; count++) say(await scenario.step(places, count));
} catch (error) {
  say({ failed: error instanceof Error ? (error.stack ?? error.message) : String(error) });
  process.exitCode = 1;
}
