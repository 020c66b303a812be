/**
 * Detects changes of an SQLite archive. SQLite sends no notifications, but it has a number that writes of other
 * connections change.
 */
import type Database from 'better-sqlite3';
import type { ChangeListener } from './port.ts';

const LOOK_MS = 400;

export class SqliteChanges {
  readonly #db: Database.Database;
  readonly #listeners = new Set<ChangeListener>();
  #looking: NodeJS.Timeout | undefined;
  #known: unknown;

  constructor(db: Database.Database) {
    this.#db = db;
  }

  watch(listener: ChangeListener): () => void {
    this.#listeners.add(listener);
    this.#known ??= this.#number();
    this.#looking ??= setInterval(() => this.#look(), LOOK_MS).unref();
    return () => void this.#listeners.delete(listener);
  }

  /** Call this after this program has written. */
  tell(): void {
    for (const listener of this.#listeners) listener();
  }

  close(): void {
    clearInterval(this.#looking);
  }

  #look(): void {
    const number = this.#number();
    if (number === this.#known) return;
    this.#known = number;
    this.tell();
  }

  /**
   * A number that changes when other connections write. If the database cannot be read, the next call that reads it
   * reports that.
   */
  #number(): unknown {
    try {
      return this.#db.pragma('data_version', { simple: true });
    } catch {
      return this.#known;
    }
  }
}
