/**
 * Opens the archive's database: write-ahead log, foreign keys, integrity check, migrations. A database that
 * cannot be trusted is never written to; it stays where it is until the user sets it aside.
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

/** How long a statement waits for another process that writes, before the archive is called locked. */
const BUSY_WAIT_MS = 5000;

export const databasePath = (archiveFolder: string): string => join(archiveFolder, 'archive.sqlite');

export interface OpenedDatabase {
  readonly db: Database.Database;
  /** Whether the check was put off. */
  readonly isCheckDue: boolean;
  /** Where the archive may not be written: the folder with the copy that is read in its place. */
  readonly copyFolder?: string;
}

interface DatabaseOptions extends Pick<ArchiveOptions, 'busyWaitMs' | 'putsOffCheck'> {
  /** Whether a database that is missing or empty is begun; see `databaseLost`. */
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
  // An empty database makes SQLite throw the log beside it away, and with it what could still be mended.
  if (!mayBegin && fileBytes(path) === 0) return resultProblem(databaseLost(path));
  let db: Database.Database | undefined;
  try {
    makeFolderSync(dirname(path), PRIVATE_FOLDER);
    // SQLite gives its log the permissions that the database has.
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
 * Reads an archive that may not be written, such as a backup on a read-only disk: SQLite needs a log and a file of locks
 * beside its database even for reading, so a copy is opened.
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

/** A full disk is not among them: it is to be freed. */
function isRefusedWrite(error: unknown): boolean {
  const code = (error as NodeJS.ErrnoException | undefined)?.code ?? '';
  return /^(SQLITE_CANTOPEN|SQLITE_READONLY|SQLITE_PERM|EACCES|EPERM|EROFS)/.test(code);
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
