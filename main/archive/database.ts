/**
 * Opens the archive's database: write-ahead log, foreign keys, integrity check, migrations. A database that
 * cannot be trusted is never written to; it stays where it is until somebody says that it may be set aside.
 */
import { mkdirSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import Database from 'better-sqlite3';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { migrate, schemaProblem } from './migrate.ts';
import type { ArchiveOptions, ArchiveProblem } from './port.ts';
import { SCHEMA, type SchemaStep } from './schema.ts';

/** How long a statement waits for another process that writes, before the archive is called locked. */
const BUSY_WAIT_MS = 5000;

export const databasePath = (archiveFolder: string): string => join(archiveFolder, 'archive.sqlite');

export interface OpenedDatabase {
  readonly db: Database.Database;
  /** Whether the check was put off. */
  readonly isCheckDue: boolean;
}

export function openDatabase(
  path: string,
  { busyWaitMs = BUSY_WAIT_MS, putsOffCheck = false }: ArchiveOptions = {},
  schema: readonly SchemaStep[] = SCHEMA,
): Result<OpenedDatabase, ArchiveProblem> {
  let db: Database.Database | undefined;
  try {
    mkdirSync(dirname(path), { recursive: true });
    const isSmall = fileBytes(path) <= CHECKED_AT_EACH_START_BYTES;
    const isCrashed = isUnclean(path);
    const isCheckDue = !isSmall && isCrashed && putsOffCheck;
    db = new Database(path, { timeout: busyWaitMs });
    const isCheckedNow = (isSmall || isCrashed) && !isCheckDue;
    const check = isCheckedNow ? db.pragma('quick_check(1)', { simple: true }) : 'ok';
    if (check !== 'ok') {
      db.close();
      return resultProblem(databaseDamaged(path, String(check)));
    }
    const problem = schemaProblem(db, path, schema);
    if (problem) {
      db.close();
      return resultProblem(problem);
    }
    db.pragma('journal_mode = WAL');
    db.pragma('synchronous = FULL');
    db.pragma('foreign_keys = ON');
    migrate(db, path, schema);
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

export function databaseDamaged(path: string, detail: string): ArchiveProblem {
  return {
    code: 'archive-damaged',
    message: `The archive ${path} is damaged (${detail}).`,
    remedy:
      'Restore a backup, or have it set aside and a new one begun with: panelwright archive-set-aside. Nothing has been changed.',
  };
}
