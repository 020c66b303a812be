/**
 * The connection of a seat that hears of changes, and by which others know that it is there: it holds a lock of the
 * seat's own number, which the server gives back when the connection ends, however it does.
 */
import { randomInt } from 'node:crypto';
import pg from 'pg';
import type { Seat } from './open-jobs.ts';
import type { ChangeListener } from './port.ts';
import { CHANGED } from './postgres-store.ts';

/** Locks of seats; the number is ours alone. */
const SEATS = 726_436;
const AGAIN_MS = 1000;

export class PostgresChanges {
  readonly seat: Seat;
  readonly #config: pg.ClientConfig;
  readonly #number = randomInt(2 ** 31);
  readonly #listeners = new Set<ChangeListener>();
  #client: pg.Client | undefined;
  #connecting: Promise<void> | undefined;
  #again: NodeJS.Timeout | undefined;
  #isClosed = false;

  constructor(config: pg.ClientConfig) {
    this.#config = config;
    this.seat = {
      id: String(this.#number),
      announce: async () => await this.connect(),
      isThere: async (sql, id) =>
        (await sql.first(
          `SELECT 1 AS found FROM pg_locks WHERE locktype = 'advisory' AND classid = ${SEATS}
             AND CAST(CAST(objid AS BIGINT) AS TEXT) = ?
             AND database = (SELECT oid FROM pg_database WHERE datname = current_database())`,
          [id],
        )) !== undefined,
    };
  }

  watch(listener: ChangeListener): () => void {
    this.#listeners.add(listener);
    void this.connect();
    return () => void this.#listeners.delete(listener);
  }

  /** Resolves once others know of this seat, or where the server cannot be reached. */
  async connect(): Promise<void> {
    this.#connecting ??= this.#connect();
    await this.#connecting;
  }

  async close(): Promise<void> {
    this.#isClosed = true;
    clearTimeout(this.#again);
    await this.#connecting;
    await this.#client?.end().catch(() => undefined);
  }

  async #connect(): Promise<void> {
    const client = new pg.Client({ ...this.#config, keepAlive: true });
    const lost = () => this.#lost(client);
    client.on('error', lost);
    client.on('end', lost);
    client.on('notification', () => this.#tell());
    this.#client = client;
    try {
      await client.connect();
      await client.query(`SELECT pg_advisory_lock(${SEATS}, ${this.#number})`);
      await client.query(`LISTEN ${CHANGED}`);
      // Whatever happened before it listened.
      this.#tell();
    } catch {
      lost();
    }
  }

  #lost(client: pg.Client): void {
    if (this.#isClosed || this.#client !== client) return;
    this.#client = undefined;
    this.#connecting = undefined;
    void client.end().catch(() => undefined);
    this.#again = setTimeout(() => void this.connect(), AGAIN_MS).unref();
  }

  #tell(): void {
    for (const listener of this.#listeners) listener();
  }
}
