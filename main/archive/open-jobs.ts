/** Which window of which seat has a job open for editing, and who asks for it. */
import { hostname, userInfo } from 'node:os';
import type { JobHolder, OpenJobs } from './port.ts';
import type { Sql, Store } from './sql.ts';

/** One program that uses the archive, as other programs see it. */
export interface Seat {
  readonly id: string;
  /** Tells other programs that it exists, before it holds anything. */
  announce?(): Promise<void>;
  /** Whether a seat still runs; a killed one holds nothing. */
  isThere(sql: Sql, id: string): Promise<boolean>;
}

interface OpenRow extends Omit<JobHolder, 'isHere' | 'askedBy'> {
  readonly seat: string;
  readonly clientId: string;
  readonly askedBy: string | null;
}

export class StoredOpenJobs implements OpenJobs {
  readonly #store: Store;
  readonly #seat: Seat;
  #hasTaken = false;

  constructor(store: Store, seat: Seat) {
    this.#store = store;
    this.#seat = seat;
  }

  async take(
    jobId: string,
    clientId: string,
    since: string,
    { isTakingOver = false }: { readonly isTakingOver?: boolean } = {},
  ): Promise<JobHolder | undefined> {
    const known = await this.holder(jobId, clientId);
    if (known?.isHere) return undefined;
    if (known && !isTakingOver) return known;
    this.#hasTaken = true;
    await this.#seat.announce?.();
    return await this.#store.write(async (sql) => {
      const holder = await this.#holder(sql, jobId, clientId);
      if (holder && !holder.isHere && !isTakingOver) return holder;
      await sql.run('DELETE FROM open_jobs WHERE job_id = ?', [jobId]);
      await sql.run(
        'INSERT INTO open_jobs (job_id, seat, client_id, person, machine, since) VALUES (?, ?, ?, ?, ?, ?)',
        [jobId, this.#seat.id, clientId, person(), hostname(), since],
      );
      return undefined;
    });
  }

  async holder(jobId: string, clientId: string): Promise<JobHolder | undefined> {
    return await this.#store.read((sql) => this.#holder(sql, jobId, clientId));
  }

  async ask(jobId: string): Promise<void> {
    await this.#store.write((sql) =>
      sql.run('UPDATE open_jobs SET asked_by = ? WHERE job_id = ?', [`${person()} at ${hostname()}`, jobId]),
    );
  }

  async release(jobId: string, clientId: string): Promise<void> {
    if (this.#hasTaken)
      await this.#store.write((sql) =>
        sql.run('DELETE FROM open_jobs WHERE job_id = ? AND seat = ? AND client_id = ?', [
          jobId,
          this.#seat.id,
          clientId,
        ]),
      );
  }

  async releaseAll(clientId: string): Promise<void> {
    if (this.#hasTaken)
      await this.#store.write((sql) =>
        sql.run('DELETE FROM open_jobs WHERE seat = ? AND client_id = ?', [this.#seat.id, clientId]),
      );
  }

  /** Call this when the program ends. */
  async releaseSeat(): Promise<void> {
    if (this.#hasTaken)
      await this.#store.write((sql) => sql.run('DELETE FROM open_jobs WHERE seat = ?', [this.#seat.id]));
  }

  async #holder(sql: Sql, jobId: string, clientId: string): Promise<JobHolder | undefined> {
    const row = await sql.first<OpenRow>(
      `SELECT seat, client_id AS "clientId", person, machine, since, asked_by AS "askedBy"
       FROM open_jobs WHERE job_id = ?`,
      [jobId],
    );
    if (!row) return undefined;
    const isOwnSeat = row.seat === this.#seat.id;
    if (!isOwnSeat && !(await this.#seat.isThere(sql, row.seat))) return undefined;
    const { seat, clientId: held, askedBy, ...holder } = row;
    return { ...holder, isHere: isOwnSeat && held === clientId, ...(askedBy !== null && { askedBy }) };
  }
}

/** Some systems have no name for the user. */
function person(): string {
  try {
    return userInfo().username;
  } catch {
    return 'somebody';
  }
}
