import type { ArtworkComparison } from '../../core/output/artwork-comparison.ts';
import type { Comparisons } from './port.ts';
import type { Store } from './sql.ts';

export class StoredComparisons implements Comparisons {
  readonly #store: Store;

  constructor(store: Store) {
    this.#store = store;
  }

  async keep(jobId: string, comparison: ArtworkComparison, at: string): Promise<void> {
    const { before, after } = comparison;
    await this.#store.write((sql) =>
      sql.run(
        `INSERT INTO artwork_comparisons (job_id, before_sha256, after_sha256, content, at) VALUES (?, ?, ?, ?, ?)
         ON CONFLICT (job_id, before_sha256, after_sha256) DO UPDATE SET content = excluded.content, at = excluded.at`,
        [jobId, before.sha256, after.sha256, JSON.stringify(comparison), at],
      ),
    );
  }

  async list(jobId: string): Promise<ArtworkComparison[]> {
    const rows = await this.#store.read((sql) =>
      sql.all<{ content: string }>(
        'SELECT content FROM artwork_comparisons WHERE job_id = ? ORDER BY at, after_sha256',
        [jobId],
      ),
    );
    if (rows.length === 0) return [];
    const { ArtworkComparison: Schema } = await import('../../core/output/artwork-comparison.ts');
    return rows.flatMap(({ content }) => {
      const read = Schema.safeParse(JSON.parse(content));
      return read.success ? [read.data] : [];
    });
  }

  async remove(jobId: string, afterSha256: string): Promise<void> {
    await this.#store.write((sql) =>
      sql.run('DELETE FROM artwork_comparisons WHERE job_id = ? AND after_sha256 = ?', [jobId, afterSha256]),
    );
  }
}
