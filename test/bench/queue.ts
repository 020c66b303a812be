/**
 * The queue under load: `npm run -s bench queue [-- --jobs 12 --workers 3 --kill-each 20 --alone 6]`. Worker processes cut and verify
 * jobs of 12 panels from 22 MB of artwork each, asked for by one seat, while two others save jobs and read the list, and a
 * worker that holds a task is killed each 20 seconds and replaced. Then every output of every job is read back: whole means
 * that it is verified, and that each of its files is in the vault and in its folder with the hash of its manifest.
 * `doubles` are outputs of a job beyond its one. `speedup` is the pace of the queue beside that of one process that does
 * the same work alone on one core (by `taskset` of util-linux), with the same seats beside it: the cores that the workers have
 * are then the most that it can be. The pace of that process on all cores is told, too.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { parseArgs } from 'node:util';
import { archivePlace } from '../../main/archive/archive-folder.ts';
import type { Archive } from '../../main/archive/port.ts';
import { hashFile } from '../../main/files/sha256.ts';
import { administered, newDatabase } from '../support/postgres.ts';
import { testArchive } from '../support/test-archive.ts';
import { flateArt } from './cut/art.ts';
import { treeCpuSeconds } from './memory/process-tree.ts';

const WORK = join(import.meta.dirname, 'queue/work.ts');
const COMMAND = join(import.meta.dirname, '../../main/command/main.ts');
/** 22 MB packed. */
const RECIPE = { columns: 16_000, rows: 400 };
const ARTWORKS = 4;
const SEATS = 2;
const ON_ONE_CORE = ['taskset', '-c', '0'];

interface Worker {
  readonly child: ChildProcess;
  /** What it has begun and not ended. */
  holds: boolean;
}

export async function run(args: string[]): Promise<void> {
  const { values } = parseArgs({
    args,
    options: {
      jobs: { type: 'string', default: '200' },
      workers: { type: 'string', default: '3' },
      'kill-each': { type: 'string', default: '20' },
      alone: { type: 'string', default: '6' },
    },
  });
  const jobs = Number(values.jobs);
  const count = Number(values.workers);
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-bench-'));
  const place = archivePlace(await newDatabase(), join(folder, 'archive'));
  const ending = new AbortController();
  const workers = new Set<Worker>();
  try {
    mkdirSync(join(folder, 'out'));
    for (let n = 0; n < ARTWORKS; n++)
      flateArt(join(folder, `art-${n}.pdf`), RECIPE, n === 0 ? undefined : n);
    const archive = await testArchive(place);
    await part('acknowledge', place, folder, 0, 0);
    const aloneTo = jobs + Number(values.alone);
    const alone = await whileEditing(
      place,
      async () => await part('alone', place, folder, jobs, aloneTo, ON_ONE_CORE),
    );
    const onAllCores = await whileEditing(
      place,
      async () => await part('alone', place, folder, aloneTo, aloneTo + Number(values.alone)),
    );
    const startedAt = await transactions(place);
    const startWorker = () => workers.add(workerStarted(place, folder, (gone) => workers.delete(gone)));
    for (let n = 0; n < count; n++) startWorker();
    let kills = 0;
    const killing = (async () => {
      while (!ending.signal.aborted) {
        const isOver = await setTimeout(Number(values['kill-each']) * 1000, false, {
          signal: ending.signal,
        }).catch(() => true);
        if (isOver) return;
        while (!ending.signal.aborted && ![...workers].some(({ holds }) => holds)) await setTimeout(50);
        const victim = [...workers].find(({ holds }) => holds);
        if (!victim || ending.signal.aborted) return;
        workers.delete(victim);
        victim.child.kill('SIGKILL');
        kills++;
        startWorker();
      }
    })();
    await workersListen(place, count);
    const asked = await whileEditing(place, async () => await part('ask', place, folder, 0, jobs));
    ending.abort();
    await killing;
    const cpuSeconds = [...workers].reduce((sum, { child }) => sum + treeCpuSeconds(child.pid), 0);
    const statements = (await transactions(place)) - startedAt;
    const { whole, doubles } = await looked(archive, jobs);
    await archive.close();
    const pace = jobs / need(asked.seconds);
    const alonePace = need(alone.jobs) / need(alone.seconds);
    console.log(
      [
        ...[alone, onAllCores].map(
          ({ seconds, cpuSeconds, jobs }, n) =>
            `Alone on ${n === 0 ? 'one core' : 'all cores'}: ${(need(seconds) / need(jobs)).toFixed(2)} s and ${(need(cpuSeconds) / need(jobs)).toFixed(2)} s of CPU a job.`,
        ),
        `Queue: ${(1 / pace).toFixed(2)} s a job; the seat that asks ${(need(asked.cpuSeconds) / jobs).toFixed(2)} s of CPU a job, the workers that lived to the end ${cpuSeconds.toFixed(0)} s.`,
        `Transactions of the database in that time: ${(statements / jobs).toFixed(0)} a job.`,
        `Cores: ${availableParallelism()}.`,
      ].join('\n'),
    );
    console.log(
      JSON.stringify({ jobs, whole, doubles, kills, speedup: Math.round((100 * pace) / alonePace) / 100 }),
    );
  } finally {
    ending.abort();
    await Promise.all([...workers].map(endWorker));
    rmSync(folder, { recursive: true, force: true });
  }
}

function workerStarted(place: string, folder: string, onGone: (worker: Worker) => void): Worker {
  const child = spawn(process.execPath, [COMMAND, '--archive', place, 'worker'], {
    env: { ...process.env, PANELWRIGHT_LOGS: join(folder, 'logs') },
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const worker: Worker = { child, holds: false };
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    for (const line of text.split('\n').filter((each) => each !== ''))
      worker.holds = line.endsWith(': begun.');
  });
  child.once('exit', () => onGone(worker));
  return worker;
}

async function endWorker({ child }: Worker): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const gone = new Promise((resolve) => child.once('exit', resolve));
  child.kill('SIGTERM');
  await gone;
}

async function workersListen(place: string, count: number): Promise<void> {
  const database = new URL(place).pathname.slice(1);
  for (;;) {
    const found = await administered(
      "SELECT 1 FROM pg_stat_activity WHERE application_name LIKE 'panelwright worker%'",
      database,
    );
    if (found.length >= count) return;
    await setTimeout(100);
  }
}

type Figures = Readonly<Record<string, number>>;

/** The report of a part at its end. */
async function part(
  name: string,
  place: string,
  folder: string,
  from: number,
  to: number,
  prefix: readonly string[] = [],
): Promise<Figures> {
  return await spawnPart([name, place, folder, String(from), String(to)], prefix).told;
}

function spawnPart(args: readonly string[], prefix: readonly string[] = []) {
  const [command = process.execPath, ...all] = [...prefix, process.execPath, WORK, ...args];
  const child = spawn(command, all, { stdio: ['pipe', 'pipe', 'inherit'] });
  let text = '';
  child.stdout.setEncoding('utf8').on('data', (piece: string) => {
    text += piece;
  });
  const told = new Promise<Figures>((resolve, reject) => {
    child.once('error', reject);
    child.once('close', (code) =>
      code === 0 ? resolve(JSON.parse(text) as Figures) : reject(new Error(`${args[0]} ended with ${code}`)),
    );
  });
  return { told, end: () => child.stdin.end() };
}

let seats = 0;

async function whileEditing<T>(place: string, work: () => Promise<T>): Promise<T> {
  const editing = Array.from({ length: SEATS }, () => spawnPart(['edit', place, '-', String(++seats)]));
  try {
    return await work();
  } finally {
    for (const seat of editing) seat.end();
    for (const figures of await Promise.all(editing.map(({ told }) => told)))
      console.log(
        `A seat saved ${figures.edits} times: ${need(figures.medianMs).toFixed(0)} ms in the middle, ${need(figures.slowestMs).toFixed(0)} ms the slowest; another seat had it ${need(figures.newsMs).toFixed(0)} ms later, ${need(figures.slowestNewsMs).toFixed(0)} ms at most.`,
      );
  }
}

async function transactions(place: string): Promise<number> {
  const name = new URL(place).pathname.slice(1);
  const [row] = (await administered(
    `SELECT xact_commit AS count FROM pg_stat_database WHERE datname = '${name}'`,
  )) as { count: string }[];
  return Number(row?.count);
}

async function looked(
  archive: Archive,
  jobs: number,
): Promise<{ readonly whole: number; readonly doubles: number }> {
  let [whole, doubles] = [0, 0];
  for (let n = 0; n < jobs; n++) {
    const outputs = await archive.outputs.list(`queue-${n}`);
    doubles += Math.max(0, outputs.length - 1);
    const [output] = outputs;
    if (output?.verification.state !== 'verified') continue;
    const sound = await Promise.all(
      output.files.map(
        async ({ name, sha256 }) =>
          (await archive.vault.state(sha256)) === 'sound' &&
          (await hashFile(join(output.folder, name))).sha256 === sha256,
      ),
    );
    const panels = output.files.filter(({ kind }) => kind === 'panel').length;
    if (panels >= 6 && sound.every(Boolean)) whole++;
  }
  return { whole, doubles };
}

function need(figure: number | undefined): number {
  if (figure === undefined) throw new Error('A part did not tell its figure.');
  return figure;
}
