/** The archives that the same tests run on: one in a folder, and one that is shared. */
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe } from 'vitest';
import { archivePlace, isPostgresPlace } from '../../main/archive/archive-folder.ts';
import { databasePath } from '../../main/archive/database.ts';
import { administered, describeWithPostgres, newDatabase } from './postgres.ts';

interface TestPlace {
  /** For tests alone, with room for files of theirs. */
  readonly folder: string;
  /** Where the archive is, as `--archive` names it. */
  readonly place: string;
}

type NewPlace = () => Promise<TestPlace>;

const inFolder: NewPlace = async () => {
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-kinds-'));
  return { folder, place: join(folder, 'archive') };
};

const shared: NewPlace = async () => {
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-kinds-'));
  return { folder, place: archivePlace(await newDatabase(), join(folder, 'archive')) };
};

/** Declares the tests once for each kind. */
export function describeArchives(name: string, body: (newPlace: NewPlace, isShared: boolean) => void): void {
  describe(`${name} (SQLite)`, () => body(inFolder, false));
  describeWithPostgres(`${name} (PostgreSQL)`, () => body(shared, true));
}

/** Runs a statement past the program, in the database of an archive. */
export async function askDatabase(place: string, statement: string): Promise<unknown[]> {
  if (isPostgresPlace(place)) return await administered(statement, databaseName(place));
  const db = new Database(databasePath(place));
  try {
    const prepared = db.prepare(statement);
    if (prepared.reader) return prepared.all();
    prepared.run();
    return [];
  } finally {
    db.close();
  }
}

const databaseName = (place: string): string => new URL(place).pathname.slice(1);
