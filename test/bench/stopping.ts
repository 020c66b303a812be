/**
 * How soon long work stops when it is called off: `npm run bench stopping [-- WORK…]`. Each piece of work on a large artwork is begun again
 * and again in the process for heavy work, called off at another moment each time, and waited for until nothing of it runs any
 * more. The process waits for work, as behind a window: to start it is not counted. The figure is the CPU that was used from the call to the end: a busy machine does not count. Beside it stands how long
 * whoever called it off waited for the answer, which a busy machine makes longer.
 */
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as passed } from 'node:timers/promises';
import { acknowledgementOf } from '../../core/findings/layout/findings.ts';
import type { Job } from '../../core/job/schema.ts';
import type { Result } from '../../core/measure/result.ts';
import { SELECTED_SHEETS } from '../../core/output/sheet-kind.ts';
import { forkTaskProcess } from '../../main/tasks/forked-process.ts';
import type { ArtworkAt } from '../../main/tasks/kept-artwork.ts';
import { ProcessTasks } from '../../main/tasks/task-runner.ts';
import type { TaskTools } from '../../main/tasks/task-tools.ts';
import { flateArt, vectorArt } from './cut/art.ts';
import { treeCpuSeconds } from './memory/process-tree.ts';
import { twelvePanels } from './verify/twelve-panels.ts';

const MOMENTS = 12;
const PICTURE = { columns: 16_000, rows: 3600 };
const OBJECTS = 300_000;
/** A process that rests uses less than this between two looks. */
const REST_SECONDS = 0.02;
const LOOK_MS = 100;
/** A process has begun to start by then. */
const STARTING_MS = 500;

interface Stop {
  readonly cpuSeconds: number;
  readonly answerSeconds: number;
}

type Work = (tasks: ProcessTasks, tools: TaskTools) => Promise<Result<unknown>>;

export async function run(wanted: readonly string[]): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-bench-stopping-'));
  const staying = setInterval(() => undefined, LOOK_MS);
  const figures: Record<string, number> = {};
  const answers: number[] = [];
  try {
    const arts = { picture: join(folder, 'picture.pdf'), vector: join(folder, 'vector.pdf') };
    flateArt(arts.picture, PICTURE);
    vectorArt(arts.vector, OBJECTS);
    for (const [kind, path] of Object.entries(arts)) {
      const artwork: ArtworkAt = { path, fileName: `${kind}.pdf`, box: 'crop' };
      const job = await readyJob(artwork);
      for (const [name, work] of Object.entries(worksOn(job, artwork, folder))) {
        if (wanted.length > 0 && !wanted.includes(name)) continue;
        const { cpuSeconds, answerSeconds } = await longestStop(work);
        figures[`${kind} ${name}`] = cpuSeconds;
        answers.push(answerSeconds);
        console.log(`${kind}, ${name}: ${cpuSeconds} s of CPU; answered within ${answerSeconds} s`);
      }
    }
    const longestSeconds = Math.max(...Object.values(figures));
    console.log(JSON.stringify({ longestSeconds, longestAnswerSeconds: Math.max(...answers), ...figures }));
  } finally {
    clearInterval(staying);
    rmSync(folder, { recursive: true, force: true });
  }
}

function worksOn(job: Job, artwork: ArtworkAt, folder: string): Readonly<Record<string, Work>> {
  const side = { sideId: job.sides[0]!.id, layouts: 'sections', otherRollWidthsMm: [] } as const;
  const outputs = join(folder, 'outputs');
  mkdirSync(outputs, { recursive: true });
  return {
    reading: async (tasks, tools) => await tasks.run('artworkFacts', { ...artwork, isBrief: true }, tools),
    check: async (tasks, tools) => await tasks.run('check', { job, artwork }, tools),
    plan: async (tasks, tools) => await tasks.run('plan', { job, ...side, artwork }, tools),
    ink: async (tasks, tools) => await tasks.run('coverage', { job, artwork }, tools),
    sheets: async (tasks, tools) =>
      await tasks.run('sheets', { job, kinds: ['map', 'ticket'], artwork }, tools),
    output: async (tasks, tools) =>
      await tasks.run(
        'output',
        { job, artwork, jobFolder: outputs, sheets: [...SELECTED_SHEETS], output: { number: 1 } },
        tools,
      ),
  };
}

/** At evenly spaced moments of its whole duration, which the first run measures. */
async function longestStop(work: Work): Promise<Stop> {
  const wholeMs = await lengthMs(work);
  const stops: Stop[] = [];
  for (let n = 1; n <= MOMENTS; n++) stops.push(await stopOf(work, (wholeMs * n) / (MOMENTS + 1)));
  const longest = (of: (stop: Stop) => number) => Math.round(Math.max(...stops.map(of)) * 100) / 100;
  return {
    cpuSeconds: longest(({ cpuSeconds }) => cpuSeconds),
    answerSeconds: longest(({ answerSeconds }) => answerSeconds),
  };
}

async function lengthMs(work: Work): Promise<number> {
  const tasks = await warmTasks();
  const begun = performance.now();
  const done = await work(tasks, { signal: new AbortController().signal, report: () => undefined });
  if (!done.ok) throw new Error(done.problem.message);
  const lengthMs = performance.now() - begun;
  await tasks.close();
  return lengthMs;
}

async function stopOf(work: Work, afterMs: number): Promise<Stop> {
  const tasks = await warmTasks();
  const abort = new AbortController();
  const done = work(tasks, { signal: abort.signal, report: () => undefined });
  await passed(afterMs);
  const begun = treeCpuSeconds(process.pid);
  const asked = performance.now();
  abort.abort();
  await done;
  const answerSeconds = (performance.now() - asked) / 1000;
  const used = await cpuSecondsAtRest();
  await tasks.close();
  return { cpuSeconds: used - begun, answerSeconds };
}

/** Of this process and all that it started, once nothing is at work. */
async function cpuSecondsAtRest(): Promise<number> {
  for (let used = treeCpuSeconds(process.pid); ; ) {
    await passed(LOOK_MS);
    const next = treeCpuSeconds(process.pid);
    if (next - used <= REST_SECONDS) return used;
    used = next;
  }
}

async function warmTasks(): Promise<ProcessTasks> {
  const tasks = new ProcessTasks(forkTaskProcess);
  tasks.warm();
  await passed(STARTING_MS);
  await cpuSecondsAtRest();
  return tasks;
}

async function readyJob(artwork: ArtworkAt): Promise<Job> {
  const tasks = new ProcessTasks(forkTaskProcess);
  const tools = { signal: new AbortController().signal, report: () => undefined };
  const facts = await tasks.run('artworkFacts', { ...artwork, isBrief: true }, tools);
  if (!facts.ok) throw new Error(facts.problem.message);
  const job = twelvePanels(facts.value.reference);
  const checked = await tasks.run('check', { job, artwork }, tools);
  await tasks.close();
  if (!checked.ok) throw new Error(checked.problem.message);
  const acknowledgements = checked.value.blocking.map((each) => acknowledgementOf(each, 'Prepress', 'Seen.'));
  return { ...job, acknowledgements };
}
