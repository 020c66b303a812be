/**
 * `npm run bench archive [jobs]`: an archive of 100,000 jobs with 30,000 outputs, opened, listed and searched. Times
 * are those of this machine at this moment; the search is over words that few and that very many jobs hold.
 */
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { jobToJson } from '../../core/job/job-json.ts';
import { databasePath } from '../../main/archive/database.ts';
import { randomFrom } from '../support/random.ts';
import { smallJob } from '../support/small-job.ts';
import { testArchive } from '../support/test-archive.ts';

const JOBS = 100_000;
const SEARCHES = 400;
const CUSTOMERS = ['Alder County Library', 'Bibliothèque d’Aulne', 'Elm Valley Schools', 'Harbor Parks'];
const UNITS = ['Bookmobile', 'Outreach trailer', 'Box body', 'Step van', 'Panel van'];
const WORDS = [
  'rear',
  'ladder',
  'camera',
  'reflective',
  'window',
  'night',
  'urgent',
  'reprint',
  'sensor',
  'hinge',
];
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
    fill(databasePath(folder), jobs);
    const sizeMb = Math.round(statSync(databasePath(folder)).size / 1e6);
    const noFilmAreas = await repeated(3, () => timed(async () => await (await testArchive(folder)).close()));
    const openMs = Math.max(...noFilmAreas);
    const archive = await testArchive(folder);
    const list = await repeated(20, () => timed(() => archive.jobs.list({ limit: 200 })));
    const searches = await repeated(SEARCHES, async (i) => {
      const text = SEARCHED[i % SEARCHED.length]!;
      return { text, ms: await timed(() => archive.jobs.list({ text, limit: 200 })) };
    });
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
    console.log(JSON.stringify({ jobs, sizeMb, openMs, listMs: atShare(list, 0.95), p95SearchMs }));
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

/** Written with plain inserts: saving one by one would take the benchmark an hour of syncs. */
function fill(path: string, jobs: number): void {
  const db = new Database(path);
  const random = randomFrom(71);
  const pick = (from: readonly string[]) => from[Math.floor(random() * from.length)]!;
  const base = smallJob();
  const job = db.prepare(
    `INSERT INTO jobs (row_id, id, number, name, customer, unit_number, document, revision, created_at, updated_at)
     VALUES (?, ?, ?, ?, ?, ?, ?, 1, ?, ?)`,
  );
  const text = db.prepare('INSERT INTO job_words (rowid, words) VALUES (?, ?)');
  const outputs = db.prepare(
    `INSERT INTO outputs (job_id, kind, reason, at, program_version, document, artwork_sha256, folder)
     VALUES (?, 'output', '', ?, '0.1.0', '{}', ?, 'out')`,
  );
  db.transaction(() => {
    for (let n = 1; n <= jobs; n++) {
      const [customer, unit] = [pick(CUSTOMERS), pick(UNITS)];
      const notes = Array.from({ length: 8 }, () => pick(WORDS)).join(' ');
      const labels = Array.from({ length: 12 }, (_, i) => `LH-${String(i + 1).padStart(2, '0')}`).join(' ');
      const at = new Date(Date.UTC(2016, 0, 1) + Math.floor(random() * 3.4e11)).toISOString();
      const one = {
        ...base,
        id: `id-${n}`,
        number: `BM-${n}`,
        name: `${unit} state ${n % 97}`,
        customer,
        notes,
      };
      job.run(n, one.id, one.number, one.name, customer, unit, jobToJson(one), at, at);
      text.run(n, [one.number, one.name, customer, unit, notes, labels].join('\n'));
      if (n % 10 < 3) outputs.run(one.id, at, 'a'.repeat(64));
    }
  })();
  db.close();
}
