import type { JobTook, KeptActuals } from '../../core/output/job-actuals.ts';
import type { Actuals, InstalledJob } from './port.ts';
import type { Store } from './sql.ts';

export class StoredActuals implements Actuals {
  readonly #store: Store;

  constructor(store: Store) {
    this.#store = store;
  }

  async find(jobId: string): Promise<KeptActuals | undefined> {
    const row = await this.#store.read((sql) =>
      sql.first<{ content: string }>('SELECT content FROM job_actuals WHERE job_id = ?', [jobId]),
    );
    return row && (JSON.parse(row.content) as KeptActuals);
  }

  async keep(jobId: string, kept: KeptActuals): Promise<void> {
    await this.#store.write((sql) =>
      sql.run(
        `INSERT INTO job_actuals (job_id, content, entered_on) VALUES (?, ?, ?)
         ON CONFLICT (job_id) DO UPDATE SET content = excluded.content, entered_on = excluded.entered_on`,
        [jobId, JSON.stringify(kept), kept.enteredOn],
      ),
    );
  }

  async remove(jobId: string): Promise<void> {
    await this.#store.write((sql) => sql.run('DELETE FROM job_actuals WHERE job_id = ?', [jobId]));
  }

  async list(): Promise<JobTook[]> {
    const rows = await this.#store.read((sql) =>
      sql.all<{ jobId: string; number: string; customer: string; content: string }>(
        `SELECT job_id AS "jobId", number, customer, content
         FROM job_actuals JOIN jobs ON jobs.id = job_id ORDER BY entered_on DESC, row_id DESC`,
      ),
    );
    return rows.map(({ content, ...job }) => ({ ...job, ...(JSON.parse(content) as KeptActuals) }));
  }

  async installed(): Promise<InstalledJob[]> {
    return await this.#store.read((sql) =>
      sql.all<InstalledJob>(
        `SELECT id AS "jobId", document, installed_on AS "installedOn"
         FROM jobs WHERE installed_on IS NOT NULL ORDER BY installed_on, row_id`,
      ),
    );
  }
}
