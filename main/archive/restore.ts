/**
 * Replaces the archive by a backup. The backup is copied beside the archive and checked completely there, while the
 * archive is still in use; renames then exchange the two. The old archive is kept under another name.
 */
import { existsSync } from 'node:fs';
import { readdir, rename, rm } from 'node:fs/promises';
import { basename, dirname, isAbsolute, join, relative } from 'node:path';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { partialPath, sweepPartials, syncFolder } from '../files/atomic-write.ts';
import { tryFiles } from '../files/file-problem.ts';
import { copyHashed } from '../files/hashed-copy.ts';
import { makeFolder, PRIVATE_FOLDER } from '../files/make-folder.ts';
import { openArchive } from './archive.ts';
import { isPostgresPlace } from './archive-folder.ts';
import { databasePath } from './database.ts';
import type { ArchiveReport, CheckTools } from './port.ts';
import { shownPlace } from './postgres-place.ts';
import { postgresShared } from './postgres-problems.ts';
import { vaultFolder } from './vault.ts';

export interface StagedBackup {
  /** The folder of a copy beside the archive. */
  readonly folder: string;
  readonly report: ArchiveReport;
}

/** Copies a backup beside the archive and reads all of it. */
export async function stageBackup(
  backup: string,
  archiveFolder: string,
  tools: CheckTools,
): Promise<Result<StagedBackup>> {
  if (isPostgresPlace(archiveFolder)) return resultProblem(postgresShared(shownPlace(archiveFolder)));
  if (!existsSync(databasePath(backup))) return resultProblem(noBackup(backup));
  const fromArchive = relative(archiveFolder, backup);
  if (!fromArchive.startsWith('..') && !isAbsolute(fromArchive)) return resultProblem(archiveItself(backup));
  const folder = partialPath(archiveFolder);
  let isStaged = false;
  try {
    return await tryFiles(backup, async () => {
      await makeFolder(dirname(archiveFolder));
      sweepPartials(dirname(archiveFolder), basename(archiveFolder));
      await copyBackup(backup, folder, tools);
      const opened = await openArchive(folder);
      if (!opened.ok) return opened;
      try {
        const report = await opened.value.checks.checkAll(tools);
        isStaged = true;
        return resultOk({ folder, report });
      } finally {
        await opened.value.close();
      }
    });
  } finally {
    if (!isStaged) await discardStaged({ folder });
  }
}

export async function discardStaged({ folder }: Pick<StagedBackup, 'folder'>): Promise<void> {
  await rm(folder, { recursive: true, force: true });
}

async function copyBackup(from: string, to: string, { signal, report }: CheckTools): Promise<void> {
  const database = databasePath(from);
  // A backup that was opened for work by a program that was then killed has a log of the last writes.
  const databaseFiles = [database, `${database}-wal`].filter((path) => existsSync(path));
  const vault = await readdir(vaultFolder(from), { recursive: true, withFileTypes: true }).catch(() => []);
  const files = [
    ...databaseFiles,
    ...vault.filter((entry) => entry.isFile()).map(({ parentPath, name }) => join(parentPath, name)),
  ];
  for (const [done, path] of files.entries()) {
    signal.throwIfAborted();
    const onShare = (share: number) =>
      report({ what: 'Copying the backup', done: done + share, total: files.length });
    onShare(0);
    const target = join(to, relative(from, path));
    await makeFolder(dirname(target), PRIVATE_FOLDER);
    await copyHashed(path, target, { signal, onShare });
  }
}

/**
 * Puts a staged backup in the place of the archive, which must be closed. Returns the new path of the old archive;
 * undefined where there was none.
 */
export async function putInPlace(
  staged: StagedBackup,
  archiveFolder: string,
  now: string,
): Promise<string | undefined> {
  // From here on a kill loses nothing: the next start finds this name and continues.
  await rename(staged.folder, `${archiveFolder}.restored-${stamp(now)}`);
  return await finishRestoring(archiveFolder, now);
}

/** Continues an exchange that a kill interrupted; does nothing where there was none. */
export async function finishRestoring(archiveFolder: string, now: string): Promise<string | undefined> {
  const [parent, name] = [dirname(archiveFolder), `${basename(archiveFolder)}.restored-`];
  const restored = (await readdir(parent).catch(() => [])).find((each) => each.startsWith(name));
  if (restored === undefined) return undefined;
  const aside = existsSync(archiveFolder) ? `${archiveFolder}.set-aside-${stamp(now)}` : undefined;
  if (aside !== undefined) await rename(archiveFolder, aside);
  await rename(join(parent, restored), archiveFolder);
  await syncFolder(parent);
  return aside;
}

const stamp = (now: string): string => now.replaceAll(/[^0-9]/g, '');

const noBackup = (folder: string): Problem => ({
  code: 'backup-none',
  message: `${folder} is no backup: it holds no database of an archive.`,
  remedy: 'Select the folder that the backup was written to.',
});

const archiveItself = (folder: string): Problem => ({
  code: 'backup-is-archive',
  message: `${folder} is the archive itself, or lies in it.`,
  remedy: 'Select the folder that the backup was written to.',
});
