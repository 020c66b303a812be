/** The list of jobs in PostgreSQL: the server filters, sorts and counts. */
import type { JobOrder } from '../../core/contract/verbs-jobs.ts';
import { present } from '../../core/measure/present.ts';
import { JOB_PROGRESS } from '../../core/output/job-progress.ts';
import { SUMMARY } from './job-summary.ts';
import type { JobFilter, JobPage } from './port.ts';
import { queryOf } from './postgres-words.ts';
import type { SearchWords } from './search.ts';
import type { Sql, SqlValue } from './sql.ts';

const DEFAULT_LIMIT = 200;

/** The later save comes first in a tie. */
const ORDERS: Readonly<Record<JobOrder['by'], string>> = {
  updatedAt: 'row_id',
  number: 'number_order',
  name: 'lower(name)',
  customer: 'lower(customer)',
  unitNumber: 'lower(unit_number)',
  progress: `CASE progress ${JOB_PROGRESS.map((name, place) => `WHEN '${name}' THEN ${place}`).join(' ')} END`,
};

export async function jobPage(sql: Sql, filter: JobFilter, search: SearchWords): Promise<JobPage> {
  const { limit = DEFAULT_LIMIT, offset = 0, order = { by: 'updatedAt', isDescending: true } } = filter;
  const found = conditionsOf(filter, search);
  if (!found) return { jobs: [], total: 0 };
  const { where, values } = found;
  const direction = order.isDescending ? 'DESC' : 'ASC';
  const ordered = `ORDER BY ${ORDERS[order.by]} ${direction}, row_id ${direction}`;
  const counted = await sql.first<{ total: number }>(`SELECT count(*) AS total FROM jobs ${where}`, values);
  // The columns that a row shows are read only for the jobs of this page.
  const jobs = await sql.all<JobPage['jobs'][number]>(
    `SELECT ${SUMMARY} FROM jobs WHERE row_id IN (SELECT row_id FROM jobs ${where} ${ordered} LIMIT ? OFFSET ?)
     ${ordered}`,
    [...values, limit, offset],
  );
  return { jobs, total: present(counted, 'The count of jobs').total };
}

/** Undefined where the search text contains no word. */
function conditionsOf(
  { text, customer, changedFrom, changedTo, progress, archive = 'all' }: JobFilter,
  search: SearchWords,
): { readonly where: string; readonly values: SqlValue[] } | undefined {
  const conditions: string[] = [];
  const values: SqlValue[] = [];
  const add = (condition: string, value: SqlValue) => {
    conditions.push(condition);
    values.push(value);
  };
  if (text !== undefined && text.trim() !== '') {
    const words = search.typedWords(text);
    if (words.length === 0) return undefined;
    add('row_id IN (SELECT rowid FROM job_words WHERE words @@ CAST(? AS tsquery))', queryOf(words));
  }
  if (customer !== undefined) add('customer = ?', customer);
  if (changedFrom !== undefined) add('updated_at >= ?', changedFrom);
  // A bare date means the whole day: '2026-03-09' < '2026-03-09T10:00' < '2026-03-09\u{10FFFF}'.
  if (changedTo !== undefined) add('updated_at <= ?', `${changedTo}\u{10FFFF}`);
  if (progress !== undefined) add('progress = ?', progress);
  if (archive !== 'all') conditions.push(`archived_at IS ${archive === 'archived' ? 'NOT ' : ''}NULL`);
  return { where: conditions.length > 0 ? `WHERE ${conditions.join(' AND ')}` : '', values };
}
