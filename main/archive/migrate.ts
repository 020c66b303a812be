/** Updates a database to the latest version of its schema, and distinguishes a foreign database from an older one. */
import { createHash } from 'node:crypto';
import { chmodSync, closeSync, fsyncSync, openSync, renameSync, rmSync } from 'node:fs';
import { basename, dirname } from 'node:path';
import Database from 'better-sqlite3';
import { partialPath, sweepPartials } from '../files/atomic-write.ts';
import { PRIVATE_FILE } from '../files/make-folder.ts';
import { databaseLost } from './database-problems.ts';
import type { ArchiveProblem } from './port.ts';
import { type SchemaStep, sqliteStatements } from './schema.ts';

/** The hash of the statements that create a database with these steps, ignoring spaces and comments. */
export function schemaHash(
  steps: readonly SchemaStep[],
  statementsOf: (step: SchemaStep) => string = sqliteStatements,
): string {
  const text = steps
    .map((step) => statementsOf(step).replaceAll(/--.*/g, '').replaceAll(/\s+/g, ' ').trim())
    .join('\n');
  return createHash('sha256').update(text).digest('hex').slice(0, 16);
}

/** Why this program must not use the database; undefined where it may. Only reads. */
export function schemaProblem(
  db: Database.Database,
  path: string,
  steps: readonly SchemaStep[],
  mayBegin: boolean,
): ArchiveProblem | undefined {
  const tables = db.prepare<[], string>('SELECT name FROM sqlite_schema').pluck().all();
  if (tables.length === 0) return mayBegin ? undefined : databaseLost(path);
  const version = versionOf(db);
  const hash = tables.includes('meta')
    ? db.prepare<[], string>('SELECT schema_hash FROM meta').pluck().get()
    : undefined;
  if (hash !== undefined && version > steps.length) {
    return {
      code: 'archive-newer',
      message: `The archive ${path} was written by a newer version of Panelwright (its format is ${version}, this program knows up to ${steps.length}).`,
      remedy: 'Update Panelwright, or select another archive folder.',
    };
  }
  if (hash === schemaHash(steps.slice(0, version))) return undefined;
  return {
    code: 'archive-other-draft',
    message: `The archive ${path} was written by a development version of Panelwright, in another draft of this format.`,
    remedy:
      'Move its folder away or select another one, and import the job files again. Nothing was changed.',
  };
}

/**
 * Applies the missing steps in one transaction, so that a kill leaves the old version. A database with content is
 * copied first, as `archive.sqlite.version-1` beside it.
 */
export function migrate(db: Database.Database, path: string, steps: readonly SchemaStep[]): void {
  const gap = steps.find(({ to }, index) => to !== index + 1);
  if (gap) throw new Error(`The schema has no step to the version before ${gap.to}.`);
  if (versionOf(db) === steps.length) return;
  db.transaction(() => {
    // Another process may have migrated between our reading of the version and this lock.
    const version = versionOf(db);
    if (version === steps.length) return;
    if (version > 0) keepCopy(path, version);
    for (const step of steps.slice(version)) db.exec(sqliteStatements(step));
    const keepHash =
      'INSERT INTO meta (id, schema_hash) VALUES (1, ?) ON CONFLICT DO UPDATE SET schema_hash = excluded.schema_hash';
    db.prepare(keepHash).run(schemaHash(steps));
    db.pragma(`user_version = ${steps.length}`);
  }).immediate();
}

/** Uses another connection, which may read while ours keeps all others from writing. */
function keepCopy(path: string, version: number): void {
  const copy = `${path}.version-${version}`;
  sweepPartials(dirname(copy), basename(copy));
  const partial = partialPath(copy);
  const db = new Database(path, { readonly: true });
  try {
    db.prepare('VACUUM INTO ?').run(partial);
    chmodSync(partial, PRIVATE_FILE);
    const file = openSync(partial, 'r+');
    fsyncSync(file);
    closeSync(file);
    renameSync(partial, copy);
  } finally {
    db.close();
    rmSync(partial, { force: true });
  }
}

const versionOf = (db: Database.Database): number => Number(db.pragma('user_version', { simple: true }));
