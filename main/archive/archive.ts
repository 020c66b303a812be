/** An archive in one folder that can be copied as a whole: an SQLite database beside a vault of files. */
import { existsSync, renameSync } from 'node:fs';
import { basename, dirname } from 'node:path';
import type Database from 'better-sqlite3';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { sweepPartials, tryRemove } from '../files/atomic-write.ts';
import { sweepScratch } from '../files/scratch-folder.ts';
import { isAbandoned, temporaryTag } from '../files/temporary-owner.ts';
import { isPostgresPlace } from './archive-folder.ts';
import { copyArchive, sweepBackups } from './backup.ts';
import { databasePath, openDatabase } from './database.ts';
import { beginDatabaseCheck } from './database-check.ts';
import { databaseForeign } from './database-problems.ts';
import { ListThread } from './list-thread.ts';
import { type Disks, networkShareOf } from './network-share.ts';
import { StoredOpenJobs } from './open-jobs.ts';
import type { Archive, ArchiveOptions, ArchiveProblem } from './port.ts';
import { shownPlace } from './postgres-place.ts';
import { postgresShared } from './postgres-problems.ts';
import { archiveRooms, type OpenedArchive } from './rooms.ts';
import type { Sql } from './sql.ts';
import { SqliteChanges } from './sqlite-changes.ts';
import { SqliteJobList } from './sqlite-job-list.ts';
import { SqliteStore } from './sqlite-store.ts';
import { FileVault, vaultFolder } from './vault.ts';

/** Opens the archive in a folder, or a shared one by its address; creates it if it does not exist. */
export async function openArchive(
  place: string,
  options?: OpenOptions,
): Promise<Result<Archive, ArchiveProblem>> {
  const opened = await openWithStore(place, options);
  return opened.ok ? resultOk(opened.value.archive) : opened;
}

/** Opens the archive with its store, for code that copies the whole archive. */
export async function openWithStore(
  place: string,
  options: OpenOptions = {},
): Promise<Result<OpenedArchive, ArchiveProblem>> {
  if (!isPostgresPlace(place)) return await openFolder(place, options);
  const { openPostgresArchive } = await import('./postgres-archive.ts');
  return await openPostgresArchive(place, options, openFolder);
}

async function openFolder(
  folder: string,
  { disks, beginsBesideFiles = false, listsAside = false, ...options }: OpenOptions = {},
): Promise<Result<OpenedArchive, ArchiveProblem>> {
  const share = networkShareOf(folder, disks);
  if (share !== undefined) return resultProblem(onNetworkShare(folder, share));
  const path = databasePath(folder);
  const mayBegin = beginsBesideFiles || new FileVault(vaultFolder(folder)).isEmpty();
  const opened = openDatabase(path, { ...options, mayBegin });
  if (!opened.ok) return opened;
  const { db, isCheckDue, copyFolder } = opened.value;
  if (!mayBegin && isForeign(db)) {
    db.close();
    if (copyFolder !== undefined) tryRemove(copyFolder);
    return resultProblem(databaseForeign(path));
  }
  const isReadOnly = copyFolder !== undefined;
  const check = isCheckDue ? beginDatabaseCheck(path) : undefined;
  const changes = new SqliteChanges(db);
  const store = new SqliteStore(db, path, isReadOnly, () => changes.tell());
  const openJobs = new StoredOpenJobs(store, { id: temporaryTag(), isThere: isRunning });
  const list = new SqliteJobList(db);
  const listThread = listsAside ? new ListThread(db.name) : undefined;
  const noteFiles = async () => await store.write((sql) => sql.run(NOTE_FILES));
  if (beginsBesideFiles) await noteFiles();
  const vault = new FileVault(vaultFolder(folder), { noteFiles });
  if (!isReadOnly) {
    vault.sweep();
    sweepBackups(folder);
    sweepPartials(dirname(folder), basename(folder));
  }
  sweepScratch();
  const archive: Archive = {
    folder,
    isReadOnly,
    ...archiveRooms({
      store,
      vault,
      page: async (filter) =>
        listThread
          ? await store.tryWork(() => listThread.page(filter))
          : await store.read(async () => list.page(filter)),
      own: {
        startupCheck: check?.outcome,
        trouble: databaseTrouble,
        backUp: async (to, tools) => await copyArchive({ store, vault, folder }, to, tools),
      },
    }),
    openJobs,
    watch: (listener) => changes.watch(listener),
    close: async () => {
      changes.close();
      if (!isReadOnly) await openJobs.releaseSeat().catch(() => undefined);
      await Promise.all([check?.stop(), listThread?.close()]);
      await store.close();
      if (copyFolder !== undefined) tryRemove(copyFolder);
    },
  };
  return resultOk({ archive, store, vault });
}

/** All programs that use this archive are on this machine. */
const isRunning = async (_sql: Sql, seat: string): Promise<boolean> =>
  !isAbandoned(seat, Date.now(), Date.now());

const databaseTrouble = async (sql: Sql): Promise<string[]> =>
  (await sql.all<{ integrity_check: string }>('PRAGMA integrity_check(20)'))
    .map((row) => row.integrity_check)
    .filter((text) => text !== 'ok');

const NOTE_FILES = 'UPDATE meta SET keeps_files = 1 WHERE keeps_files = 0';

/** Whether the database has no job and never stored a file. */
const isForeign = (db: Database.Database): boolean =>
  db.prepare('SELECT 1 FROM meta WHERE keeps_files = 0 AND NOT EXISTS (SELECT 1 FROM jobs)').get() !==
  undefined;

interface OpenOptions extends ArchiveOptions {
  /** Absent: the disks of this machine. */
  readonly disks?: Disks;
  /** Whether a new database may be created where the vault already has files. */
  readonly beginsBesideFiles?: boolean;
}

const onNetworkShare = (folder: string, share: string): ArchiveProblem => ({
  code: 'archive-on-network',
  message: `The archive ${folder} would lie on a network share (${share}), where its database can be damaged.`,
  remedy: 'Keep the archive on a disk of this machine, and its backups on the share.',
});

/**
 * Renames a damaged database with its log files and creates a new one beside the vault, whose files stay unchanged.
 * Returns the new path; undefined where the database was missing. Refuses an archive that can be opened.
 */
export async function setArchiveAside(
  folder: string,
  now: string,
): Promise<Result<string | undefined, ArchiveProblem>> {
  if (isPostgresPlace(folder)) return resultProblem(postgresShared(shownPlace(folder)));
  const path = databasePath(folder);
  if (!existsSync(path) && new FileVault(vaultFolder(folder)).isEmpty()) {
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
      remedy: 'Go on using it, or select another folder with --archive.',
    });
  }
  if (opened.problem.code !== 'archive-damaged' && opened.problem.code !== 'archive-lost') return opened;
  const isThere = existsSync(path);
  const aside = `${path}.set-aside-${now.replaceAll(/[^0-9]/g, '')}`;
  for (const suffix of ['', '-wal', '-shm']) {
    if (existsSync(path + suffix)) renameSync(path + suffix, aside + suffix);
  }
  const begun = await openArchive(folder, { beginsBesideFiles: true });
  if (!begun.ok) return begun;
  await begun.value.close();
  return resultOk(isThere ? aside : undefined);
}
