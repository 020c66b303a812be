import type { Job } from '../../core/job/schema.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { writeOwnDocument } from '../files/own-document.ts';
import type { CheckReport } from '../tasks/check-report.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { ActParts } from './service-parts.ts';

/** Writes what the checks say about a job, with a picture of each side, to one PDF. */
export async function writeReport(
  { work }: Pick<ActParts, 'work'>,
  job: Job,
  artwork: ArtworkAt,
  path: string,
  tools: TaskTools,
): Promise<Result<Omit<CheckReport, 'bytes'>>> {
  const report = await work.run('report', { job, artwork }, tools);
  if (!report.ok) return report;
  const { bytes, ...told } = report.value;
  const written = await writeOwnDocument(path, bytes);
  return written.ok ? resultOk(told) : written;
}
