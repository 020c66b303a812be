/**
 * Kills a working process again and again, and looks at what is left: every other time at a random moment,
 * every other time before a random one of its changes to files.
 */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { type Durable, partialsLeft, troubleAfterKill } from './after-kill.ts';
import { type Places, placesIn, type VictimLine } from './places.ts';
import { FOLDERS_KEPT, SCENARIOS, type ScenarioName } from './scenarios.ts';

const VICTIM = join(import.meta.dirname, 'victim.ts');
/** Kills happen within the time of this many steps, the first of which is slow. */
const STEPS_TIMED = 3;
/** Counts that no victim reaches before it is killed. */
const COUNTS_A_KILL = 100_000;

/**
 * Runs one scenario in a fresh folder with a number of kills; returns sentences about what was lost. `random` yields
 * numbers in [0, 1).
 */
export async function killScenario(
  name: ScenarioName,
  kills: number,
  root: string,
  random: () => number,
): Promise<readonly string[]> {
  const places = placesIn(root);
  for (const folder of Object.values(places)) mkdirSync(folder as string, { recursive: true });
  // What is opened here sweeps the temporary folder too: it has to be that of the victims.
  const outer = process.env.TMPDIR;
  process.env.TMPDIR = places.temporary;
  try {
    return await killedIn(places, name, kills, random);
  } finally {
    if (outer === undefined) delete process.env.TMPDIR;
    else process.env.TMPDIR = outer;
  }
}

async function killedIn(
  places: Places,
  name: ScenarioName,
  kills: number,
  random: () => number,
): Promise<readonly string[]> {
  await SCENARIOS[name].prepare(places);
  const durable: Durable = { jobs: new Map(), outputs: new Set(), migrated: new Set() };
  const timed = await runVictim(name, places, 0, { steps: STEPS_TIMED });
  if (failures(timed.heard).length > 0) return failures(timed.heard);
  const fileCalls = timed.heard.reduce((most, line) => ('fileCalls' in line ? line.fileCalls : most), 0);
  for (let kill = 1; kill <= kills; kill++) {
    const isByClock = kill % 2 === 0 || fileCalls === 0;
    const moment = isByClock
      ? { killAfterMs: random() * timed.workedMs }
      : { killAt: 1 + Math.floor(random() * fileCalls) };
    const { heard } = await runVictim(name, places, kill * COUNTS_A_KILL, moment);
    for (const line of heard) remember(line, durable);
    const trouble = [...failures(heard), ...(await troubleAfterKill(places, durable))];
    if (trouble.length > 0) {
      return trouble.map((text) => `${name}, kill ${kill}: ${text}`);
    }
    rmSync(places.migrated, { recursive: true, force: true });
  }
  // Every folder once more, without a kill: what the killed ones left there goes.
  const { heard } = await runVictim(name, places, (kills + 1) * COUNTS_A_KILL, { steps: FOLDERS_KEPT });
  const trouble = [...failures(heard), ...(await troubleAfterKill(places, durable)), ...partialsLeft(places)];
  return trouble.map((text) => `${name}, in the end: ${text}`);
}

type End = { readonly killAfterMs: number } | { readonly killAt: number } | { readonly steps: number };

async function runVictim(
  name: ScenarioName,
  places: Places,
  first: number,
  end: End,
): Promise<{ heard: VictimLine[]; workedMs: number }> {
  const args = [VICTIM, name, places.root, `${first}`];
  if ('steps' in end) args.push('--steps', `${end.steps}`);
  if ('killAt' in end) args.push('--kill-at', `${end.killAt}`);
  const child = spawn(process.execPath, args, {
    stdio: ['ignore', 'pipe', 'inherit'],
    env: process.env,
  });
  // Until it is waited for, a dead process still counts as running.
  const gone = once(child, 'close');
  const lines: VictimLine[] = [];
  let timer: NodeJS.Timeout | undefined;
  let begunMs = 0;
  for await (const text of createInterface({ input: child.stdout })) {
    begunMs ||= performance.now();
    lines.push(JSON.parse(text) as VictimLine);
    if ('killAfterMs' in end) timer ??= setTimeout(() => child.kill('SIGKILL'), end.killAfterMs);
  }
  clearTimeout(timer);
  const workedMs = performance.now() - begunMs;
  const [exitCode] = (await gone) as [number | null];
  if (exitCode) lines.push({ failed: `the victim ended by itself with exit code ${exitCode}` });
  return { heard: lines, workedMs };
}

function remember(line: VictimLine, durable: Durable): void {
  if ('job' in line) durable.jobs.set(line.job, Math.max(line.count, durable.jobs.get(line.job) ?? 0));
  if ('output' in line) durable.outputs.add(line.output);
  if ('migrated' in line) durable.migrated.add(line.migrated);
}

const failures = (heard: readonly VictimLine[]): string[] =>
  heard.flatMap((line) => ('failed' in line ? [line.failed] : []));
