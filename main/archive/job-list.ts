/**
 * The list of jobs as SQLite has it. Its beginning is read from the newest job on and no further; for places further down the
 * row numbers of all jobs that a filter leaves are looked up, from indexes alone, and kept until something is written: whoever
 * moves through the list is then answered at once, wherever in it.
 */
import type Database from 'better-sqlite3';
import type { JobSummary } from '../../core/contract/verbs-jobs.ts';
import type { JobFilter, JobPage } from './port.ts';
import { SearchWords } from './search.ts';

const DEFAULT_LIMIT = 200;

/** The columns as a JobSummary names them: SQLite holds them to their types, so that a row is one. */
export const SUMMARY = `jobs.id, number, name, customer, unit_number AS unitNumber, revision, created_at AS createdAt,
  updated_at AS updatedAt, (SELECT count(*) FROM outputs WHERE job_id = jobs.id) AS outputCount`;

/** A statement for the row numbers of the jobs that a filter leaves. */
interface Filtered {
  readonly sql: string;
  readonly values: Readonly<Record<string, string>>;
}

/** Each call belongs in one transaction. */
export class JobList {
  readonly #db: Database.Database;
  readonly #searchWords: SearchWords;
  #found: { readonly of: string; readonly total: number; rowIds?: Float64Array } | undefined;

  constructor(db: Database.Database) {
    this.#db = db;
    this.#searchWords = new SearchWords(db);
  }

  jobs(filter: JobFilter): JobSummary[] {
    const filtered = this.#filtered(filter);
    return filtered ? this.#begin(filtered, filter) : [];
  }

  page(filter: JobFilter): JobPage {
    const filtered = this.#filtered(filter);
    if (!filtered) return { jobs: [], total: 0 };
    const found = this.#kept(filtered);
    const { limit = DEFAULT_LIMIT, offset = 0 } = filter;
    if (offset === 0) return { jobs: this.#begin(filtered, filter), total: found.total };
    found.rowIds ??= this.#rowIds(filtered);
    const jobs = this.#db
      .prepare<[string], JobSummary>(
        `SELECT ${SUMMARY} FROM jobs WHERE row_id IN (SELECT value FROM json_each(?)) ORDER BY row_id DESC`,
      )
      .all(JSON.stringify([...found.rowIds.subarray(offset, offset + limit)]));
    return { jobs, total: found.total };
  }

  /** The index of words, like the table itself, is read from its newest row on. */
  #begin({ sql, values }: Filtered, { limit = DEFAULT_LIMIT, offset = 0 }: JobFilter): JobSummary[] {
    return this.#db
      .prepare<[Record<string, string | number>], JobSummary>(
        `SELECT ${SUMMARY} FROM (${sql} ORDER BY rowid DESC LIMIT @limit OFFSET @offset) AS found
           JOIN jobs ON jobs.row_id = found.row_id ORDER BY found.row_id DESC`,
      )
      .all({ ...values, limit, offset });
  }

  #kept({ sql, values }: Filtered) {
    // Counted are the changes of other connections and of this one.
    const state = [
      this.#db.pragma('data_version', { simple: true }),
      this.#db.prepare('SELECT total_changes()').pluck().get(),
    ];
    const of = JSON.stringify([values, sql, state]);
    if (this.#found?.of === of) return this.#found;
    const count = this.#db.prepare<[typeof values], number>(`SELECT count(*) FROM (${sql})`).pluck();
    this.#found = { of, total: count.get(values)! };
    return this.#found;
  }

  /** Newest first. Without an order in SQL, so that an index answers: the table is as large as all documents. */
  #rowIds({ sql, values }: Filtered): Float64Array {
    const found = this.#db.prepare<[typeof values], number>(sql).pluck().all(values);
    return Float64Array.from(found).sort().reverse();
  }

  /** Undefined where there is nothing to search for. */
  #filtered({ text, customer, changedFrom, changedTo }: JobFilter): Filtered | undefined {
    const conditions: string[] = [];
    const values: Record<string, string> = {};
    if (customer !== undefined) {
      conditions.push('customer = @customer');
      values.customer = customer;
    }
    if (changedFrom !== undefined) {
      conditions.push('updated_at >= @changedFrom');
      values.changedFrom = changedFrom;
    }
    if (changedTo !== undefined) {
      // A bare date means the whole day: '2026-03-09' < '2026-03-09T10:00' < '2026-03-09\u{10FFFF}'.
      conditions.push('updated_at <= @changedTo');
      values.changedTo = `${changedTo}\u{10FFFF}`;
    }
    const where = conditions.length > 0 ? ` WHERE ${conditions.join(' AND ')}` : '';
    const jobs = `SELECT row_id FROM jobs${where}`;
    if (text === undefined || text.trim() === '') return { sql: jobs, values };
    const expression = this.#searchWords.expression(text);
    if (expression === undefined) return undefined;
    values.expression = expression;
    const among = where === '' ? '' : ` AND rowid IN (${jobs})`;
    return { sql: `SELECT rowid AS row_id FROM job_words WHERE job_words MATCH @expression${among}`, values };
  }
}
