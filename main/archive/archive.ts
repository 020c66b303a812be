/** An archive in one folder that can be copied as a whole: a database of SQLite beside a vault of files. */
import { existsSync, renameSync } from 'node:fs';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { sweepScratch } from '../files/scratch-folder.ts';
import { SqliteChecks } from './checks.ts';
import { databasePath, openDatabase } from './database.ts';
import { beginDatabaseCheck } from './database-check.ts';
import { SqliteJobs } from './jobs.ts';
import { SqliteOutputs } from './outputs.ts';
import type { Archive, ArchiveOptions, ArchiveProblem } from './port.ts';
import { SqliteShelf } from './shelf.ts';
import { Store } from './store.ts';
import { FileVault, vaultFolder } from './vault.ts';

/** Opens the archive of a folder, or begins one there. */
export async function openArchive(
  folder: string,
  options?: ArchiveOptions,
): Promise<Result<Archive, ArchiveProblem>> {
  const path = databasePath(folder);
  const opened = openDatabase(path, options);
  if (!opened.ok) return opened;
  const { db, isCheckDue } = opened.value;
  const check = isCheckDue ? beginDatabaseCheck(path) : undefined;
  const store = new Store(db, path);
  const vault = new FileVault(vaultFolder(folder));
  vault.sweep();
  sweepScratch();
  return resultOk({
    folder,
    jobs: new SqliteJobs(db, store),
    outputs: new SqliteOutputs(store),
    vault,
    checks: new SqliteChecks(store, vault, check?.outcome),
    shelf: new SqliteShelf(store),
    close: async () => {
      await check?.stop();
      store.close();
    },
  });
}

/**
 * Renames a damaged database with its log files, so that a new one can begin and nothing is lost: the vault is left as
 * it is. Returns the new path. An archive that can be opened is not set aside.
 */
export async function setArchiveAside(folder: string, now: string): Promise<Result<string, ArchiveProblem>> {
  const path = databasePath(folder);
  if (!existsSync(path)) {
    return resultProblem({
      code: 'archive-none',
      message: `There is no archive in ${folder}.`,
      remedy: 'Name the folder with --archive.',
    });
  }
  const opened = await openArchive(folder);
  if (opened.ok) {
    await opened.value.close();
    return resultProblem({
      code: 'archive-sound',
      message: `The archive in ${folder} can be opened, so it is not set aside.`,
      remedy: 'Go on using it, or choose another folder with --archive.',
    });
  }
  if (opened.problem.code !== 'archive-damaged') return opened;
  const aside = `${path}.set-aside-${now.replaceAll(/[^0-9]/g, '')}`;
  for (const suffix of ['', '-wal', '-shm']) {
    if (existsSync(path + suffix)) renameSync(path + suffix, aside + suffix);
  }
  return resultOk(aside);
}
