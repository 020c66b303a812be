/**
 * The list of jobs in SQLite. The row numbers of matching jobs, in the requested order, come from indexes alone and are
 * cached until something is written, so any page of the list is fast. Only the rows of one page are read from the
 * table, which is as large as all documents.
 */
import type Database from 'better-sqlite3';
import type { JobOrder, JobSummary } from '../../core/contract/verbs-jobs.ts';
import { forgetOldest } from '../../core/measure/oldest.ts';
import { present, valueAt } from '../../core/measure/present.ts';
import { JOB_PROGRESS } from '../../core/output/job-progress.ts';
import { SUMMARY } from './job-summary.ts';
import type { JobFilter, JobPage } from './port.ts';
import { SearchWords } from './search.ts';

const DEFAULT_LIMIT = 200;
const NEWEST_FIRST: JobOrder = { by: 'updatedAt', isDescending: true };

/** Row numbers of all jobs in each order; the later save comes first in a tie. An index answers each query. */
const ORDERS: Readonly<Record<Exclude<JobOrder['by'], 'updatedAt'>, string>> = {
  number: 'SELECT row_id FROM jobs ORDER BY number_order',
  name: 'SELECT row_id FROM jobs ORDER BY name COLLATE NOCASE',
  customer: 'SELECT row_id FROM jobs ORDER BY customer COLLATE NOCASE',
  unitNumber: 'SELECT row_id FROM jobs ORDER BY unit_number COLLATE NOCASE',
  progress: `SELECT row_id FROM jobs INDEXED BY jobs_by_update
    ORDER BY CASE progress ${JOB_PROGRESS.map((name, place) => `WHEN '${name}' THEN ${place}`).join(' ')} END, row_id`,
};

/** Each call must run inside a transaction. */
export class SqliteJobList {
  readonly #db: Database.Database;
  readonly #searchWords: SearchWords;
  /** Cache for one state of the database: row numbers, by the statement and values, or the order, that found them. */
  #kept: { readonly of: string; readonly rowIds: Map<string, Float64Array> } = { of: '', rowIds: new Map() };

  constructor(db: Database.Database) {
    this.#db = db;
    this.#searchWords = new SearchWords(db);
  }

  page(filter: JobFilter): JobPage {
    const { limit = DEFAULT_LIMIT, offset = 0 } = filter;
    const found = this.#found(filter);
    return { jobs: this.#summaries(found.subarray(offset, offset + limit)), total: found.length };
  }

  #summaries(rowIds: Float64Array): JobSummary[] {
    const place = new Map([...rowIds].map((rowId, index) => [rowId, index]));
    const jobs: JobSummary[] = [];
    const rows = this.#db
      .prepare<[string], JobSummary & { rowId: number }>(
        `SELECT ${SUMMARY}, row_id AS rowId FROM jobs WHERE row_id IN (SELECT value FROM json_each(?))`,
      )
      .all(JSON.stringify([...rowIds]));
    for (const { rowId, ...job } of rows) jobs[valueAt(place, rowId)] = job;
    return jobs;
  }

  /** All jobs that match the filter, in its order. */
  #found({ text, order = NEWEST_FIRST, ...conditions }: JobFilter): Float64Array {
    this.#dropWhenWritten();
    const expression = text === undefined || text.trim() === '' ? '' : this.#searchWords.expression(text);
    if (expression === undefined) return new Float64Array();
    const { where, values } = conditionsOf(conditions);
    return this.#keptOr(JSON.stringify([expression, where, values, order]), () => {
      const met =
        where === '' && expression !== ''
          ? undefined
          : this.#rowIds(`SELECT row_id FROM jobs${where}`, values);
      const matching =
        expression === ''
          ? undefined
          : this.#rowIds('SELECT rowid FROM job_words WHERE job_words MATCH @expression', { expression });
      const left = matching && met ? among(matching, met) : present(matching ?? met, 'What a search found');
      if (order.by === 'updatedAt') return order.isDescending ? left.toReversed() : left;
      const all = this.#rowIds(ORDERS[order.by], {}, { isSorted: false });
      const sorted = left.length === all.length ? all : among(all, left);
      return order.isDescending ? sorted.toReversed() : sorted;
    });
  }

  /**
   * Row numbers in rising order, which is the order of saving, or in the statement's own order. They are sorted here
   * and not in SQL, so that an index answers the query.
   */
  #rowIds(
    sql: string,
    values: Readonly<Record<string, string>>,
    { isSorted = true }: { readonly isSorted?: boolean } = {},
  ): Float64Array {
    return this.#keptOr(JSON.stringify([sql, values]), () => {
      const found = Float64Array.from(this.#db.prepare<[typeof values], number>(sql).pluck().all(values));
      return isSorted ? found.sort() : found;
    });
  }

  #keptOr(key: string, find: () => Float64Array): Float64Array {
    const { rowIds } = this.#kept;
    const known = rowIds.get(key);
    if (known) return known;
    const found = find();
    if (rowIds.size >= MOST_KEPT) forgetOldest(rowIds);
    rowIds.set(key, found);
    return found;
  }

  #dropWhenWritten(): void {
    // Counts changes by other connections and by this one.
    const of = JSON.stringify([
      this.#db.pragma('data_version', { simple: true }),
      this.#db.prepare('SELECT total_changes()').pluck().get(),
    ]);
    if (this.#kept.of !== of) this.#kept = { of, rowIds: new Map() };
  }
}

/** Limit for cached lists; each takes less than a megabyte for a hundred thousand jobs. */
const MOST_KEPT = 12;

function among(rowIds: Float64Array, others: Float64Array): Float64Array {
  const set = new Set(others);
  return rowIds.filter((rowId) => set.has(rowId));
}

interface Conditions {
  readonly where: string;
  readonly values: Readonly<Record<string, string>>;
}

function conditionsOf({
  customer,
  changedFrom,
  changedTo,
  progress,
  archive = 'all',
}: Omit<JobFilter, 'text' | 'order'>): Conditions {
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
  if (progress !== undefined) {
    conditions.push('progress = @progress');
    values.progress = progress;
  }
  if (archive !== 'all') conditions.push(`archived_at IS ${archive === 'archived' ? 'NOT ' : ''}NULL`);
  const where = conditions.length > 0 ? ` INDEXED BY jobs_by_update WHERE ${conditions.join(' AND ')}` : '';
  return { where, values };
}
