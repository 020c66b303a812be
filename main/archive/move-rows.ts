/**
 * Copies all rows of one archive to another, empty one, with any databases. The copied rows are read back and compared
 * by hash before the transaction counts: either all rows are there and equal, or none.
 */
import { createHash } from 'node:crypto';
import { jobFromJson } from '../../core/job/job-json.ts';
import { firstOf } from '../../core/measure/present.ts';
import { jobWords } from './jobs.ts';
import type { CheckTools } from './port.ts';
import { schemaTables, type Table } from './schema-tables.ts';
import type { Sql, SqlValue } from './sql.ts';

type Row = Readonly<Record<string, SqlValue>>;

/** Few enough for a statement's limit of values. */
const ROWS_AT_ONCE = 200;

export async function isEmpty(sql: Sql): Promise<boolean> {
  for (const { name } of schemaTables())
    if (await sql.first(`SELECT 1 AS found FROM ${name} LIMIT 1`)) return false;
  return true;
}

/** Returns the tables whose copied rows differ. */
export async function moveRows(from: Sql, to: Sql, { signal, report }: CheckTools): Promise<string[]> {
  const tables = schemaTables();
  const different: string[] = [];
  for (const [done, table] of tables.entries()) {
    report({ what: `Copying ${table.name.replaceAll('_', ' ')}`, done, total: tables.length });
    signal.throwIfAborted();
    const given = createHash('sha256');
    for await (const rows of rowsOf(from, table)) {
      signal.throwIfAborted();
      await insert(to, table, rows);
      if (table.name === 'jobs') for (const row of rows) await addWords(to, row);
      for (const row of rows) given.update(rowText(row));
    }
    await to.dialect.afterRows(to, table);
    const taken = createHash('sha256');
    for await (const rows of rowsOf(to, table)) for (const row of rows) taken.update(rowText(row));
    if (given.digest('hex') !== taken.digest('hex')) different.push(table.name);
  }
  return different;
}

async function* rowsOf(sql: Sql, { name, key }: Table): AsyncGenerator<readonly Row[]> {
  const keys = key.join(', ');
  let last: readonly SqlValue[] | undefined;
  for (;;) {
    const after = last ? `WHERE (${keys}) > (${key.map(() => '?').join(', ')})` : '';
    const rows = await sql.all<Row>(
      `SELECT * FROM ${name} ${after} ORDER BY ${keys} LIMIT ${ROWS_AT_ONCE}`,
      last ?? [],
    );
    if (rows.length > 0) yield rows;
    if (rows.length < ROWS_AT_ONCE) return;
    const { [rows.length - 1]: row = {} } = rows;
    last = key.map((column) => row[column] ?? null);
  }
}

async function insert(sql: Sql, { name }: Table, rows: readonly Row[]): Promise<void> {
  const columns = Object.keys(firstOf(rows));
  const places = `(${columns.map(() => '?').join(', ')})`;
  await sql.run(
    `INSERT INTO ${name} (${columns.join(', ')}) VALUES ${rows.map(() => places).join(', ')}`,
    rows.flatMap((row) => columns.map((column) => row[column] ?? null)),
  );
}

async function addWords(sql: Sql, row: Row): Promise<void> {
  const labels = JSON.parse(row.panel_labels as string) as string[];
  const job = jobFromJson(row.document);
  // A job that cannot be read is still found by what the list shows of it.
  const text = job.ok
    ? jobWords(job.value, labels)
    : [row.number, row.name, row.customer, row.unit_number, ...labels].join('\n');
  await sql.run('INSERT INTO job_words (rowid, words) VALUES (?, ?)', [
    row.row_id ?? null,
    sql.dialect.words(text),
  ]);
}

/** Columns sorted by name, because their order in a table depends on the database. */
const rowText = (row: Row): string =>
  `${JSON.stringify(Object.entries(row).toSorted(([a], [b]) => (a < b ? -1 : 1)))}\n`;
