/** The week of the shop from the archive: each open job with its clocks, and the moves that change them. */
import type { JobSummary } from '../../core/contract/verbs-jobs.ts';
import type { WeekRead, WeekReply } from '../../core/contract/verbs-week.ts';
import { jobWithMove } from '../../core/job/edits/week-move.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { offPrinterTime } from '../../core/output/off-printer-time.ts';
import type { ProductionRecord } from '../../core/output/production-record.ts';
import { type WeekMove, week } from '../../core/production/week.ts';
import type { WeekJob } from '../../core/production/week-job.ts';
import { DEFAULT_WORKING_HOURS } from '../../core/shop/working-hours.ts';
import type { Archive, StoredJob } from '../archive/port.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import { artworkInVault } from './artwork-in-vault.ts';
import { saveJob } from './save-job.ts';
import type { ActParts } from './service-parts.ts';
import { storedJob } from './stored-job.ts';

/** Read at a time. */
const PAGE = 500;

/** `passwordOf`: the password of an artwork. Without it, film of an encrypted artwork is counted as the slowest to dry. */
export async function readWeek(
  { archive, planning }: Pick<ActParts, 'archive' | 'planning'>,
  { now, dateOrder }: WeekRead,
  tools: TaskTools,
  passwordOf: (sha256: string) => string | undefined = () => undefined,
): Promise<Result<WeekReply>> {
  const open = await openJobs(archive);
  const jobs: WeekJob[] = [];
  const leftOut: WeekReply['leftOut'] = [];
  for (const [done, { id, number, progress }] of open.entries()) {
    tools.report({ what: `Working out the clock of ${number}`, done, total: open.length });
    const stored = await storedJob(archive, id);
    if (!stored.ok) {
      leftOut.push({ jobId: id, number, why: stored.problem.message });
      continue;
    }
    const { job } = stored.value;
    const found = job.artwork && (await artworkInVault(archive, job.artwork, passwordOf(job.artwork.sha256)));
    const made = await planning.run(
      'weekJob',
      {
        job,
        archiveFolder: archive.folder,
        ...(found?.ok && { artwork: found.value }),
        record: await printingRecord(archive, id, progress),
      },
      { signal: tools.signal, report: () => undefined },
    );
    if (made.ok) jobs.push(made.value);
    else if (tools.signal.aborted) return made;
    else leftOut.push({ jobId: id, number, why: made.problem.message });
  }
  const { profile } = await archive.shelf.items();
  const { laminators = 1, bays = 1 } = profile ?? {};
  const workingHours = profile?.production.workingHours ?? DEFAULT_WORKING_HOURS;
  return resultOk({ week: week(jobs, { laminators, bays, workingHours, dateOrder, now }), leftOut });
}

/** All of them, because one that is missing is a date that is missed. */
async function openJobs({ jobs }: Archive): Promise<JobSummary[]> {
  const open: JobSummary[] = [];
  for (let offset = 0; ; offset += PAGE) {
    const page = await jobs.page({
      archive: 'active',
      order: { by: 'number', isDescending: false },
      limit: PAGE,
      offset,
    });
    open.push(...page.jobs.filter(({ progress }) => progress !== 'installed'));
    if (offset + PAGE >= page.total) return open;
  }
}

/**
 * What was entered of the output that came off the printer last; of a job that is not printed yet, of its latest output,
 * some films or vehicles of which may be. Reprints change nothing of how far a job is.
 */
async function printingRecord(
  { outputs }: Archive,
  jobId: StoredJob['id'],
  progress: JobSummary['progress'],
): Promise<ProductionRecord | undefined> {
  const listed = (await outputs.list(jobId)).filter(({ kind }) => kind === 'output');
  if (progress !== 'printed') return listed.toSorted((a, b) => b.number - a.number)[0]?.record;
  const printed = listed.flatMap(({ record }) => {
    const time = record && offPrinterTime(record);
    return record && time ? [{ record, time }] : [];
  });
  return printed.toSorted((a, b) => b.time.localeCompare(a.time))[0]?.record;
}

/** Keeps the start in the job. */
export async function moveInWeek(
  { archive, now }: Pick<ActParts, 'archive' | 'now'>,
  move: WeekMove,
): Promise<Result<JobSummary>> {
  const stored = await storedJob(archive, move.jobId);
  if (!stored.ok) return stored;
  const { job, revision } = stored.value;
  return await saveJob(archive, jobWithMove(job, move), now(), revision);
}
