/** What a job really took: entered after installation, kept with the estimate of the day, reported. */
import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { jobFromJson } from '../../core/job/job-json.ts';
import { vehicleText } from '../../core/job/vehicles.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { JobActuals, KeptActuals } from '../../core/output/job-actuals.ts';
import { keptActuals } from '../../core/production/job-estimated.ts';
import { type Removal, type Reports, reportTables, shopReports } from '../../core/production/reports.ts';
import type { Archive } from '../archive/port.ts';
import { writeFileAtomically } from '../files/atomic-write.ts';
import { tryFiles } from '../files/file-problem.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { ActParts } from './service-parts.ts';
import { storedJob } from './stored-job.ts';

export async function keepActuals(
  { archive, planning, now }: ActParts,
  jobId: string,
  actuals: JobActuals,
  tools: TaskTools,
): Promise<Result<KeptActuals>> {
  const stored = await storedJob(archive, jobId);
  if (!stored.ok) return stored;
  const { job } = stored.value;
  const today = now().slice(0, 10);
  const later = actuals.reprints.find(({ on }) => on > dayAfter(now()));
  if (later) return resultProblem(notYet(later.on));
  const made = await planning.run('production', { job, archiveFolder: archive.folder }, tools);
  if (!made.ok) return made;
  const before = (await archive.actuals.find(job.id))?.reprints;
  const kept = keptActuals(job, jobLayout(job), made.value, actuals, { enteredOn: today, before });
  if (kept.ok) await archive.actuals.keep(job.id, kept.value);
  return kept;
}

/** The day may have begun already where the shop is. */
const dayAfter = (now: string): string =>
  new Date(Date.parse(now) + 14 * 3_600_000).toISOString().slice(0, 10);

const notYet = (on: string): Problem => ({
  code: 'reprinted-later',
  message: `${on} has not come yet, so no panel was reprinted then.`,
  remedy: 'Enter the day on which the panel was printed again.',
});

export async function readReports(archive: Archive): Promise<Reports> {
  const removals: Omit<Removal, 'dueOn'>[] = [];
  for (const { jobId, document, installedOn } of await archive.actuals.installed()) {
    const read = jobFromJson(document);
    // A job that cannot be read is reported where it is opened.
    if (!read.ok) continue;
    const job = read.value;
    const outputs = await archive.outputs.list(jobId);
    const lots = outputs.flatMap(({ record }) => record?.filmLot ?? []);
    const { number, customer, film, production } = job;
    removals.push({
      jobId,
      number,
      customer,
      vehicle: vehicleText(job),
      film: production?.film?.name ?? film.name,
      lots: [...new Set(lots.length > 0 ? lots : film.lotNumber ? [film.lotNumber] : [])],
      installedOn,
      ...(production?.promisedYears !== undefined && { years: production.promisedYears }),
    });
  }
  return shopReports(await archive.actuals.list(), removals);
}

/** Writes the reports as tables for a spreadsheet into a folder, and answers with their names. */
export async function saveReports(reports: Reports, folder: string): Promise<Result<readonly string[]>> {
  return await tryFiles(folder, async () => {
    await mkdir(folder, { recursive: true });
    const tables = Object.entries(reportTables(reports));
    for (const [name, text] of tables)
      await writeFileAtomically(join(folder, name), new TextEncoder().encode(text));
    return resultOk(tables.map(([name]) => name));
  });
}
