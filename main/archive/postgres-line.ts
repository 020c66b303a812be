/**
 * A connection that receives notifications and shows other programs that its program runs: it holds a lock with a
 * unique number, which the server frees when the connection ends in any way. A lost connection is reopened.
 */
import { randomInt } from 'node:crypto';
import pg from 'pg';

const AGAIN_MS = 1000;

/**
 * A killed program closes its connection, and the server notices at once. A machine without power or network sends
 * nothing: the server asks after 10 seconds, three times, 5 seconds apart, and closes the connection after 25
 * (postgresql.org/docs/15/runtime-config-connection.html).
 */
const SOON_NOTICED =
  'SET tcp_keepalives_idle = 10; SET tcp_keepalives_interval = 5; SET tcp_keepalives_count = 3; SET tcp_user_timeout = 25000';

interface PostgresLineParts {
  readonly config: pg.ClientConfig;
  /** The class of the locks that show who is running; only this program uses the number. */
  readonly lockClass: number;
  readonly channel: string;
}

/**
 * Called with a notification, or with undefined when the connection was just opened: anything may have changed before.
 */
type LineListener = (told: string | undefined) => void;

export class PostgresLine {
  /** Other programs identify it by this number of its lock. */
  readonly number = randomInt(2 ** 31);
  readonly #parts: PostgresLineParts;
  readonly #listeners = new Set<LineListener>();
  #client: pg.Client | undefined;
  #connecting: Promise<void> | undefined;
  #again: NodeJS.Timeout | undefined;
  #isClosed = false;

  constructor(parts: PostgresLineParts) {
    this.#parts = parts;
  }

  hear(listener: LineListener): () => void {
    this.#listeners.add(listener);
    void this.connect();
    return () => void this.#listeners.delete(listener);
  }

  /** Resolves when other programs can see it, or when the server cannot be reached. */
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
    const { config, lockClass, channel } = this.#parts;
    const client = new pg.Client({ ...config, keepAlive: true });
    const lost = () => this.#lost(client);
    client.on('error', lost);
    client.on('end', lost);
    client.on('notification', ({ payload }) => this.#tell(payload ?? ''));
    this.#client = client;
    try {
      await client.connect();
      await client.query(SOON_NOTICED);
      await client.query(`SELECT pg_advisory_lock(${lockClass}, ${this.number})`);
      await client.query(`LISTEN ${channel}`);
      this.#tell(undefined);
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

  #tell(told: string | undefined): void {
    for (const listener of this.#listeners) listener(told);
  }
}

/** The numbers of the programs that hold a lock of a class in this database, as part of a statement. */
export const linesThere = (lockClass: number): string =>
  `SELECT CAST(objid AS BIGINT) AS line, pid FROM pg_locks WHERE locktype = 'advisory' AND classid = ${lockClass}
     AND granted AND database = (SELECT oid FROM pg_database WHERE datname = current_database())`;
