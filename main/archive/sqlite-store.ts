import Database from 'better-sqlite3';
import { databaseProblem, readOnly } from './database-problems.ts';
import { ArchiveFailure, type CheckTools } from './port.ts';
import { type Dialect, type Sql, type SqlValues, type SqlWork, type Store, triedOut } from './sql.ts';

/** Pages copied at a time: this takes a few milliseconds, and other work can run between two copies. */
const PAGES_AT_ONCE = 1000;

export const SQLITE: Dialect = {
  nextJobRow: '(SELECT max(row_id) + 1 FROM jobs)',
  each: (document, path, alias) => `json_each(${document}, '$.${path}') AS ${alias}`,
  text: (document, path) => `${document} ->> '$.${path}'`,
  words: (text) => text,
  afterRows: async () => undefined,
};

/**
 * SQLite answers synchronously, but callers await each answer. So transactions run one at a time, or one could see or
 * end another on the same connection. This includes other connections of this thread: SQLite would block the very
 * thread that must end the other transaction.
 */
let lastTurn: Promise<unknown> = Promise.resolve();

export class SqliteStore implements Store {
  readonly #db: Database.Database;
  readonly #path: string;
  readonly #isReadOnly: boolean;
  readonly #sql: Sql;
  readonly #onWrite: () => void;

  constructor(db: Database.Database, path: string, isReadOnly: boolean, onWrite = (): void => undefined) {
    this.#db = db;
    this.#path = path;
    this.#isReadOnly = isReadOnly;
    this.#sql = sqlOf(db);
    this.#onWrite = onWrite;
  }

  async read<T>(work: SqlWork<T>): Promise<T> {
    return await this.#transaction('BEGIN DEFERRED', work);
  }

  async write<T>(work: SqlWork<T>): Promise<T> {
    if (this.#isReadOnly) throw new ArchiveFailure(readOnly(this.#path), undefined);
    const outcome = await this.#transaction('BEGIN IMMEDIATE', work);
    this.#onWrite();
    return outcome;
  }

  async tryOut<T>(work: SqlWork<T>): Promise<T> {
    return await triedOut(this, work);
  }

  /** Makes a consistent copy of the database while it is in use. */
  async copyTo(path: string, { signal, report }: CheckTools): Promise<void> {
    const progress = ({ totalPages, remainingPages }: Database.BackupMetadata) => {
      signal.throwIfAborted();
      const done = totalPages - remainingPages;
      report({ what: 'Copying the database', done: done / Math.max(1, totalPages), total: 1 });
      return PAGES_AT_ONCE;
    };
    await this.tryWork(async () => {
      try {
        signal.throwIfAborted();
        await this.#db.backup(path, { progress });
      } catch (error) {
        const code = error instanceof Database.SqliteError ? copyRefusal(error.code) : undefined;
        // The disk of the copy refused; the archive itself is all right.
        throw code === undefined ? error : Object.assign(new Error(code, { cause: error }), { code });
      }
    });
  }

  async close(): Promise<void> {
    await lastTurn;
    this.#db.close();
  }

  /** Runs work that reads the database without `sql`. */
  async tryWork<T>(work: () => T | Promise<T>): Promise<T> {
    try {
      return await work();
    } catch (error) {
      const problem = error instanceof Database.SqliteError ? databaseProblem(error, this.#path) : undefined;
      throw problem ? new ArchiveFailure(problem, error) : error;
    }
  }

  async #transaction<T>(begin: string, work: SqlWork<T>): Promise<T> {
    const turn = lastTurn.then(async () => await this.tryWork(async () => await this.#whole(begin, work)));
    lastTurn = turn.catch(() => undefined);
    return await turn;
  }

  async #whole<T>(begin: string, work: SqlWork<T>): Promise<T> {
    const db = this.#db;
    db.exec(begin);
    try {
      const outcome = await work(this.#sql);
      db.exec('COMMIT');
      return outcome;
    } finally {
      // SQLite ends some transactions itself, for example on a full disk.
      if (db.inTransaction) db.exec('ROLLBACK');
    }
  }
}

/** Statements are cached, because preparing one takes longer than running most of them. */
export function sqlOf(db: Database.Database): Sql {
  const prepared = new Map<string, Database.Statement>();
  const statementOf = (text: string): Database.Statement => {
    const known = prepared.get(text);
    if (known) return known;
    const statement = db.prepare(text);
    prepared.set(text, statement);
    return statement;
  };
  return {
    dialect: SQLITE,
    all: async <Row>(text: string, values: SqlValues = []) => statementOf(text).all(values) as Row[],
    first: async <Row>(text: string, values: SqlValues = []) =>
      statementOf(text).get(values) as Row | undefined,
    run: async (text, values = []) => void statementOf(text).run(values),
  };
}

/** The system's error code for the same failure while copying a plain file; undefined where reading failed. */
function copyRefusal(code: string): 'ENOSPC' | 'EACCES' | undefined {
  if (/^SQLITE_(FULL|IOERR_(WRITE|FSYNC|TRUNCATE))/.test(code)) return 'ENOSPC';
  return /^SQLITE_(CANTOPEN|READONLY|PERM)/.test(code) ? 'EACCES' : undefined;
}
