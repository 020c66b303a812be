import Database from 'better-sqlite3';
import { databaseProblem, readOnly } from './database-problems.ts';
import { ArchiveFailure, type CheckTools } from './port.ts';

/** A few milliseconds of copying: others get their turn between. */
const PAGES_AT_ONCE = 1000;

/** The open database, for the parts of the archive: each use is one transaction. */
export class Store {
  readonly #db: Database.Database;
  readonly #path: string;
  readonly #isReadOnly: boolean;

  constructor(db: Database.Database, path: string, isReadOnly: boolean) {
    this.#db = db;
    this.#path = path;
    this.#isReadOnly = isReadOnly;
  }

  /** All that is read belongs to one state of the database. */
  async read<T>(work: (db: Database.Database) => T): Promise<T> {
    return await this.tryWork(() => this.#db.transaction(() => work(this.#db)).deferred());
  }

  /** Waits its turn before it reads anything, so that nothing changes between its reading and its writing. */
  async write<T>(work: (db: Database.Database) => T): Promise<T> {
    if (this.#isReadOnly) throw new ArchiveFailure(readOnly(this.#path), undefined);
    return await this.tryWork(() => this.#db.transaction(() => work(this.#db)).immediate());
  }

  /** What writing would come to; nothing is changed. */
  async tryOut<T>(work: (db: Database.Database) => T): Promise<T> {
    let outcome: { readonly value: T } | undefined;
    const undone = new Error('undone');
    try {
      await this.write((db) => {
        outcome = { value: work(db) };
        throw undone;
      });
    } catch (error) {
      if (error !== undone) throw error;
    }
    return outcome!.value;
  }

  /** A consistent copy of the database while it is in use. */
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
        // It is the disk of the copy that refuses, and nothing is wrong with the archive.
        throw code === undefined ? error : Object.assign(new Error(code, { cause: error }), { code });
      }
    });
  }

  close(): void {
    this.#db.close();
  }

  /** Work that reads the database by a way of its own. */
  async tryWork<T>(work: () => T | Promise<T>): Promise<T> {
    try {
      return await work();
    } catch (error) {
      const problem = error instanceof Database.SqliteError ? databaseProblem(error, this.#path) : undefined;
      throw problem ? new ArchiveFailure(problem, error) : error;
    }
  }
}

/** What the system would have said, had it been a file that was copied; undefined where reading failed. */
function copyRefusal(code: string): 'ENOSPC' | 'EACCES' | undefined {
  if (/^SQLITE_(FULL|IOERR_(WRITE|FSYNC|TRUNCATE))/.test(code)) return 'ENOSPC';
  return /^SQLITE_(CANTOPEN|READONLY|PERM)/.test(code) ? 'EACCES' : undefined;
}
