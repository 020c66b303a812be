/**
 * The folder of a job, inside the folder that the user selected. Each output has its own numbered folder in it, and
 * `current` is the one to print from.
 *
 *     van/VAN-17/output-1/   panels, sheets and manifest of Output 1
 *                output-2_REPRINT-of-1_2026-11-27_scratched/
 *                sheets-1/   sheets that were written without an output
 *                findings-1/ faults that the designer is asked to fix
 *                guide-1/    panel guides for the designer of the artwork
 *                current/    verified print files of one layout, see current-folder.ts
 */
import { readdir, readFile, rm } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import type { Job } from '../../core/job/schema.ts';
import { present } from '../../core/measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { CurrentManifest } from '../../core/output/current-manifest.ts';
import { fileNameStem } from '../../core/output/file-name.ts';
import { Manifest } from '../../core/output/manifest.ts';
import { type FileProblem, tryFiles } from './file-problem.ts';
import { MANIFEST_NAME, placeStaged } from './staged-folder.ts';

export const CURRENT_FOLDER = 'current';

/** Some disks do not distinguish capital from small letters. */
const NUMBERED = /^(?<what>output|sheets|guide|findings)-(?<number>[1-9]\d{0,8})(?:_.*)?$/i;
type Numbered = 'output' | 'sheets' | 'guide' | 'findings';

/** Problem: `folder-in-use` where another job with the same number has written there. */
export async function jobFolderIn(
  chosen: string,
  { id, number }: Pick<Job, 'id' | 'number'>,
): Promise<Result<string, FileProblem>> {
  const folder = join(resolve(chosen), fileNameStem(number));
  return (await tryFiles(folder, async () => {
    for (const name of await namesIn(folder)) {
      const other = await jobOfFolder(join(folder, name));
      if (other && other.id !== id) return resultProblem(ofAnotherJob(folder, other));
    }
    return resultOk(folder);
  })) as Result<string, FileProblem>;
}

/** The manifests of the outputs in a job's folder, by output number. */
export async function outputManifests(jobFolder: string): Promise<Map<number, Manifest>> {
  const found = new Map<number, Manifest>();
  for (const name of await namesIn(jobFolder)) {
    const number = numberOf(name, 'output');
    const manifest =
      number === undefined ? undefined : Manifest.safeParse(await jsonAt(join(jobFolder, name))).data;
    if (number !== undefined && manifest) found.set(number, manifest);
  }
  return found;
}

/** The lowest number above all existing ones in the job folder. */
export async function nextNumber(jobFolder: string, what: Numbered): Promise<Result<number>> {
  return await tryFiles(jobFolder, async () => resultOk((await highestNumber(jobFolder, what)) + 1));
}

/** Gives a staged folder the next free number in its job folder. */
export async function placeNumbered(staged: string, what: Numbered): Promise<Result<string>> {
  const jobFolder = dirname(staged);
  return await placing(staged, async () => {
    for (;;) {
      const folder = join(jobFolder, `${what}-${(await highestNumber(jobFolder, what)) + 1}`);
      if (await placeStaged(staged, folder)) return resultOk(folder);
    }
  });
}

/** Gives a staged folder its name in its job folder. Problem: `folder-in-use` where the name was taken meanwhile. */
export async function placeAs(staged: string, name: string): Promise<Result<string>> {
  const folder = join(dirname(staged), name);
  return await placing(staged, async () => {
    if (await placeStaged(staged, folder)) return resultOk(folder);
    await rm(staged, { recursive: true, force: true });
    return resultProblem(takenMeanwhile(folder));
  });
}

async function placing(staged: string, place: () => Promise<Result<string>>): Promise<Result<string>> {
  return await tryFiles(dirname(staged), async () => {
    try {
      return await place();
    } catch (error) {
      await rm(staged, { recursive: true, force: true });
      throw error;
    }
  });
}

const takenMeanwhile = (folder: string): FileProblem => ({
  code: 'folder-in-use',
  message: `Another program has written ${folder} meanwhile.`,
  remedy: 'Write the output again: it gets the next number.',
});

async function highestNumber(jobFolder: string, what: Numbered): Promise<number> {
  return Math.max(0, ...(await namesIn(jobFolder)).map((name) => numberOf(name, what) ?? 0));
}

function numberOf(name: string, what: Numbered): number | undefined {
  const found = NUMBERED.exec(name)?.groups;
  return found && present(found.what, 'What a folder is called by').toLowerCase() === what
    ? Number(found.number)
    : undefined;
}

async function jobOfFolder(
  folder: string,
): Promise<{ id: string; number: string; name: string } | undefined> {
  const document = await jsonAt(folder);
  return (Manifest.safeParse(document).data ?? CurrentManifest.safeParse(document).data)?.job;
}

async function jsonAt(folder: string): Promise<unknown> {
  try {
    return JSON.parse(await readFile(join(folder, MANIFEST_NAME), 'utf8'));
  } catch {
    return undefined;
  }
}

async function namesIn(folder: string): Promise<string[]> {
  return await readdir(folder).catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'ENOENT') return [];
    throw error;
  });
}

const ofAnotherJob = (folder: string, { number, name }: { number: string; name: string }): FileProblem => ({
  code: 'folder-in-use',
  message: `${folder} holds outputs of another job with the number ${number}, “${name}”.`,
  remedy: 'Select another folder, or give one of the two jobs another number. Nothing was written.',
});
