/**
 * One process of the benchmark of the queue: `node work.ts PART PLACE FOLDER [FROM TO]`.
 *
 * `acknowledge`: what the others go by. `alone`: writes and verifies these jobs by itself, one after the other. `ask`: writes them through the queue, some at a
 * time. `edit`: a seat that saves a job and reads the list until its input ends.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { findingKey } from '../../../core/findings/finding.ts';
import type { Job } from '../../../core/job/schema.ts';
import { openArtwork } from '../../../main/artwork/artwork-file.ts';
import { QueueTasks } from '../../../main/queue/queue-tasks.ts';
import { SeatQueue } from '../../../main/queue/seat-queue.ts';
import { saveJob } from '../../../main/services/save-job.ts';
import { writeOutput } from '../../../main/services/write-output.ts';
import type { TaskRunner } from '../../../main/tasks/task-runner.ts';
import { tasksInPlace } from '../../../main/tasks/tasks-in-place.ts';
import { resultValue } from '../../support/panel-check.ts';
import { smallJob } from '../../support/small-job.ts';
import { testArchive } from '../../support/test-archive.ts';
import { treeCpuSeconds } from '../memory/process-tree.ts';
import { twelvePanels } from '../verify/twelve-panels.ts';

const ARTWORKS = 4;
/** More than there are workers, so that none waits for the seat that asks. */
const AT_A_TIME = 8;
const EDIT_MS = 500;
const PATIENT = 30_000;

const [part, place = '', folder = '', from = '0', to = '0'] = process.argv.slice(2);
const tools = { signal: new AbortController().signal, report: () => undefined };
const now = () => new Date().toISOString();
const archive = await testArchive(place, { busyWaitMs: PATIENT });
const acknowledged = join(folder, 'acknowledged.json');
const references = new Map<string, NonNullable<Job['artwork']>>();

if (part === 'acknowledge') await acknowledge();
else if (part === 'alone') await alone();
else if (part === 'ask') await ask();
else await edit();
await archive.close();

async function alone(): Promise<void> {
  // The first one loads the program.
  await writeJob(Number(from), tasksInPlace);
  const began = Date.now();
  const cpuBefore = treeCpuSeconds(process.pid);
  for (let n = Number(from) + 1; n < Number(to); n++) await writeJob(n, tasksInPlace);
  const seconds = (Date.now() - began) / 1000;
  tell({ seconds, cpuSeconds: treeCpuSeconds(process.pid) - cpuBefore, jobs: Number(to) - Number(from) - 1 });
}

async function ask(): Promise<void> {
  const queue = new SeatQueue(place);
  const tasks = new QueueTasks({ queue, local: tasksInPlace, log: (event) => console.error(event) });
  const began = Date.now();
  let next = Number(from);
  let done = 0;
  const chain = async () => {
    while (next < Number(to)) {
      await writeJob(next++, tasks);
      console.error(`${++done} jobs written, ${((Date.now() - began) / 1000).toFixed(0)} s`);
    }
  };
  await Promise.all(Array.from({ length: AT_A_TIME }, chain));
  tell({ seconds: (Date.now() - began) / 1000, cpuSeconds: treeCpuSeconds(process.pid) });
  await queue.close();
}

async function writeJob(n: number, work: TaskRunner): Promise<void> {
  const { job, path } = await readJob(n);
  const artwork = { path, fileName: job.artwork?.fileName ?? '', box: 'crop' as const };
  const order = { job, artwork, to: join(folder, 'out'), sheets: [], isVerified: true, isJobSaved: true };
  const written = await writeOutput({ archive, work, now }, order, tools);
  if (!written.ok) throw new Error(JSON.stringify(written.problem).slice(0, 2000));
}

async function readJob(n: number): Promise<{ readonly job: Job; readonly path: string }> {
  const path = join(folder, `art-${n % ARTWORKS}.pdf`);
  const reference = references.get(path) ?? resultValue(await openArtwork(path, { box: 'crop' })).reference;
  references.set(path, reference);
  const job = { ...twelvePanels(reference), id: `queue-${n}`, number: `Q-${n}` };
  return { path, job: { ...job, acknowledgements: JSON.parse(readFileSync(acknowledged, 'utf8')) } };
}

/** The grain of the artwork warns, which is the same for all jobs. */
async function acknowledge(): Promise<void> {
  writeFileSync(acknowledged, '[]');
  const { job, path } = await readJob(0);
  const artwork = { path, fileName: 'art-0.pdf', box: 'crop' as const };
  const { blocking } = resultValue(await tasksInPlace.run('check', { job, artwork }, tools));
  const acknowledgements = blocking.map((finding) => ({
    finding: findingKey(finding),
    by: 'Bench',
    note: 'Grain of the benchmark.',
    ...(finding.figure !== undefined && { figure: finding.figure }),
  }));
  writeFileSync(acknowledged, JSON.stringify(acknowledgements));
  tell({});
}

/** Until its input ends; counts saves and how long the slowest took. */
async function edit(): Promise<void> {
  let isOver = false;
  process.stdin.on('end', () => (isOver = true)).resume();
  const job = smallJob({ id: `edited-${from}`, number: `E-${from}` });
  const other = await testArchive(place);
  let heard = Promise.withResolvers<void>();
  other.watch(() => heard.resolve());
  const waits: number[] = [];
  const news: number[] = [];
  for (let revision = 0; !isOver; revision++) {
    const began = performance.now();
    const saved = await saveJob(archive, { ...job, notes: `Edit ${revision}` }, now(), revision);
    if (!saved.ok) throw new Error(saved.problem.message);
    const savedAt = performance.now();
    await archive.jobs.page({ limit: 50 });
    waits.push(performance.now() - began);
    // What it heard may have been of another.
    for (;;) {
      const seen = await other.jobs.find(job.id);
      if (seen.ok && seen.value.revision > revision) break;
      await heard.promise;
      heard = Promise.withResolvers();
    }
    news.push(performance.now() - savedAt);
    await setTimeout(EDIT_MS);
  }
  await other.close();
  tell({
    edits: waits.length,
    medianMs: median(waits),
    slowestMs: Math.max(...waits),
    newsMs: median(news),
    slowestNewsMs: Math.max(...news),
  });
}

function median(figures: readonly number[]): number {
  return figures.toSorted((a, b) => a - b)[figures.length >> 1] ?? 0;
}

function tell(figures: Record<string, number>): void {
  console.log(JSON.stringify(figures));
}
