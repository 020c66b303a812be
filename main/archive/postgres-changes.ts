/** How a seat is notified of changes in a shared archive, and how others see that it is running. */
import type pg from 'pg';
import type { Seat } from './open-jobs.ts';
import type { ChangeListener } from './port.ts';
import { linesThere, PostgresLine } from './postgres-line.ts';
import { CHANGED } from './postgres-store.ts';

const SEATS = 726_436;

export class PostgresChanges {
  readonly seat: Seat;
  readonly #line: PostgresLine;

  constructor(config: pg.ClientConfig) {
    this.#line = new PostgresLine({ config, lockClass: SEATS, channel: CHANGED });
    this.seat = {
      id: String(this.#line.number),
      announce: async () => await this.#line.connect(),
      isThere: async (sql, id) =>
        (await sql.first(
          `SELECT 1 AS found FROM (${linesThere(SEATS)}) AS seats WHERE CAST(line AS TEXT) = ?`,
          [id],
        )) !== undefined,
    };
  }

  watch(listener: ChangeListener): () => void {
    return this.#line.hear(() => listener());
  }

  async close(): Promise<void> {
    await this.#line.close();
  }
}
