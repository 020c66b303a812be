import type { Pool, PoolClient } from 'pg';
import { present } from '../../core/measure/present.ts';
import { ArchiveFailure } from './port.ts';
import { postgresProblem, postgresReadOnly } from './postgres-problems.ts';
import { vectorOf } from './postgres-words.ts';
import type { SearchWords } from './search.ts';
import { type Dialect, type Sql, type SqlValues, type SqlWork, type Store, triedOut } from './sql.ts';

/** A writer of the archive holds this advisory lock; no other program uses the number. */
export const WRITING = 7_264_361_185;
/** The notification sent after each write. */
export const CHANGED = 'panelwright_changed';

export const postgresDialect = (search: SearchWords): Dialect => ({
  nextJobRow: "nextval(pg_get_serial_sequence('jobs', 'row_id'))",
  each: (document, path, alias) => `json_array_elements(${document}::json -> '${path}') AS ${alias} (value)`,
  text: (document, path) => `${document}::json #>> '{${path.replaceAll('.', ',')}}'`,
  words: (text) => vectorOf(search.wordsOf(text)),
  afterRows: async (sql, { name, key: [column] }) => {
    const numbers = await sql.first<{ sequence: string | null }>(
      'SELECT pg_get_serial_sequence(?, ?) AS sequence',
      [name, present(column, 'The column of a key')],
    );
    if (numbers?.sequence)
      await sql.run(
        `SELECT setval(CAST(? AS regclass), (SELECT coalesce(max(${column}), 0) FROM ${name}) + 1, false)`,
        [numbers.sequence],
      );
    // Otherwise the server would plan queries for the empty table that it knew.
    await sql.run(`ANALYZE ${name}`);
  },
});

interface PostgresStoreParts {
  readonly pool: Pool;
  /** The address, for messages. */
  readonly address: string;
  readonly isReadOnly: boolean;
  readonly busyWaitMs: number;
  readonly dialect: Dialect;
}

export class PostgresStore implements Store {
  readonly #parts: PostgresStoreParts;

  constructor(parts: PostgresStoreParts) {
    this.#parts = parts;
  }

  async read<T>(work: SqlWork<T>): Promise<T> {
    return await this.#transaction('BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY', 'COMMIT', work);
  }

  /** Writers run one at a time, as in SQLite: each takes a few milliseconds, and no rule has to hold between two. */
  async write<T>(work: SqlWork<T>): Promise<T> {
    const { isReadOnly, address, busyWaitMs } = this.#parts;
    if (isReadOnly) throw new ArchiveFailure(postgresReadOnly(address), undefined);
    const begin = `BEGIN; SET LOCAL lock_timeout = ${busyWaitMs}; SELECT pg_advisory_xact_lock(${WRITING})`;
    return await this.#transaction(begin, `NOTIFY ${CHANGED}; COMMIT`, work);
  }

  async tryOut<T>(work: SqlWork<T>): Promise<T> {
    return await triedOut(this, work);
  }

  async close(): Promise<void> {
    await this.#parts.pool.end();
  }

  async #transaction<T>(begin: string, end: string, work: SqlWork<T>): Promise<T> {
    const { pool, address, dialect } = this.#parts;
    let client: PoolClient | undefined;
    let isLost = false;
    try {
      client = await pool.connect();
      await client.query(begin);
      const outcome = await work(sqlOf(client, dialect));
      await client.query(end);
      return outcome;
    } catch (error) {
      isLost = (await client?.query('ROLLBACK').catch(() => 'lost')) === 'lost';
      const problem = postgresProblem(error, address);
      throw problem ? new ArchiveFailure(problem, error) : error;
    } finally {
      client?.release(isLost);
    }
  }
}

export function sqlOf(client: PoolClient, dialect: Dialect): Sql {
  const rows = async (statement: string, values: SqlValues = []): Promise<unknown[]> => {
    const { text, valuesOf } = numbered(statement);
    return (await client.query(text, valuesOf(values))).rows as unknown[];
  };
  return {
    dialect,
    all: async <Row>(statement: string, values?: SqlValues) => (await rows(statement, values)) as Row[],
    first: async <Row>(statement: string, values?: SqlValues) =>
      (await rows(statement, values))[0] as Row | undefined,
    run: async (statement, values) => void (await rows(statement, values)),
  };
}

interface Numbered {
  readonly text: string;
  readonly valuesOf: (values: SqlValues) => unknown[];
}

const known = new Map<string, Numbered>();

/**
 * Converts placeholders to PostgreSQL's numbers. Each placeholder gets a separate number, because its type may differ.
 */
function numbered(statement: string): Numbered {
  const before = known.get(statement);
  if (before) return before;
  const names: (string | number)[] = [];
  let places = 0;
  const text = statement.replaceAll(/'(?:[^']|'')*'|\?|@([a-zA-Z]\w*)/g, (found, name?: string) => {
    if (found.startsWith("'")) return found;
    names.push(name ?? places++);
    return `$${names.length}`;
  });
  const valuesOf = (values: SqlValues) =>
    names.map((name) => (values as Record<string | number, unknown>)[name]);
  const made = { text, valuesOf };
  known.set(statement, made);
  return made;
}
