/**
 * How the parts of the archive query their database, SQLite or PostgreSQL. Statements are SQL that both understand,
 * with values for `?` or `@name`; columns come back under the names that the statement gives them, so an alias with
 * capitals is quoted. The few differences are in `Dialect`.
 */

import { present } from '../../core/measure/present.ts';
import type { Table } from './schema-tables.ts';

export type SqlValue = string | number | null;

export type SqlValues = readonly SqlValue[] | Readonly<Record<string, unknown>>;

/** An open transaction. Work in one awaits nothing but its statements: others wait for it to end. */
export interface Sql {
  readonly dialect: Dialect;
  all<Row>(statement: string, values?: SqlValues): Promise<Row[]>;
  first<Row>(statement: string, values?: SqlValues): Promise<Row | undefined>;
  run(statement: string, values?: SqlValues): Promise<void>;
}

export type SqlWork<T> = (sql: Sql) => Promise<T>;

/** The open database: each use is one transaction. What it refuses rejects with an `ArchiveFailure`. */
export interface Store {
  /** All that is read belongs to one state of the database. */
  read<T>(work: SqlWork<T>): Promise<T>;
  /** Waits its turn before it reads anything, so that nothing changes between its reading and its writing. */
  write<T>(work: SqlWork<T>): Promise<T>;
  /** What writing would come to; nothing is changed. */
  tryOut<T>(work: SqlWork<T>): Promise<T>;
  close(): Promise<void>;
}

export interface Dialect {
  /** A row number of `jobs` above all others. */
  readonly nextJobRow: string;
  /** A source of rows `alias.value`, one for each item of the list that a document has at the path. */
  each(document: string, path: string, alias: string): string;
  /** The text at a path of a document; NULL where there is none. */
  text(document: string, path: string): string;
  /** What `job_words` keeps of the words of a job. */
  words(text: string): string;
  /** What is due once rows were inserted with numbers of their own. */
  afterRows(sql: Sql, table: Table): Promise<void>;
}

/** By a write that is undone. */
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
