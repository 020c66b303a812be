/**
 * Opens the archive's database: write-ahead log, foreign keys, integrity check, migrations. A database that cannot be
 * trusted is never written to; it stays in place until the user sets it aside.
 */
import { chmodSync, closeSync, copyFileSync, existsSync, openSync, statSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import Database from 'better-sqlite3';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { tryRemove } from '../files/atomic-write.ts';
import { makeFolderSync, PRIVATE_FILE, PRIVATE_FOLDER } from '../files/make-folder.ts';
import { makeScratchFolder } from '../files/scratch-folder.ts';
import { databaseDamaged, databaseLost, databaseProblem } from './database-problems.ts';
import { migrate, schemaProblem } from './migrate.ts';
import type { ArchiveOptions, ArchiveProblem } from './port.ts';
import { SCHEMA, type SchemaStep } from './schema.ts';

/** How long a statement waits for another process to finish writing before the archive counts as locked. */
const BUSY_WAIT_MS = 5000;

export const databasePath = (archiveFolder: string): string => join(archiveFolder, 'archive.sqlite');

export interface OpenedDatabase {
  readonly db: Database.Database;
  /** Whether the check was postponed. */
  readonly isCheckDue: boolean;
  /** For a read-only archive: the folder with the copy that is read instead. */
  readonly copyFolder?: string;
}

interface DatabaseOptions extends Pick<ArchiveOptions, 'busyWaitMs' | 'putsOffCheck'> {
  /** Whether a missing or empty database may be created; see `databaseLost`. */
  readonly mayBegin?: boolean;
}

export function openDatabase(
  path: string,
  options: DatabaseOptions = {},
  schema: readonly SchemaStep[] = SCHEMA,
): Result<OpenedDatabase, ArchiveProblem> {
  try {
    return openWritable(path, options, schema);
  } catch (error) {
    if (isRefusedWrite(error) && fileBytes(path) > 0) return openCopy(path, options, schema);
    const problem = databaseProblem(error, path);
    if (problem) return resultProblem(problem);
    throw error;
  }
}

function openWritable(
  path: string,
  { busyWaitMs = BUSY_WAIT_MS, putsOffCheck = false, mayBegin = true }: DatabaseOptions,
  schema: readonly SchemaStep[],
): Result<OpenedDatabase, ArchiveProblem> {
  // SQLite discards the log beside an empty database, which might still be needed to repair it.
  if (!mayBegin && fileBytes(path) === 0) return resultProblem(databaseLost(path));
  let db: Database.Database | undefined;
  try {
    makeFolderSync(dirname(path), PRIVATE_FOLDER);
    // SQLite gives its log the permissions of the database.
    closeSync(openSync(path, 'a', PRIVATE_FILE));
    const isSmall = fileBytes(path) <= CHECKED_AT_EACH_START_BYTES;
    const isCrashed = isUnclean(path);
    const isCheckDue = !isSmall && isCrashed && putsOffCheck;
    db = new Database(path, { timeout: busyWaitMs });
    const isCheckedNow = (isSmall || isCrashed) && !isCheckDue;
    const check = isCheckedNow ? db.pragma('quick_check(1)', { simple: true }) : 'ok';
    const problem =
      check === 'ok' ? schemaProblem(db, path, schema, mayBegin) : databaseDamaged(path, String(check));
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
    throw error;
  }
}

/**
 * Opens a read-only archive, such as a backup on a read-only disk. SQLite needs a log and a lock file beside its
 * database even for reading, so this opens a copy.
 */
function openCopy(
  path: string,
  options: DatabaseOptions,
  schema: readonly SchemaStep[],
): Result<OpenedDatabase, ArchiveProblem> {
  const copyFolder = makeScratchFolder('archive');
  const copy = join(copyFolder, basename(path));
  let opened: Result<OpenedDatabase, ArchiveProblem> | undefined;
  try {
    for (const suffix of ['', '-wal']) {
      if (!existsSync(path + suffix)) continue;
      copyFileSync(path + suffix, copy + suffix);
      chmodSync(copy + suffix, PRIVATE_FILE);
    }
    opened = openWritable(copy, { ...options, putsOffCheck: false }, schema);
    return opened.ok ? resultOk({ ...opened.value, copyFolder }) : opened;
  } catch (error) {
    const problem = databaseProblem(error, path);
    if (problem) return resultProblem(problem);
    throw error;
  } finally {
    if (!opened?.ok) tryRemove(copyFolder);
  }
}

/** A full disk is not included: the user must free space. */
function isRefusedWrite(error: unknown): boolean {
  const code = (error as NodeJS.ErrnoException | undefined)?.code ?? '';
  return /^(SQLITE_CANTOPEN|SQLITE_READONLY|SQLITE_PERM|EACCES|EPERM|EROFS)/.test(code);
}

/**
 * The check reads the whole file: a tenth of a second for thousands of jobs, many seconds for a hundred thousand. So a
 * large archive is checked only after a crash, which leaves SQLite's log behind, and programs with screens run that
 * check while people work (database-check.ts). SQLite still notices a damaged page whenever it reads it, and
 * `archive-check` checks everything.
 */
const CHECKED_AT_EACH_START_BYTES = 32 * 2 ** 20;

const isUnclean = (path: string): boolean => fileBytes(`${path}-wal`) > 0;

const fileBytes = (path: string): number => statSync(path, { throwIfNoEntry: false })?.size ?? 0;
