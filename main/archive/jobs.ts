import type { JobSummary } from '../../core/contract/verbs-jobs.ts';
import { jobNumberKey, jobNumberOrder } from '../../core/job/job-number.ts';
import type { Job } from '../../core/job/schema.ts';
import { firstVehicle, jobUnits } from '../../core/job/vehicles.ts';
import { firstOf, present } from '../../core/measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { refreshProgress } from './job-progress.ts';
import { SUMMARY } from './job-summary.ts';
import {
  type ArchiveProblem,
  type JobFilter,
  type JobPage,
  type JobSave,
  type Jobs,
  jobNumberTaken,
  type StoredJob,
} from './port.ts';
import type { Sql, Store } from './sql.ts';

/** Loaded on demand: the schema of jobs takes a while to load, and a list does not need it. */
const jobText = async (job: Job): Promise<string> =>
  (await import('../../core/job/job-json.ts')).jobToJson(job);

export class StoredJobs implements Jobs {
  readonly #store: Store;
  readonly #page: Jobs['page'];

  /** `page` reads the list, because each database finds jobs by different indexes. */
  constructor(store: Store, page: Jobs['page']) {
    this.#store = store;
    this.#page = page;
  }

  async save(
    job: Job,
    { panelLabels, baseRevision, fromFile, now }: JobSave,
  ): Promise<Result<JobSummary, ArchiveProblem>> {
    const row = {
      id: job.id,
      number: job.number,
      numberKey: jobNumberKey(job.number),
      numberOrder: jobNumberOrder(job.number),
      panelLabels: JSON.stringify(panelLabels),
      name: job.name,
      customer: job.customer,
      unitNumber: firstOf(firstVehicle(job).units).unitNumber,
      vehicleCount: jobUnits(job).length,
      document: await jobText(job),
      artworkSha256: job.artwork?.sha256 ?? null,
      isFromFile: fromFile === undefined ? 0 : 1,
      now,
    };
    return await this.#store.write(async (sql) => {
      const current = await currentRow(sql, job.id);
      if (baseRevision !== undefined && baseRevision !== (current?.revision ?? 0))
        return resultProblem(current ? changedElsewhere(job) : deletedElsewhere(job));
      const holder = await jobOfNumber(sql, job.number);
      if (holder && holder.id !== job.id) return resultProblem(jobNumberTaken(holder));
      if (fromFile === 'keep' && hasOtherOfWindow(current, row.document))
        return resultProblem(savedInWindow(job));
      if (current) await sql.run('DELETE FROM job_words WHERE rowid = ?', [current.rowId]);
      // A save gives the job the highest row number, so row numbers order jobs by their last save.
      const saved = present(
        await sql.first<{ rowId: number }>(
          `INSERT INTO jobs (id, number, number_key, name, customer, unit_number, vehicle_count, document, artwork_sha256, revision,
             is_from_file, created_at, updated_at, number_order, panel_labels)
           VALUES (@id, @number, @numberKey, @name, @customer, @unitNumber, @vehicleCount, @document, @artworkSha256, 1,
             @isFromFile, @now, @now, @numberOrder, @panelLabels)
           ON CONFLICT (id) DO UPDATE SET
             number = @number, number_key = @numberKey, name = @name, customer = @customer, unit_number = @unitNumber,
             vehicle_count = @vehicleCount, document = @document, artwork_sha256 = @artworkSha256,
             revision = jobs.revision + 1,
             is_from_file = @isFromFile, updated_at = @now, number_order = @numberOrder,
             panel_labels = @panelLabels,
             row_id = ${sql.dialect.nextJobRow}
           RETURNING row_id AS "rowId"`,
          row,
        ),
        'The row that a statement gives',
      );
      const words = sql.dialect.words(jobWords(job, panelLabels));
      await sql.run('INSERT INTO job_words (rowid, words) VALUES (?, ?)', [saved.rowId, words]);
      await refreshProgress(sql, job.id);
      return resultOk(present(await summaryOf(sql, job.id), 'The job that was saved'));
    });
  }

  async tryFile(job: Job): Promise<Result<void, ArchiveProblem>> {
    const document = await jobText(job);
    const current = await this.#store.read((sql) => currentRow(sql, job.id));
    return hasOtherOfWindow(current, document) ? resultProblem(savedInWindow(job)) : resultOk(undefined);
  }

  async list(filter: JobFilter = {}): Promise<JobSummary[]> {
    return (await this.#page(filter)).jobs;
  }

  async page(filter: JobFilter): Promise<JobPage> {
    return await this.#page(filter);
  }

  async find(idOrNumber: string): Promise<Result<StoredJob, ArchiveProblem>> {
    const rows = await this.#store.read((sql) =>
      sql.all<StoredJob>(`SELECT ${SUMMARY}, document FROM jobs WHERE id = ? OR number_key = ?`, [
        idOrNumber,
        jobNumberKey(idOrNumber),
      ]),
    );
    const row = rows.find(({ id }) => id === idOrNumber) ?? rows[0];
    return row ? resultOk(row) : resultProblem(jobUnknown(idOrNumber));
  }

  async withNumber(number: string): Promise<JobSummary | undefined> {
    return await this.#store.read((sql) => jobOfNumber(sql, number));
  }

  async noteOpened(id: string, at: string): Promise<void> {
    await this.#store.write((sql) =>
      sql.run(
        `INSERT INTO job_openings (job_id, at) SELECT id, ? FROM jobs WHERE id = ?
         ON CONFLICT (job_id) DO UPDATE SET at = excluded.at`,
        [at, id],
      ),
    );
  }

  async recent(limit: number): Promise<JobSummary[]> {
    return await this.#store.read((sql) =>
      sql.all<JobSummary>(
        `SELECT ${SUMMARY} FROM job_openings JOIN jobs ON jobs.id = job_id ORDER BY at DESC, jobs.id LIMIT ?`,
        [limit],
      ),
    );
  }

  async archive(id: string, at: string | undefined): Promise<Result<JobSummary, ArchiveProblem>> {
    return await this.#change(id, 'UPDATE jobs SET archived_at = ? WHERE id = ?', at);
  }

  async keepInstalled(id: string, on: string | undefined): Promise<Result<JobSummary, ArchiveProblem>> {
    return await this.#change(id, 'UPDATE jobs SET installed_on = ? WHERE id = ?', on);
  }

  async #change(id: string, statement: string, value: string | undefined) {
    return await this.#store.write(async (sql): Promise<Result<JobSummary, ArchiveProblem>> => {
      await sql.run(statement, [value ?? null, id]);
      await refreshProgress(sql, id);
      const job = await summaryOf(sql, id);
      return job ? resultOk(job) : resultProblem(jobUnknown(id));
    });
  }
}

const summaryOf = (sql: Sql, id: string): Promise<JobSummary | undefined> =>
  sql.first<JobSummary>(`SELECT ${SUMMARY} FROM jobs WHERE id = ?`, [id]);

const jobOfNumber = (sql: Sql, number: string): Promise<JobSummary | undefined> =>
  sql.first<JobSummary>(`SELECT ${SUMMARY} FROM jobs WHERE number_key = ?`, [jobNumberKey(number)]);

interface CurrentRow {
  readonly rowId: number;
  readonly revision: number;
  readonly isFromFile: 0 | 1;
  readonly document: string;
}

const currentRow = (sql: Sql, id: string): Promise<CurrentRow | undefined> =>
  sql.first<CurrentRow>(
    'SELECT row_id AS "rowId", revision, is_from_file AS "isFromFile", document FROM jobs WHERE id = ?',
    [id],
  );

/** Whether the last save was by a window and has another state of the job. */
const hasOtherOfWindow = (current: CurrentRow | undefined, document: string): boolean =>
  current?.isFromFile === 0 && current.document !== document;

/** All text that a search looks in. */
export const jobWords = (job: Job, panelLabels: readonly string[]): string =>
  [
    job.number,
    job.name,
    job.customer,
    ...jobUnits(job).flatMap(({ unitNumber, licensePlate }) => [unitNumber, licensePlate]),
    job.notes,
    ...job.sides.map((side) => side.notes),
    ...panelLabels,
  ].join('\n');

const changedElsewhere = (job: Job): ArchiveProblem => ({
  code: 'job-changed-elsewhere',
  message: `Job ${job.number} was saved by another window or program after it was opened here.`,
  remedy: 'Open the saved job again, or save this one as a copy. Nothing has been overwritten.',
});

const deletedElsewhere = (job: Job): ArchiveProblem => ({
  code: 'job-changed-elsewhere',
  message: `Job ${job.number} was deleted by another window or program after it was opened here.`,
  remedy: 'Save this one as a copy to keep it. Nothing has been overwritten.',
});

const savedInWindow = (job: Job): ArchiveProblem => ({
  code: 'job-saved-in-window',
  message: `Job ${job.number} in the archive was saved in a window and is not what the job file holds. Nothing has been overwritten.`,
  remedy:
    'Keep both with: panelwright save FILE --as NEW-NUMBER. Or put the file in its place with: panelwright save FILE --replace.',
});

export const jobUnknown = (asked: string): ArchiveProblem => ({
  code: 'job-unknown',
  message: `The archive has no job ${asked}.`,
  remedy: 'List or search the archive to find the job.',
});
