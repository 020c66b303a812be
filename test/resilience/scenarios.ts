/** What a victim is doing when it is killed: one step after the other, each said once it is durable. */
import { mkdirSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Job } from '../../core/job/schema.ts';
import { databasePath } from '../../main/archive/database.ts';
import type { Archive } from '../../main/archive/port.ts';
import { writeJobFile } from '../../main/job/job-file.ts';
import { exportBundle, importBundle } from '../../main/services/job-bundle.ts';
import { saveJobFromFile } from '../../main/services/save-job.ts';
import { commandLine } from '../support/command-line.ts';
import { smallArtwork, smallJob } from '../support/small-job.ts';
import { testArchive } from '../support/test-archive.ts';
import {
  EARLIER_VERSIONS,
  foundInDatabase,
  LATER_SCHEMA,
  writeDatabaseOfVersion,
} from './earlier-archive.ts';
import type { Places, VictimLine } from './places.ts';

export interface Scenario {
  /** Makes what the steps begin from. */
  prepare(places: Places): Promise<void>;
  /** The step of that number; returns what is durable now. */
  step(places: Places, count: number): Promise<VictimLine>;
}

/** Number of folders that are used in turn. */
export const FOLDERS_KEPT = 3;

/** A job whose name counts up, so that a later state can be told from an earlier one. */
const countedJob = (id: string, count: number): Job =>
  smallJob({ id, number: `N-${id}`, name: `state ${count}` });

async function artworkWritten({ work }: Places, name: string, count: number): Promise<string> {
  const path = join(work, name);
  // A comment after the end of the file makes another artwork of it.
  writeFileSync(path, Buffer.concat([await smallArtwork(), Buffer.from(`%${count}\n`)]));
  return path;
}

export async function placeJobFile({ work }: Places, job: Job): Promise<string> {
  const path = join(work, `${job.id}.json`);
  const written = await writeJobFile(path, job);
  if (!written.ok) throw new Error(written.problem.message);
  return path;
}

export async function command(places: Places, ...args: string[]): Promise<Record<string, unknown>> {
  const { code, out, err } = await commandLine(['--archive', places.archive, '--json', ...args], {
    now: () => new Date().toISOString(),
  });
  if (code !== 0) throw new Error(`${args.join(' ')}: exit code ${code}: ${out}${err}`);
  return JSON.parse(out) as Record<string, unknown>;
}

const withoutTools = { signal: new AbortController().signal, report: () => undefined };

async function withArchive<T>(places: Places, use: (archive: Archive) => Promise<T>): Promise<T> {
  const archive = await testArchive(places.archive);
  try {
    return await use(archive);
  } finally {
    await archive.close();
  }
}

async function outputWritten(places: Places, count: number): Promise<number> {
  const job = countedJob('output', count);
  // Every other time one panel in place of two: another layout for the folder to print from.
  const jobFile = await placeJobFile(
    places,
    count % 2 === 0 ? job : { ...job, sides: smallJob({}, { kind: 'panel', id: 'whole' }).sides },
  );
  const artwork = join(places.work, 'art.pdf');
  const folder = join(places.out, `job-${count % FOLDERS_KEPT}`);
  const done = await command(
    places,
    'cut',
    jobFile,
    '--artwork',
    artwork,
    '--to',
    folder,
    '--sheets',
    'packing-list',
  );
  return done.output as number;
}

export const SCENARIOS = {
  import: {
    prepare: async () => undefined,
    async step(places, count) {
      const id = `import-${count % FOLDERS_KEPT}`;
      const artwork = await artworkWritten(places, `art-${count % FOLDERS_KEPT}.pdf`, count);
      const jobFile = await placeJobFile(places, countedJob(id, count));
      await command(places, 'import', artwork, '--job', jobFile);
      return { job: id, count };
    },
  },
  save: {
    prepare: async () => undefined,
    step: async (places, count) =>
      await withArchive(places, async (archive) => {
        const job = countedJob(`save-${count % 7}`, count);
        const now = new Date().toISOString();
        const saved = await saveJobFromFile(archive, job, now);
        if (!saved.ok) throw new Error(saved.problem.message);
        return { job: job.id, count };
      }),
  },
  output: {
    async prepare(places) {
      await artworkWritten(places, 'art.pdf', 0);
    },
    step: async (places, count) => ({ output: await outputWritten(places, count) }),
  },
  reprint: {
    async prepare(places) {
      await artworkWritten(places, 'art.pdf', 0);
      await outputWritten(places, 0);
    },
    async step(places, count) {
      const labels = count % 2 === 0 ? 'LH-01,LH-02' : 'LH-02';
      const folder = join(places.out, `again-${count % FOLDERS_KEPT}`);
      const done = await command(
        places,
        ...[
          'reprint',
          countedJob('output', 0).number,
          '1',
          '--panels',
          labels,
          '--reason',
          `${count}`,
          '--to',
          folder,
        ],
        // The one sheet that says whether its output is verified.
        ...['--sheets', 'packing-list'],
      );
      return { output: done.output as number };
    },
  },
  migration: {
    async prepare({ earlier }) {
      for (const version of EARLIER_VERSIONS)
        await writeDatabaseOfVersion(join(earlier, `${version}`), version);
    },
    async step({ earlier, migrated }, count) {
      const versions = readdirSync(earlier);
      const version = versions[count % versions.length]!;
      const folder = join(migrated, `${count}-from-${version}`);
      mkdirSync(folder, { recursive: true });
      const path = databasePath(folder);
      writeFileSync(`${path}.copy`, readFileSync(join(earlier, version)));
      renameSync(`${path}.copy`, path);
      await foundInDatabase(path, LATER_SCHEMA);
      const kept = count - FOLDERS_KEPT * versions.length;
      rmSync(join(migrated, `${kept}-from-${version}`), { recursive: true, force: true });
      return { migrated: folder };
    },
  },
  bundle: {
    prepare: async (places) =>
      await withArchive(places, async (archive) => {
        const artwork = await artworkWritten(places, 'art.pdf', 0);
        const jobFile = await placeJobFile(places, countedJob('bundle', 0));
        await command(places, 'import', artwork, '--job', jobFile);
        const exported = await exportBundle(archive, 'bundle', places.work, withoutTools);
        if (!exported.ok) throw new Error(exported.problem.message);
      }),
    step: async (places, count) =>
      await withArchive(places, async (archive) => {
        const bundle = join(places.work, 'N-bundle.pwjob');
        const choice = { kind: 'keep-both', number: `N-bundle-${count}` } as const;
        const tools = { ...withoutTools, now: `${count}` };
        const imported = await importBundle(archive, bundle, count === 0 ? undefined : choice, tools);
        if (!imported.ok) throw new Error(imported.problem.message);
        if (imported.value.state !== 'imported') throw new Error(imported.value.state);
        return { job: imported.value.job.id, count: 0 };
      }),
  },
} satisfies Record<string, Scenario>;

export type ScenarioName = keyof typeof SCENARIOS;
export const SCENARIO_NAMES = Object.keys(SCENARIOS) as ScenarioName[];
