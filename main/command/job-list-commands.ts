/** The list of jobs, and what is said of a job as a whole: archived, installed. */
import type { JobOrder, JobSummary } from '../../core/contract/verbs-jobs.ts';
import { vehiclesShort } from '../../core/job/vehicles.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { JOB_PROGRESS_NAMES, type JobProgress } from '../../core/output/job-progress.ts';
import { pastTime } from '../files/clock-text.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import type { JobSort } from './job-sort.ts';
import { printable, tableLines } from './terminal.ts';

interface ListOptions {
  readonly search?: string;
  readonly from?: string;
  readonly until?: string;
  readonly state?: JobProgress;
  readonly archived: boolean;
  readonly all: boolean;
  readonly sort: JobSort;
  readonly limit: number;
}

const ORDERS: Readonly<Record<JobSort, JobOrder>> = {
  changed: { by: 'updatedAt', isDescending: true },
  number: { by: 'number', isDescending: false },
  job: { by: 'name', isDescending: false },
  customer: { by: 'customer', isDescending: false },
  vehicle: { by: 'unitNumber', isDescending: false },
  state: { by: 'progress', isDescending: false },
};

export const listCommand =
  ({ search, from, until, state, archived, all, sort, limit }: ListOptions) =>
  async ({ terminal, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async ({ archive }) => {
      const jobs = await archive.jobs.list({
        limit,
        text: search,
        changedFrom: from,
        changedTo: until,
        progress: state,
        archive: archived ? 'archived' : all ? 'all' : 'active',
        order: ORDERS[sort],
      });
      const rows = jobs.map((job) => [
        job.number,
        job.customer,
        vehiclesShort(job),
        job.name,
        pastTime(job.updatedAt).slice(0, 10),
        `${job.outputCount} ${job.outputCount === 1 ? 'output' : 'outputs'}`,
        stateText(job),
      ]);
      terminal.printResult(jobs, rows.length > 0 ? tableLines(rows) : ['No job found.']);
      return resultOk('done');
    });

/** `installed 2026-11-27, archived`. */
const stateText = ({ progress, installedOn, archivedAt }: JobSummary): string =>
  [
    [JOB_PROGRESS_NAMES[progress].toLowerCase(), installedOn].filter(Boolean).join(' '),
    ...(archivedAt === null ? [] : ['archived']),
  ].join(', ');

export const archiveJobCommand =
  (idOrNumber: string, { undo }: { readonly undo: boolean }) =>
  async ({ terminal, now, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async ({ archive: { jobs } }) => {
      const found = await jobs.find(idOrNumber);
      if (!found.ok) return found;
      const job = await jobs.archive(found.value.id, undo ? undefined : now());
      if (!job.ok) return job;
      const number = printable(job.value.number);
      terminal.printResult(job.value, [
        undo
          ? `Job ${number} is in the list again.`
          : `Job ${number} is archived. List such jobs with: panelwright jobs --archived`,
      ]);
      return resultOk('done');
    });

interface InstalledOptions {
  readonly on?: string;
  readonly undo: boolean;
}

export const installedCommand =
  (idOrNumber: string, { on, undo }: InstalledOptions) =>
  async ({ terminal, now, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async ({ archive }) => {
      const found = await archive.jobs.find(idOrNumber);
      if (!found.ok) return found;
      const day = undo ? undefined : (on ?? now().slice(0, 10));
      const { keepInstalled } = await import('../services/keep-installed.ts');
      const job = await keepInstalled({ archive, now }, found.value.id, day);
      if (!job.ok) return job;
      terminal.printResult(job.value, [`Job ${printable(job.value.number)} is ${stateText(job.value)}.`]);
      return resultOk('done');
    });
