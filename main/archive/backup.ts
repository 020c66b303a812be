/**
 * Copies the archive while it is in use: first the database, in one consistent state, then every file that this state
 * refers to. Files are added to the vault before the database refers to them, and are not removed meanwhile, so all of
 * them exist.
 */
import { readFileSync, statSync } from 'node:fs';
import { chmod, rename, rm, writeFile } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import {
  abandonedPartials,
  isPartial,
  namesIn,
  partialPath,
  sweepPartials,
  syncFolder,
  tryRemove,
} from '../files/atomic-write.ts';
import { errorMoved } from '../files/file-problem.ts';
import { makeFolder, PRIVATE_FILE, PRIVATE_FOLDER } from '../files/make-folder.ts';
import { databasePath, openDatabase } from './database.ts';
import { jobCount, keptFiles } from './kept-files.ts';
import type { ArchiveProblem, Backup, CheckTools, Vault } from './port.ts';
import { type SqliteStore, sqlOf } from './sqlite-store.ts';
import { FileVault, vaultFolder } from './vault.ts';
import { copyVaultFiles } from './vault-copy.ts';

/** A file in the archive's folder that names the target while a backup is written. */
const NOTE = 'backup';

export interface ArchiveParts {
  readonly store: Pick<SqliteStore, 'copyTo'>;
  readonly vault: Vault;
  readonly folder: string;
}

export async function copyArchive(
  { store, vault, folder }: ArchiveParts,
  to: string,
  tools: CheckTools,
): Promise<Result<Backup, ArchiveProblem>> {
  const parent = dirname(to);
  await makeFolder(parent);
  sweepPartials(parent);
  const partial = partialPath(to);
  const note = partialPath(join(folder, NOTE));
  try {
    await makeFolder(partial, PRIVATE_FOLDER);
    // A read-only archive can still be copied.
    await writeFile(note, resolve(partial), { mode: PRIVATE_FILE }).catch(() => undefined);
    await store.copyTo(databasePath(partial), tools);
    await chmod(databasePath(partial), PRIVATE_FILE);
    const opened = openDatabase(databasePath(partial));
    if (!opened.ok) {
      if (opened.problem.code === 'archive-disk-full') throw diskFull(opened.problem.message);
      return resultProblem(problemAt(opened.problem, partial, to));
    }
    const { db } = opened.value;
    try {
      const sql = sqlOf(db);
      const [jobs, kept] = [await jobCount(sql), await keptFiles(sql)];
      const copy = { from: vault, to: vaultFolder(partial), earlier: earlierBackup(parent, folder) };
      const lost = await copyVaultFiles(kept, copy, tools);
      db.close();
      await syncFolder(partial);
      await rename(partial, to);
      await syncFolder(parent);
      return resultOk({ jobs, files: kept.length - lost.length, lost });
    } finally {
      db.close();
    }
  } catch (error) {
    throw errorMoved(error, partial, to);
  } finally {
    await rm(partial, { recursive: true, force: true });
    await rm(note, { force: true }).catch(() => undefined);
  }
}

/** The next opening of the archive removes what a killed backup left. */
export function sweepBackups(archiveFolder: string): void {
  for (const name of abandonedPartials(archiveFolder, NOTE)) {
    const note = join(archiveFolder, name);
    const partial = readText(note);
    // The note is a file and may have been changed, so it is not trusted.
    if (partial === undefined || !isPartial(basename(partial)) || tryRemove(partial)) tryRemove(note);
  }
}

function readText(path: string): string | undefined {
  try {
    return readFileSync(path, 'utf8');
  } catch {
    return undefined;
  }
}

/** The same error as the system gives for any other file of the copy. */
const diskFull = (message: string): Error => Object.assign(new Error(message), { code: 'ENOSPC' });

/** Messages use the name that the user gave the backup. */
const problemAt = (problem: ArchiveProblem, partial: string, to: string): ArchiveProblem => ({
  ...problem,
  message: problem.message.replaceAll(partial, to),
});

/**
 * The newest backup in the same folder as a new one. The archive itself does not count: a backup that shared files with
 * it by hard links would be lost with it.
 */
function earlierBackup(parent: string, archiveFolder: string): FileVault | undefined {
  const own = statSync(archiveFolder).ino;
  const backups = namesIn(parent)
    .map((name) => join(parent, name))
    .filter(
      (folder) => !isPartial(basename(folder)) && statSync(folder, { throwIfNoEntry: false })?.ino !== own,
    )
    .flatMap((folder) => {
      const database = statSync(databasePath(folder), { throwIfNoEntry: false });
      return database ? [{ folder, writtenMs: database.mtimeMs }] : [];
    });
  const newest = backups.toSorted((a, b) => b.writtenMs - a.writtenMs)[0];
  return newest && new FileVault(vaultFolder(newest.folder));
}
