/**
 * Opens the archive's database: write-ahead log, foreign keys, integrity check, migrations. A database that
 * cannot be trusted is never written to; it stays where it is until somebody says that it may be set aside.
 */
import { existsSync, mkdirSync, renameSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import Database from 'better-sqlite3';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { MIGRATIONS } from './migrations.ts';

export type ArchiveProblemCode =
  | 'archive-damaged'
  | 'archive-newer'
  | 'archive-locked'
  | 'archive-not-writable'
  | 'job-unknown'
  | 'job-changed-elsewhere'
  | 'output-unknown'
  | 'panel-unknown';
export type ArchiveProblem = Problem<ArchiveProblemCode>;

/** How long a statement waits for another process that writes, before the archive is called locked. */
const BUSY_WAIT_MS = 5000;

export interface DatabaseOptions {
  readonly busyWaitMs?: number;
  /** Opens a large database at once after a crash, and leaves its check to the caller. */
  readonly putsOffCheck?: boolean;
}

export interface OpenedDatabase {
  readonly db: Database.Database;
  /** Whether the check was put off. */
  readonly isCheckDue: boolean;
}

export function databaseOpen(
  path: string,
  { busyWaitMs = BUSY_WAIT_MS, putsOffCheck = false }: DatabaseOptions = {},
): Result<OpenedDatabase, ArchiveProblem> {
  let db: Database.Database | undefined;
  try {
    mkdirSync(dirname(path), { recursive: true });
    const isSmall = fileBytes(path) <= CHECKED_AT_EACH_START_BYTES;
    const isCrashed = isUnclean(path);
    const isCheckDue = !isSmall && isCrashed && putsOffCheck;
    db = new Database(path, { timeout: busyWaitMs });
    db.pragma('journal_mode = WAL');
    db.pragma('synchronous = FULL');
    db.pragma('foreign_keys = ON');
    const isCheckedNow = (isSmall || isCrashed) && !isCheckDue;
    const check = isCheckedNow ? db.pragma('quick_check(1)', { simple: true }) : 'ok';
    if (check !== 'ok') {
      db.close();
      return resultProblem(databaseDamaged(path, String(check)));
    }
    const version = Number(db.pragma('user_version', { simple: true }));
    if (version > MIGRATIONS.length) {
      db.close();
      return resultProblem({
        code: 'archive-newer',
        message: `The archive ${path} was written by a newer version of Panelwright (its format is ${version}, this program knows up to ${MIGRATIONS.length}).`,
        remedy: 'Update Panelwright, or choose another archive folder.',
      });
    }
    migrate(db, version);
    return resultOk({ db, isCheckDue });
  } catch (error) {
    db?.close();
    const problem = databaseProblem(error, path);
    if (problem) return resultProblem(problem);
    throw error;
  }
}

/**
 * The check reads the whole file: a tenth of a second for thousands of jobs, many seconds for a hundred thousand.
 * So a large archive is checked only after a crash, when SQLite's log was left behind, and by the screens while people
 * work (database-check.ts); SQLite still notices a damaged page whenever it reads it, and `archive-check` looks at
 * everything.
 */
const CHECKED_AT_EACH_START_BYTES = 32 * 2 ** 20;

const isUnclean = (path: string): boolean => fileBytes(`${path}-wal`) > 0;

const fileBytes = (path: string): number => statSync(path, { throwIfNoEntry: false })?.size ?? 0;

/** Each step runs in its own transaction together with its version number, so a kill leaves a whole version. */
function migrate(db: Database.Database, from: number): void {
  for (const [index, sql] of MIGRATIONS.entries()) {
    if (index < from) continue;
    db.transaction(() => {
      // Another process may have migrated between our reading of the version and this lock.
      if (Number(db.pragma('user_version', { simple: true })) !== index) return;
      db.exec(sql);
      db.pragma(`user_version = ${index + 1}`);
    }).immediate();
  }
}

/** Turns SQLite's expected failures into sentences; undefined for anything that is a bug. */
export function databaseProblem(error: unknown, path: string): ArchiveProblem | undefined {
  const code = error instanceof Database.SqliteError ? error.code : (error as NodeJS.ErrnoException)?.code;
  if (code === undefined) return undefined;
  if (code.startsWith('SQLITE_CORRUPT') || code === 'SQLITE_NOTADB')
    return databaseDamaged(path, String((error as Error).message));
  if (code.startsWith('SQLITE_BUSY') || code.startsWith('SQLITE_LOCKED')) {
    return {
      code: 'archive-locked',
      message: `The archive ${path} is in use by another program that is writing to it.`,
      remedy: 'Close the other program, or wait until it has finished, then try again.',
    };
  }
  if (
    /^(SQLITE_CANTOPEN|SQLITE_READONLY|SQLITE_PERM|SQLITE_FULL|SQLITE_IOERR|EACCES|EPERM|EROFS|ENOSPC|ENOTDIR|EEXIST)/.test(
      code,
    )
  ) {
    return {
      code: 'archive-not-writable',
      message: `The archive ${path} cannot be written (${code}).`,
      remedy: 'Free some space, allow writing to the folder, or choose another archive folder.',
    };
  }
  return undefined;
}

/**
 * Runs work on an archive that is open; what the database itself refuses meanwhile (disk full, locked, damaged)
 * becomes a problem. Everything else is thrown on: the work says more about its own files.
 */
export async function databaseTried<T, P extends Problem>(
  path: string,
  work: () => Promise<Result<T, P>>,
): Promise<Result<T, P | ArchiveProblem>> {
  try {
    return await work();
  } catch (error) {
    const problem = error instanceof Database.SqliteError ? databaseProblem(error, path) : undefined;
    if (problem) return resultProblem(problem);
    throw error;
  }
}

export function databaseDamaged(path: string, detail: string): ArchiveProblem {
  return {
    code: 'archive-damaged',
    message: `The archive ${path} is damaged (${detail}).`,
    remedy:
      'Restore a backup, or have it set aside and a new one begun with: panelwright archive-set-aside. Nothing has been changed.',
  };
}

/**
 * Renames a database that cannot be used, with its log files, so that a new one can begin and nothing is
 * lost. Returns the new path.
 */
export function databaseSetAside(path: string, stamp: string): string {
  const aside = `${path}.set-aside-${stamp.replaceAll(/[^0-9]/g, '')}`;
  for (const suffix of ['', '-wal', '-shm']) {
    if (existsSync(path + suffix)) renameSync(path + suffix, aside + suffix);
  }
  return aside;
}
