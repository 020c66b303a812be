/**
 * How the parts of the archive query their database, SQLite or PostgreSQL. Statements are SQL that both accept, with
 * values for `?` or `@name`. Columns are returned under the names in the statement, so an alias with capitals must be
 * quoted. `Dialect` holds the few differences.
 */

import { present } from '../../core/measure/present.ts';
import type { Table } from './schema-tables.ts';

export type SqlValue = string | number | null;

export type SqlValues = readonly SqlValue[] | Readonly<Record<string, unknown>>;

/** An open transaction. Inside it, await nothing but its statements, because other work waits for it to end. */
export interface Sql {
  readonly dialect: Dialect;
  all<Row>(statement: string, values?: SqlValues): Promise<Row[]>;
  first<Row>(statement: string, values?: SqlValues): Promise<Row | undefined>;
  run(statement: string, values?: SqlValues): Promise<void>;
}

export type SqlWork<T> = (sql: Sql) => Promise<T>;

/** The open database: each use is one transaction. Refusals reject with an `ArchiveFailure`. */
export interface Store {
  /** All reads see the same state of the database. */
  read<T>(work: SqlWork<T>): Promise<T>;
  /** Waits its turn before it reads anything, so that nothing changes between its reading and its writing. */
  write<T>(work: SqlWork<T>): Promise<T>;
  /** Returns what a write would return, without changing anything. */
  tryOut<T>(work: SqlWork<T>): Promise<T>;
  close(): Promise<void>;
}

export interface Dialect {
  /** SQL for a row number of `jobs` above all others. */
  readonly nextJobRow: string;
  /** SQL for a source of rows `alias.value`, one for each item of the list at the path in a document. */
  each(document: string, path: string, alias: string): string;
  /** SQL for the text at a path in a document; NULL where there is none. */
  text(document: string, path: string): string;
  /** The text that `job_words` stores for the words of a job. */
  words(text: string): string;
  /** Called after rows were inserted with explicit numbers. */
  afterRows(sql: Sql, table: Table): Promise<void>;
}

/** Runs the work in a write that is then undone. */
export async function triedOut<T>(store: Pick<Store, 'write'>, work: SqlWork<T>): Promise<T> {
  let outcome: { readonly value: T } | undefined;
  const undone = new Error('undone');
  try {
    await store.write(async (sql) => {
      outcome = { value: await work(sql) };
      throw undone;
    });
  } catch (error) {
    if (error !== undone) throw error;
  }
  return present(outcome, 'What was tried').value;
}
