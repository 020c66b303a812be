/**
 * `npm run bench archive [jobs]`: an archive of 100,000 jobs with 30,000 outputs, opened, listed and searched. Times
 * are those of this machine at this moment; the search is over words that few and that very many jobs hold. `waitedMs` is
 * how long anything else that the program does has to wait meanwhile.
 */
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { monitorEventLoopDelay } from 'node:perf_hooks';
import { databasePath } from '../../main/archive/database.ts';
import { addManyJobs } from '../support/many-jobs.ts';
import { testArchive } from '../support/test-archive.ts';

const JOBS = 100_000;
const SEARCHES = 400;
/** As many as the screen asks for at once. */
const PAGE = 50;
/** As a person types: beginnings of words, common and rare, several at once. */
const SEARCHED = [
  'a',
  'al',
  'alder',
  'book',
  'outreach tr',
  'BM-4',
  'BM-43210',
  'LH-01',
  'rear ladder',
  'zebra',
  'bibl box',
  'state 9',
  'n',
];

export async function run(args: string[]): Promise<void> {
  const jobs = Number(args[0] ?? JOBS);
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-bench-archive-'));
  try {
    await (await testArchive(folder)).close();
    addManyJobs(databasePath(folder), jobs);
    const sizeMb = Math.round(statSync(databasePath(folder)).size / 1e6);
    const openings = await repeated(3, () => timed(async () => await (await testArchive(folder)).close()));
    const openMs = Math.max(...openings);
    const archive = await testArchive(folder, { listsAside: true });
    await archive.jobs.page({ limit: PAGE });
    const waiting = monitorEventLoopDelay({ resolution: 1 });
    waiting.enable();
    // From anywhere in the list, as a scroll bar goes.
    const list = await repeated(200, (i) =>
      timed(() => archive.jobs.page({ limit: PAGE, offset: Math.floor((jobs * ((i * 37) % 200)) / 200) })),
    );
    const searches = await repeated(SEARCHES, async (i) => {
      const text = SEARCHED[i % SEARCHED.length]!;
      return { text, ms: await timed(() => archive.jobs.page({ text, limit: PAGE })) };
    });
    waiting.disable();
    const waitedMs = Math.round(waiting.max / 1e6);
    const slowest = searches.toSorted((a, b) => b.ms - a.ms)[0]!;
    await archive.close();
    console.log(`${jobs} jobs, ${sizeMb} MB; slowest search “${slowest.text}”: ${slowest.ms.toFixed(1)} ms`);
    for (const text of SEARCHED) {
      const own = searches.filter((search) => search.text === text).map(({ ms }) => ms);
      console.log(
        `  ${text}: ${atShare(own, 0.5).toFixed(1)} ms in the middle, ${Math.max(...own).toFixed(1)} at most`,
      );
    }
    const p95SearchMs = atShare(
      searches.map(({ ms }) => ms),
      0.95,
    );
    console.log(JSON.stringify({ jobs, sizeMb, openMs, listMs: atShare(list, 0.95), p95SearchMs, waitedMs }));
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** One after the other. */
async function repeated<T>(count: number, work: (index: number) => Promise<T>): Promise<T[]> {
  const done: T[] = [];
  for (let index = 0; index < count; index++) done.push(await work(index));
  return done;
}

async function timed(work: () => Promise<unknown>): Promise<number> {
  const begun = performance.now();
  await work();
  return performance.now() - begun;
}

const atShare = (values: readonly number[], share: number): number =>
  values.toSorted((a, b) => a - b)[Math.min(values.length - 1, Math.floor(values.length * share))]!;
