/** Keeps how far a job is beside it, so that a list of a hundred thousand can be filtered and sorted by it. */
import type Database from 'better-sqlite3';
import { jobProgress, type OutputFacts } from '../../core/output/job-progress.ts';

interface OutputRow {
  readonly labels: string;
  readonly state: string | null;
  readonly offPrinter: string | null;
}

/** Called in the transaction of whatever changes an output of the job, its panels or its date of installing. */
export function refreshProgress(db: Database.Database, jobId: string): void {
  const job = db
    .prepare<[string], { panelLabels: string; installedOn: string | null }>(
      'SELECT panel_labels AS panelLabels, installed_on AS installedOn FROM jobs WHERE id = ?',
    )
    .get(jobId);
  if (!job) return;
  const outputs = db
    .prepare<[string], OutputRow>(
      `SELECT state, record ->> 'offPrinter' AS offPrinter,
         (SELECT json_group_array(panel_label) FROM output_files
          WHERE output_id = outputs.id AND panel_label IS NOT NULL) AS labels
       FROM outputs
         LEFT JOIN verifications ON verifications.output_id = outputs.id
         LEFT JOIN output_records ON output_records.output_id = outputs.id
       WHERE job_id = ? AND kind = 'output' ORDER BY number`,
    )
    .all(jobId)
    .map(
      ({ labels, state, offPrinter }): OutputFacts => ({
        panelLabels: JSON.parse(labels) as string[],
        isVerified: state === 'verified',
        isOffPrinter: offPrinter !== null,
      }),
    );
  const progress = jobProgress({
    panelLabels: JSON.parse(job.panelLabels) as string[],
    outputs,
    installedOn: job.installedOn ?? undefined,
  });
  db.prepare('UPDATE jobs SET progress = ? WHERE id = ? AND progress <> ?').run(progress, jobId, progress);
}
