import Database from 'better-sqlite3';
import { databaseProblem } from './database.ts';
import { ArchiveFailure } from './port.ts';

/** The open database, for the parts of the archive: each use is one transaction. */
export class Store {
  readonly #db: Database.Database;
  readonly #path: string;

  constructor(db: Database.Database, path: string) {
    this.#db = db;
    this.#path = path;
  }

  /** All that is read belongs to one state of the database. */
  async read<T>(work: (db: Database.Database) => T): Promise<T> {
    return await this.#tryWork(() => this.#db.transaction(() => work(this.#db)).deferred());
  }

  /** Waits its turn before it reads anything, so that nothing changes between its reading and its writing. */
  async write<T>(work: (db: Database.Database) => T): Promise<T> {
    return await this.#tryWork(() => this.#db.transaction(() => work(this.#db)).immediate());
  }

  /** A consistent copy of the database while it is in use. */
  async copyTo(path: string): Promise<void> {
    await this.#tryWork(() => this.#db.backup(path));
  }

  close(): void {
    this.#db.close();
  }

  async #tryWork<T>(work: () => T | Promise<T>): Promise<T> {
    try {
      return await work();
    } catch (error) {
      const problem = error instanceof Database.SqliteError ? databaseProblem(error, this.#path) : undefined;
      throw problem ? new ArchiveFailure(problem, error) : error;
    }
  }
}
