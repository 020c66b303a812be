import type { JobTook, KeptActuals } from '../../core/output/job-actuals.ts';
import type { Actuals, InstalledJob } from './port.ts';
import type { Store } from './store.ts';

export class SqliteActuals implements Actuals {
  readonly #store: Store;

  constructor(store: Store) {
    this.#store = store;
  }

  async find(jobId: string): Promise<KeptActuals | undefined> {
    const content = await this.#store.read((db) =>
      db.prepare<[string], string>('SELECT content FROM job_actuals WHERE job_id = ?').pluck().get(jobId),
    );
    return content === undefined ? undefined : (JSON.parse(content) as KeptActuals);
  }

  async keep(jobId: string, kept: KeptActuals): Promise<void> {
    await this.#store.write((db) =>
      db
        .prepare('INSERT OR REPLACE INTO job_actuals (job_id, content, entered_on) VALUES (?, ?, ?)')
        .run(jobId, JSON.stringify(kept), kept.enteredOn),
    );
  }

  async remove(jobId: string): Promise<void> {
    await this.#store.write((db) => db.prepare('DELETE FROM job_actuals WHERE job_id = ?').run(jobId));
  }

  async list(): Promise<JobTook[]> {
    const rows = await this.#store.read((db) =>
      db
        .prepare<[], { jobId: string; number: string; customer: string; content: string }>(
          `SELECT job_id AS jobId, number, customer, content
           FROM job_actuals JOIN jobs ON jobs.id = job_id ORDER BY entered_on DESC, row_id DESC`,
        )
        .all(),
    );
    return rows.map(({ content, ...job }) => ({ ...job, ...(JSON.parse(content) as KeptActuals) }));
  }

  async installed(): Promise<InstalledJob[]> {
    return await this.#store.read((db) =>
      db
        .prepare<[], InstalledJob>(
          `SELECT id AS jobId, document, installed_on AS installedOn
           FROM jobs WHERE installed_on IS NOT NULL ORDER BY installed_on, row_id`,
        )
        .all(),
    );
  }
}
