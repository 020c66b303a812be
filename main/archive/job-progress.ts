/** Stores the progress of each job in its row, so that a list of a hundred thousand can be filtered and sorted by it. */
import { jobProgress } from '../../core/output/job-progress.ts';
import type { ProductionRecord } from '../../core/output/production-record.ts';
import type { Sql } from './sql.ts';

/** Called in each transaction that changes an output of the job, its panels or its date of installation. */
export async function refreshProgress(sql: Sql, jobId: string): Promise<void> {
  const job = await sql.first<{ panelLabels: string; installedOn: string | null }>(
    'SELECT panel_labels AS "panelLabels", installed_on AS "installedOn" FROM jobs WHERE id = ?',
    [jobId],
  );
  if (!job) return;
  const outputs = await sql.all<{ id: number; state: string | null; record: string | null }>(
    `SELECT id, state, record FROM outputs
       LEFT JOIN verifications ON verifications.output_id = outputs.id
       LEFT JOIN output_records ON output_records.output_id = outputs.id
     WHERE job_id = ? AND kind = 'output' ORDER BY number`,
    [jobId],
  );
  const panels = await sql.all<{ id: number; label: string }>(
    `SELECT outputs.id, panel_label AS label FROM outputs JOIN output_files ON output_id = outputs.id
     WHERE job_id = ? AND outputs.kind = 'output' AND panel_label IS NOT NULL`,
    [jobId],
  );
  const progress = jobProgress({
    panelLabels: JSON.parse(job.panelLabels) as string[],
    outputs: outputs.map(({ id, state, record }) => ({
      panelLabels: panels.filter((panel) => panel.id === id).map(({ label }) => label),
      isVerified: state === 'verified',
      isOffPrinter: record !== null && (JSON.parse(record) as ProductionRecord).offPrinter !== undefined,
    })),
    installedOn: job.installedOn ?? undefined,
  });
  await sql.run('UPDATE jobs SET progress = ? WHERE id = ? AND progress <> ?', [progress, jobId, progress]);
}
