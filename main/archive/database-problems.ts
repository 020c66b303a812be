/** Sentences that say why a database cannot be used. */
import { basename, dirname } from 'node:path';
import Database from 'better-sqlite3';
import type { ArchiveProblem } from './port.ts';

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
  // SQLite also reports this for memory that it maps from the disk.
  if (/^(SQLITE_FULL|SQLITE_IOERR_SHMSIZE|ENOSPC|EDQUOT)/.test(code)) {
    return {
      code: 'archive-disk-full',
      message: `The disk that holds the archive ${path} is full.`,
      remedy: 'Free some space, then try again.',
    };
  }
  if (
    /^(SQLITE_CANTOPEN|SQLITE_READONLY|SQLITE_PERM|SQLITE_IOERR|EACCES|EPERM|EROFS|ENOTDIR|ENOENT|EEXIST)/.test(
      code,
    )
  ) {
    return {
      code: 'archive-not-writable',
      message: `The archive ${path} cannot be written (${code}).`,
      remedy: 'Allow writing to the folder, or select another archive folder.',
    };
  }
  return undefined;
}

/** There is a vault full of files, but no database that lists them, so this is not a new archive. */
export const databaseLost = (path: string): ArchiveProblem => ({
  code: 'archive-lost',
  message: `The archive ${dirname(path)} keeps files of jobs, but its database ${basename(path)} is missing or empty.`,
  remedy:
    'Put the database back, restore a backup, or have a new one begun beside the files with: panelwright archive-set-aside. Nothing was changed.',
});

/** The vault has files, but the database never listed any of them. */
export const databaseForeign = (path: string): ArchiveProblem => ({
  code: 'archive-lost',
  message: `The archive ${dirname(path)} keeps files of jobs, but its database ${basename(path)} has no job and never had one: it is new, or of another archive.`,
  remedy:
    'Put the right database in its place, restore a backup, or have a new one begun beside the files with: panelwright archive-set-aside. Nothing was changed.',
});

export const readOnly = (path: string): ArchiveProblem => ({
  code: 'archive-read-only',
  message: `The archive ${dirname(path)} can only be read: writing there is not allowed.`,
  remedy: 'Ask for access to the folder, or select another archive folder.',
});

export function databaseDamaged(path: string, detail: string): ArchiveProblem {
  return {
    code: 'archive-damaged',
    message: `The archive ${path} is damaged (${detail}).`,
    remedy:
      'Restore a backup, or have it set aside and a new one begun with: panelwright archive-set-aside. Nothing has been changed.',
  };
}
