/** What must hold after a kill at any moment. Each function returns sentences about what does not hold. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { basename, dirname, join, relative } from 'node:path';
import { PDFDocument } from 'pdf-lib';
import { z } from 'zod';
import { jobFromJson } from '../../core/job/job-json.ts';
import { CurrentManifest } from '../../core/output/current-manifest.ts';
import { Manifest } from '../../core/output/manifest.ts';
import { openArchive } from '../../main/archive/archive.ts';
import { databasePath } from '../../main/archive/database.ts';
import type { Archive } from '../../main/archive/port.ts';
import { isPartial } from '../../main/files/atomic-write.ts';
import { CURRENT_FOLDER, outputManifests } from '../../main/files/job-folder.ts';
import { sha256Hex } from '../../main/files/sha256.ts';
import { MANIFEST_NAME } from '../../main/files/staged-folder.ts';
import { EARLIER_JOBS, foundInDatabase, LATER_SCHEMA } from './earlier-archive.ts';
import type { Places } from './places.ts';

/** What victims have said to be durable, over all kills. */
export interface Durable {
  /** By job, the highest state that was reported. */
  readonly jobs: Map<string, number>;
  readonly outputs: Set<number>;
  readonly migrated: Set<string>;
}

export async function troubleAfterKill(places: Places, durable: Durable): Promise<string[]> {
  return [
    ...(await archiveTrouble(places, durable)),
    ...(await migrationTrouble(places)),
    ...filesIn(places.out)
      .filter((path) => path.endsWith(MANIFEST_NAME))
      .flatMap(manifestTrouble),
    ...(await verdictTrouble(places)),
    ...filesIn(places.work).flatMap(jobFileTrouble),
    ...filesIn(places.temporary).map((path) => `left in the temporary folder: ${path}`),
  ];
}

/** What must hold in addition once every folder has been used again. */
export function partialsLeft({ root }: Places): string[] {
  return readdirSync(root, { recursive: true, encoding: 'utf8' })
    .filter((path) => isPartial(path.split('/').at(-1)!))
    .map((path) => `not swept: ${path}`);
}

async function archiveTrouble(places: Places, durable: Durable): Promise<string[]> {
  const opened = await openArchive(places.archive);
  if (!opened.ok) return [`the archive does not open: ${opened.problem.message}`];
  const archive = opened.value;
  try {
    const report = await archive.checks.checkAll({
      signal: new AbortController().signal,
      report: () => undefined,
    });
    return [
      ...report.databaseTrouble,
      ...report.absent.map(({ name }) => `missing from the vault: ${name}`),
      ...report.damaged.map(({ name }) => `damaged in the vault: ${name}`),
      ...(await Promise.all([...durable.jobs].map(([id, count]) => jobTrouble(archive, id, count)))).flat(),
      ...(await Promise.all([...durable.outputs].map((number) => outputTrouble(archive, number)))).flat(),
      ...strangersInArchive(places.archive),
    ];
  } finally {
    await archive.close();
  }
}

async function outputTrouble(archive: Archive, number: number): Promise<string[]> {
  return (await archive.outputs.findNumbered('output', number)).ok ? [] : [`Output ${number} is lost`];
}

async function jobTrouble(archive: Archive, id: string, count: number): Promise<string[]> {
  const stored = await archive.jobs.find(id);
  if (!stored.ok) return [`job ${id} is lost`];
  const job = jobFromJson(stored.value.document);
  if (!job.ok) return [`job ${id} cannot be read: ${job.problem.message}`];
  if (job.value.name !== stored.value.name) return [`job ${id} is half saved`];
  const found = Number(job.value.name.replace('state ', ''));
  return found >= count ? [] : [`job ${id} is in state ${found}, after state ${count} was reported`];
}

/**
 * Beside the database there is the vault, in which every file has the name of its own hash, and what was seen of artworks,
 * which can be made again.
 */
function strangersInArchive(folder: string): string[] {
  return filesIn(folder)
    .map((path) => relative(folder, path))
    .filter((path) => !/^archive\.sqlite(-wal|-shm)?$/.test(path) && !path.startsWith('previews/'))
    .filter((path) => {
      const sha256 = /^vault\/(?<head>..)\/(?<sha256>\k<head>[0-9a-f]{62})$/.exec(path)?.groups?.sha256;
      return sha256 === undefined || sha256Hex(readFileSync(join(folder, path))) !== sha256;
    })
    .map((path) => `not a whole file of the archive: ${path}`);
}

async function migrationTrouble({ migrated }: Places): Promise<string[]> {
  if (!existsSync(migrated)) return [];
  const trouble: string[] = [];
  for (const name of readdirSync(migrated)) {
    const folder = join(migrated, name);
    if (existsSync(databasePath(folder))) trouble.push(...(await migratedTrouble(folder, name)));
  }
  return trouble;
}

async function migratedTrouble(folder: string, name: string): Promise<string[]> {
  const expected = name.endsWith('-from-0') ? 0 : EARLIER_JOBS;
  const found = await foundInDatabase(databasePath(folder), LATER_SCHEMA);
  return Object.values(found).every((count) => count === expected)
    ? []
    : [`${name} holds ${JSON.stringify(found)}, not ${expected} of each`];
}

/** A manifest that can be seen says that every file that it lists is there, whole. */
function manifestTrouble(path: string): string[] {
  if (path.split('/').some(isPartial)) return [];
  const { files } = z.union([Manifest, CurrentManifest]).parse(JSON.parse(readFileSync(path, 'utf8')));
  const folder = join(path, '..');
  return (files as readonly { file: string; sha256: string }[])
    .filter(({ file, sha256 }) => {
      const at = join(folder, file);
      return !existsSync(at) || sha256Hex(readFileSync(at)) !== sha256;
    })
    .map(({ file }) => `${folder} has a manifest, but ${file} is not whole`);
}

/** A sheet says VERIFIED only where the archive does, and `current` holds verified panels of one layout. */
async function verdictTrouble({ archive: folder, out }: Places): Promise<string[]> {
  const opened = await openArchive(folder);
  if (!opened.ok) return [];
  const archive = opened.value;
  const verified = new Set<string>();
  try {
    for (const { id } of await archive.jobs.list()) {
      for (const output of await archive.outputs.list(id))
        if (output.verification.state === 'verified') verified.add(output.folder);
    }
  } finally {
    await archive.close();
  }
  const trouble: string[] = [];
  for (const path of filesIn(out).filter((file) => !file.split('/').some(isPartial))) {
    if (path.endsWith('packing-list.pdf')) {
      const title = (await PDFDocument.load(readFileSync(path))).getTitle();
      if (title?.endsWith(' VERIFIED') && !title.endsWith('NOT VERIFIED') && !verified.has(dirname(path)))
        trouble.push(`${path} says ${title}, and the archive does not`);
    }
    if (path.endsWith(join(CURRENT_FOLDER, MANIFEST_NAME)))
      trouble.push(...(await currentTrouble(dirname(path), verified)));
  }
  return trouble;
}

async function currentTrouble(folder: string, verified: ReadonlySet<string>): Promise<string[]> {
  const jobFolder = dirname(folder);
  const { files } = CurrentManifest.parse(JSON.parse(readFileSync(join(folder, MANIFEST_NAME), 'utf8')));
  const isVerified = (output: number) =>
    [...verified].some(
      (of) => dirname(of) === jobFolder && new RegExp(`^output-${output}(_|$)`).test(basename(of)),
    );
  const unverified = files.filter(({ output }) => !isVerified(output));
  const outputs = [...(await outputManifests(jobFolder)).values()];
  const layouts = filesIn(folder)
    .filter((path) => path.endsWith('.pdf') && !isPartial(basename(path)))
    .map((path) => {
      const sha256 = sha256Hex(readFileSync(path));
      return new Set(
        outputs
          .filter((output) => output.files.some((file) => file.sha256 === sha256))
          .map(({ layout }) => layout),
      );
    });
  const [first = new Set(['none']), ...others] = layouts;
  const common = [...first].filter((layout) => others.every((other) => other.has(layout)));
  return [
    ...unverified.map(
      ({ file, output }) => `${file} in ${folder} is of Output ${output}, which is not verified`,
    ),
    ...(common.length === 0 ? [`${folder} holds panels of two layouts`] : []),
  ];
}

function jobFileTrouble(path: string): string[] {
  if (!path.endsWith('.json') || path.split('/').some(isPartial)) return [];
  const job = jobFromJson(readFileSync(path, 'utf8'));
  return job.ok ? [] : [`${path} is half written: ${job.problem.message}`];
}

function filesIn(folder: string): string[] {
  if (!existsSync(folder)) return [];
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name));
}
