/**
 * Sends a task to another machine and its result back. Paths are useless there, so artwork and written files travel by
 * hash through the vault, which every seat can reach; everything else travels as a document.
 */
import { readdir, readFile, rm } from 'node:fs/promises';
import { basename, dirname, join, posix, relative, sep } from 'node:path';
import type { OutputFile } from '../../core/contract/output-summary.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { Vault } from '../archive/port.ts';
import { writeFileAtomically } from '../files/atomic-write.ts';
import { copyHashed } from '../files/hashed-copy.ts';
import { makeFolder } from '../files/make-folder.ts';
import { hashFile } from '../files/sha256.ts';
import { stageTogether } from '../files/staged-folder.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';
import type { PanelToReprint } from '../tasks/reprint.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import { isOfVerification, removeVerification } from '../verify/verification-files.ts';

/** The fields of a request that contain paths; each task has some of them. */
export interface Travelling {
  readonly artwork?: ArtworkAt;
  readonly corrected?: ArtworkAt;
  readonly panels?: readonly PanelToReprint[];
  readonly archiveFolder?: string;
  readonly jobFolder?: string;
  /** The folder to verify. */
  readonly folder?: string;
}

interface FileAt {
  readonly name: string;
  readonly sha256: string;
}

type PackedArtwork = Omit<ArtworkAt, 'path' | 'password'> & { readonly sha256: string };

export interface PackedRequest {
  /** All fields without paths. */
  readonly plain: object;
  readonly artwork?: PackedArtwork | undefined;
  readonly corrected?: PackedArtwork | undefined;
  readonly panels?: readonly { readonly file: OutputFile; readonly sha256?: string }[];
  readonly hasArchiveFolder: boolean;
  readonly hasJobFolder: boolean;
  readonly files?: readonly FileAt[];
}

export interface PackedResult {
  readonly result: Result<unknown>;
  /** Files of a staged output, which are in the vault. */
  readonly staged?: readonly FileAt[];
  /** The files that the task wrote into the folder that it verified. */
  readonly written?: readonly { readonly name: string; readonly bytes: Uint8Array }[];
}

/** Passwords are never written down, so artwork with a password stays on its machine. */
export const mayTravel = ({ artwork, corrected }: Travelling): boolean =>
  artwork?.password === undefined && corrected?.password === undefined;

export async function packedRequest(
  { artwork, corrected, panels, archiveFolder, jobFolder, folder, ...plain }: Travelling,
  vault: Vault,
  tools: TaskTools,
): Promise<PackedRequest> {
  return {
    plain,
    ...(artwork && { artwork: await packedArtwork(artwork, vault, tools) }),
    ...(corrected && { corrected: await packedArtwork(corrected, vault, tools) }),
    ...(panels && {
      panels: panels.map(({ file, path }) => ({
        file,
        ...(path !== undefined && { sha256: basename(path) }),
      })),
    }),
    hasArchiveFolder: archiveFolder !== undefined,
    hasJobFolder: jobFolder !== undefined,
    ...(folder !== undefined && { files: await keptFiles(folder, vault, tools.signal) }),
  };
}

async function packedArtwork(
  { path, password: _, ...artwork }: ArtworkAt,
  vault: Vault,
  { signal, report }: TaskTools,
): Promise<PackedArtwork> {
  const name = basename(path);
  if (dirname(dirname(path)) === vault.folder && (await vault.has(name))) return { ...artwork, sha256: name };
  const onShare = (share: number) =>
    report({ what: 'Taking the artwork into the archive', done: share, total: 1 });
  return { ...artwork, sha256: (await vault.add(path, { signal, onShare })).sha256 };
}

/** All files of a folder, by current hash; files that the vault lacks are added to it. */
async function keptFiles(folder: string, vault: Vault, signal: AbortSignal): Promise<FileAt[]> {
  const files: FileAt[] = [];
  for (const name of await filesIn(folder)) {
    if (isOfVerification(name)) continue;
    const path = join(folder, name);
    const { sha256 } = await hashFile(path, { signal });
    files.push({
      name,
      sha256: (await vault.has(sha256)) ? sha256 : (await vault.add(path, { signal })).sha256,
    });
  }
  return files;
}

async function filesIn(folder: string): Promise<string[]> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  return entries
    .filter((entry) => entry.isFile())
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)).split(sep).join(posix.sep));
}

/** The request with paths of this machine; the files of a folder that it needs are copied into `scratch`. */
export async function unpackedRequest(
  { plain, artwork, corrected, panels, hasArchiveFolder, hasJobFolder, files }: PackedRequest,
  { vault, folder: archiveFolder }: { readonly vault: Vault; readonly folder: string },
  scratch: string,
  signal: AbortSignal,
): Promise<Result<Travelling>> {
  const asked = [artwork, corrected].flatMap((each) => each ?? []);
  for (const { fileName, sha256 } of asked)
    if (!(await vault.has(sha256))) return resultProblem(notInVault(fileName, vault));
  for (const { name, sha256 } of files ?? []) {
    if (!(await vault.has(sha256))) return resultProblem(notInVault(name, vault));
    const target = join(scratch, name);
    await makeFolder(dirname(target));
    const copied = await copyHashed(await vault.path(sha256), target, { signal });
    if (copied.sha256 !== sha256) return resultProblem(notInVault(name, vault));
  }
  const artworkAt = async ({ sha256, ...rest }: PackedArtwork): Promise<ArtworkAt> => ({
    ...rest,
    path: await vault.path(sha256),
  });
  return resultOk({
    ...plain,
    ...(artwork && { artwork: await artworkAt(artwork) }),
    ...(corrected && { corrected: await artworkAt(corrected) }),
    ...(panels && {
      panels: await Promise.all(
        panels.map(async ({ file, sha256 }) => ({
          file,
          ...(sha256 !== undefined && { path: await vault.path(sha256) }),
        })),
      ),
    }),
    ...(hasArchiveFolder && { archiveFolder }),
    ...(hasJobFolder && { jobFolder: scratch }),
    ...(files && { folder: scratch }),
  });
}

interface Staged {
  readonly staged: string;
  readonly files: readonly OutputFile[];
}

/** The result with its files in the vault. Rejects where a file differs from what the task said. */
export async function packedResult(
  { hasJobFolder, files }: PackedRequest,
  result: Result<unknown>,
  vault: Vault,
  scratch: string,
  signal: AbortSignal,
): Promise<PackedResult> {
  if (!result.ok) return { result: resultProblem(problemElsewhere(result.problem, scratch)) };
  if (hasJobFolder) {
    const { staged, ...value } = result.value as Staged;
    const kept: FileAt[] = [];
    for (const { name, sha256 } of value.files) {
      const added = await vault.add(join(staged, name), { signal });
      if (added.sha256 !== sha256) throw new Error(`${name} changed while it was taken into the vault`);
      kept.push({ name, sha256 });
    }
    return { result: resultOk(value), staged: kept };
  }
  if (!files) return { result };
  const names = (await filesIn(scratch)).filter(isOfVerification);
  const written = await Promise.all(
    names.map(async (name) => ({ name, bytes: new Uint8Array(await readFile(join(scratch, name))) })),
  );
  return { result, written };
}

/** The result as if the task had run here: a staged output is beside its place, a verification in its folder. */
export async function unpackedResult(
  { result, staged, written }: PackedResult,
  { jobFolder, folder }: Travelling,
  vault: Vault,
  tools: TaskTools,
): Promise<Result<unknown>> {
  if (!result.ok) return result;
  if (staged && jobFolder !== undefined)
    return await stageTogether(jobFolder, async (target) => {
      for (const [done, { name, sha256 }] of staged.entries()) {
        tools.report({ what: 'Fetching the files', done, total: staged.length });
        const copied = await target.copy(name, await vault.path(sha256), tools.signal);
        if (copied.sha256 !== sha256) return resultProblem(notInVault(name, vault));
      }
      return resultOk({ ...(result.value as object), staged: target.path });
    });
  if (written && folder !== undefined) {
    await removeVerification(folder);
    for (const { name, bytes } of written) await writeFileAtomically(join(folder, name), bytes);
  }
  return result;
}

/** Removes a worker's paths, which are useless to the asking seat. */
const problemElsewhere = (problem: Problem, scratch: string): Problem => ({
  ...problem,
  message: problem.message.replaceAll(scratch, 'the folder of the worker'),
});

const notInVault = (name: string, { folder }: Vault): Problem => ({
  code: 'vault-incomplete',
  message: `${name} is not whole in the vault ${folder}.`,
  remedy: 'Check that all machines reach the same folder, then try again.',
});

export async function clearScratch(scratch: string): Promise<void> {
  await rm(scratch, { recursive: true, force: true });
}
