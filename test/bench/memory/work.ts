/**
 * One part of the benchmark of memory: `node work.ts PART FOLDER ARTWORK`. Heavy work runs in a process of its own, as it
 * does behind a window or a browser. Prints its figures as JSON.
 */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { setTimeout as passed } from 'node:timers/promises';
import { acknowledgementOf } from '../../../core/findings/layout/findings.ts';
import type { Job } from '../../../core/job/schema.ts';
import { rectFromStored, storedFromRect } from '../../../core/job/stored-rect.ts';
import type { Result } from '../../../core/measure/result.ts';
import { SELECTED_SHEETS } from '../../../core/output/sheet-kind.ts';
import { DEMO_JOBS, readDemoJob } from '../../../main/job/demo-jobs.ts';
import { forkTaskProcess } from '../../../main/tasks/forked-process.ts';
import type { ArtworkAt } from '../../../main/tasks/kept-artwork.ts';
import { ProcessTasks } from '../../../main/tasks/task-runner.ts';
import { levelTiles } from '../../../renderer/bench/tiles.ts';
import { ServiceClient } from '../../support/service-client.ts';
import { testServices } from '../../support/test-services.ts';
import { twelvePanels } from '../verify/twelve-panels.ts';
import { treeCpuSeconds, treeMemoryMB } from './process-tree.ts';

const TOOLS = { signal: new AbortController().signal, report: () => undefined };
/** Threads that were asked to leave have left by then. */
const SETTLE_MS = 3000;

const [part, folder, path] = process.argv.slice(2) as [string, string, string];
const jobPath = join(folder, 'job.json');
const artwork: ArtworkAt = { path, fileName: basename(path), box: 'crop' };
const figures = await ({ begin, prepare, plan, cut, host }[part] ?? fail)();
console.log(JSON.stringify(figures));

function fail(): never {
  throw new Error(`There is no part ${part}.`);
}

/** Writes a job of twelve panels. */
async function begin() {
  return await withTasks(async (tasks) => {
    const { reference } = value(await tasks.run('artworkFacts', { ...artwork, isBrief: true }, TOOLS));
    const { production } = await readDemoJob(DEMO_JOBS.bookmobile);
    const job: Job = { ...twelvePanels(reference), ...(production && { production }) };
    writeFileSync(jobPath, JSON.stringify(job));
    return {};
  });
}

/** The same, ready to be cut: every warning is acknowledged. */
async function prepare() {
  await begin();
  return await withTasks(async (tasks) => {
    const job = preparedJob();
    const { blocking } = value(await tasks.run('check', { job, artwork }, TOOLS));
    const acknowledgements = blocking.map((finding) => acknowledgementOf(finding, 'Prepress', 'Seen.'));
    writeFileSync(jobPath, JSON.stringify({ ...job, acknowledgements }));
    return {};
  });
}

/** Panel layouts suggested for the side. */
async function plan() {
  return await withTasks(async (tasks) => {
    const job = preparedJob();
    const request = {
      job,
      sideId: job.sides[0]!.id,
      layouts: 'sections',
      otherRollWidthsMm: [],
      artwork,
    } as const;
    const { outcome } = value(await tasks.run('plan', request, TOOLS));
    if (outcome.kind !== 'plans') throw new Error(`The side came to ${outcome.kind}.`);
    return {};
  });
}

/** Panels and all sheets written but the seams at true size, which are for those who ask for them alone; the artwork looked through and its ink computed first, as nothing of it is kept. */
async function cut() {
  return await withTasks(async (tasks) => {
    const jobFolder = join(folder, 'output');
    mkdirSync(jobFolder);
    const job = preparedJob();
    const sheets = SELECTED_SHEETS.filter((kind) => kind !== 'seams');
    const request = { job, artwork, jobFolder, sheets, output: { number: 1 } };
    value(await tasks.run('output', request, TOOLS));
    return {};
  });
}

/** Artwork brought in and seen on the bench, the sharp picture and what the checks go by included. */
async function host() {
  const services = await testServices(join(folder, 'archive'), {
    tasks: () => new ProcessTasks(forkTaskProcess),
  });
  services.warm();
  const client = new ServiceClient(services);
  await passed(SETTLE_MS);
  const idleMB = Math.round(treeMemoryMB(process.pid));
  const begun = treeCpuSeconds(process.pid);
  const cpuSeconds = () => Math.round((treeCpuSeconds(process.pid) - begun) * 100) / 100;
  const { reference, pages } = await client.reply('artwork:import', {
    file: client.chosenFile(path),
    box: 'crop',
  });
  const { number: page, extent } = pages[0]!;
  const whole = rectFromStored<'drawn'>(extent);
  const draw = async (level: number) => {
    for (const { window, widthPx } of levelTiles(page, whole, level, whole)) {
      await client.reply('artwork:picture', { reference, page, window: storedFromRect(window), widthPx });
    }
  };
  await draw(0);
  const coarseCpuSeconds = cpuSeconds();
  await draw(1);
  const sharpCpuSeconds = cpuSeconds();
  await client.reply('artwork:facts', { reference });
  const allCpuSeconds = cpuSeconds();
  await passed(SETTLE_MS);
  const restMB = Math.round(treeMemoryMB(process.pid));
  const hostMB = Math.round(process.memoryUsage.rss() / 1e6);
  await services.close();
  return { coarseCpuSeconds, sharpCpuSeconds, allCpuSeconds, idleMB, restMB, hostMB };
}

function preparedJob(): Job {
  return JSON.parse(readFileSync(jobPath, 'utf8')) as Job;
}

async function withTasks<T>(work: (tasks: ProcessTasks) => Promise<T>): Promise<T> {
  const tasks = new ProcessTasks(forkTaskProcess);
  // The process that works keeps this one neither alive nor waiting.
  const staying = setInterval(() => undefined, SETTLE_MS);
  try {
    return await work(tasks);
  } finally {
    await tasks.close();
    clearInterval(staying);
  }
}

function value<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(`${result.problem.code}: ${result.problem.message}`);
  return result.value;
}
