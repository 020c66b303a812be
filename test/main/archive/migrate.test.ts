/** Databases of other versions: older ones are brought along, others are refused and left as they are. */
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openArchive } from '../../../main/archive/archive.ts';
import { databasePath, openDatabase } from '../../../main/archive/database.ts';
import { schemaHash } from '../../../main/archive/migrate.ts';
import { SCHEMA, type SchemaStep } from '../../../main/archive/schema.ts';
import {
  EARLIER_JOBS,
  foundInDatabase,
  INVENTED_STEP,
  LATER_SCHEMA,
  writeDatabaseOfVersion,
} from '../../resilience/earlier-archive.ts';

let folder: string;
const path = () => databasePath(folder);

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-migrate-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

function asked<T>(sql: string, from = path()): T[] {
  const db = new Database(from);
  try {
    return db.prepare<[], T>(sql).pluck().all();
  } finally {
    db.close();
  }
}

/** Makes the database another, as a program of another version would have. */
function altered(sql: string): void {
  const db = new Database(path());
  db.exec(sql);
  db.close();
}

const everyJob = { jobs: EARLIER_JOBS, withOutput: EARLIER_JOBS, bySearch: EARLIER_JOBS };
const versionIn = (from: string) => asked('PRAGMA user_version', from);

describe('a database of an earlier version', () => {
  it('takes the steps that are missing and keeps all that it holds, with a copy from before', async () => {
    await writeDatabaseOfVersion(path(), 1);
    expect(await foundInDatabase(path(), LATER_SCHEMA)).toEqual(everyJob);
    expect(asked('SELECT DISTINCT parked FROM jobs')).toEqual(['yard of Alder County Library']);
    expect([versionIn(path()), asked('SELECT schema_hash FROM meta')]).toEqual([
      [2],
      [schemaHash(LATER_SCHEMA)],
    ]);
    const copy = `${path()}.version-1`;
    expect(versionIn(copy)).toEqual([1]);
    expect(await foundInDatabase(copy, SCHEMA)).toEqual(everyJob);
    expect(readdirSync(folder).sort()).toEqual(['archive.sqlite', 'archive.sqlite.version-1']);
  });

  it('that holds nothing yet is filled, and needs no copy', async () => {
    await writeDatabaseOfVersion(path(), 0);
    expect(await foundInDatabase(path(), LATER_SCHEMA)).toEqual({ jobs: 0, withOutput: 0, bySearch: 0 });
    expect(readdirSync(folder)).toEqual(['archive.sqlite']);
  });

  it('stays what it was where a step fails, even the last of several', async () => {
    await writeDatabaseOfVersion(path(), 1);
    const failing: SchemaStep = { to: 3, sql: 'UPDATE jobs SET parked = NULL' };
    expect(() => openDatabase(path(), {}, [...LATER_SCHEMA, failing])).toThrow(/NOT NULL/);
    expect(versionIn(path())).toEqual([1]);
    expect(await foundInDatabase(path(), SCHEMA)).toEqual(everyJob);
    expect(asked("SELECT name FROM pragma_table_info('jobs')")).not.toContain('parked');
  });

  it('is not opened with steps that leave one out', () => {
    expect(() => openDatabase(path(), {}, [...SCHEMA, { ...INVENTED_STEP, to: 3 }])).toThrow(
      'The schema has no step to the version before 3.',
    );
    expect(existsSync(path()) ? versionIn(path()) : [0]).toEqual([0]);
  });
});

describe('a database that is none of this program’s', () => {
  async function expectRefused(code: string, words: RegExp): Promise<void> {
    const before = readFileSync(path());
    const opened = await openArchive(folder);
    expect(opened).toMatchObject({ ok: false, problem: { code } });
    if (!opened.ok) expect(`${opened.problem.message} ${opened.problem.remedy}`).toMatch(words);
    expect(readFileSync(path()).equals(before)).toBe(true);
    expect(readdirSync(folder)).toEqual(['archive.sqlite']);
  }
  const OTHER_DRAFT =
    /^The archive .*archive\.sqlite was written by a development version of Panelwright, .* Move its folder away/;

  it('because its version 1 was made by other statements, is refused and left as it is', async () => {
    await writeDatabaseOfVersion(path(), 1);
    altered("UPDATE meta SET schema_hash = '0123456789abcdef'");
    await expectRefused('archive-other-draft', OTHER_DRAFT);
  });

  it('because it is from before there was a hash, is refused and left as it is', async () => {
    altered('CREATE TABLE jobs (id TEXT); PRAGMA user_version = 6');
    await expectRefused('archive-other-draft', OTHER_DRAFT);
  });

  it('because another step made it what it is, is refused', async () => {
    await writeDatabaseOfVersion(path(), 1);
    await foundInDatabase(path(), LATER_SCHEMA);
    const other = { ...INVENTED_STEP, sql: 'ALTER TABLE jobs ADD COLUMN parked TEXT' };
    expect(openDatabase(path(), {}, [...SCHEMA, other])).toMatchObject({
      ok: false,
      problem: { code: 'archive-other-draft' },
    });
  });

  it('because a newer version wrote it, is refused and left as it is', async () => {
    await writeDatabaseOfVersion(path(), 1);
    await foundInDatabase(path(), LATER_SCHEMA);
    rmSync(`${path()}.version-1`);
    await expectRefused('archive-newer', /newer version of Panelwright \(its format is 2, .* up to 1\)/);
  });
});

it('the hash of a schema is that of its statements, not of their spacing and comments', () => {
  const plain: SchemaStep = { to: 1, sql: 'CREATE TABLE a (b TEXT);' };
  const spaced: SchemaStep = { to: 1, sql: '\n  -- What it is for.\n  CREATE TABLE a (b\n TEXT); ' };
  // From sha256sum of the plain statement, without a new line at its end.
  expect(schemaHash([plain])).toBe('d43b092a66cf73e0');
  expect(schemaHash([spaced])).toBe(schemaHash([plain]));
  expect(schemaHash([{ ...plain, sql: 'CREATE TABLE a (c TEXT);' }])).not.toBe(schemaHash([plain]));
});
