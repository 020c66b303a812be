/**
 * The jobs of the archive as listed: searched while typing, and read where the list is visible. An archive may hold a
 * hundred thousand.
 */
import { computed, signal } from '@preact/signals';
import type { JobOrder } from '../../core/contract/verbs-jobs.ts';
import { jobEmpty } from '../../core/job/defaults.ts';
import { firstOf, lastOf } from '../../core/measure/present.ts';
import type { Problem, Result } from '../../core/measure/result.ts';
import type { JobProgress } from '../../core/output/job-progress.ts';
import { ask } from '../client/client.ts';
import { showDone, showProblem } from './notices.ts';
import { shopProfile } from './shop.ts';

type JobPage = Extract<Awaited<ReturnType<typeof askJobs>>, { ok: true }>['value'];
export type JobSummary = JobPage['jobs'][number];

export interface JobListFilter {
  readonly text: string;
  readonly from: string;
  readonly until: string;
  /** Empty: any progress. */
  readonly progress: JobProgress | '';
  readonly isArchived: boolean;
}

const NO_FILTER: JobListFilter = { text: '', from: '', until: '', progress: '', isArchived: false };
export const filter = signal<JobListFilter>(NO_FILTER);

export const isFiltered = computed(() =>
  Object.entries(NO_FILTER).some(([key, value]) => filter.value[key as keyof JobListFilter] !== value),
);

/** How the list is sorted. */
export const jobOrder = signal<JobOrder>({ by: 'updatedAt', isDescending: true });

/** Sorts by a column; a second time, in the other direction. */
export function sortJobs(by: JobOrder['by']): void {
  const now = jobOrder.value;
  // Dates sort latest first, names from the beginning of the alphabet.
  const isDescending = now.by === by ? !now.isDescending : by === 'updatedAt';
  jobOrder.value = { by, isDescending };
  void readJobList();
}

export interface JobList {
  /** Of all jobs that match the filter. */
  readonly total: number;
  /** The rows read last, by their position in the list. */
  readonly pages: ReadonlyMap<number, readonly JobSummary[]>;
}

/** Undefined until it was read once. */
export const jobList = signal<JobList | undefined>(undefined);

/** Jobs ticked to share rolls, in order. */
export const chosenJobIds = signal<readonly string[]>([]);

/** Rows per request: as many as fit on the screen, so that an unscrolled list is one request. */
const PAGE = 60;
const MOST_PAGES = 20;

/** Undefined while not read. */
export const jobAt = ({ pages }: JobList, place: number): JobSummary | undefined =>
  pages.get(Math.floor(place / PAGE))?.[place % PAGE];

let wanted = { first: 0, end: 1 };
/** Counts the requested states of filter and archive; answers for an earlier one are dropped. */
let edition = 0;
/** Pages of this state; the list may still show rows of an earlier one. */
let read = new Set<number>();
let readingEdition: number | undefined;

/** Reads the list again where it is looked at. */
export async function readJobList(): Promise<void> {
  edition += 1;
  read = new Set();
  await readWanted();
}

/** Sets the visible range; missing rows in it are read. */
export function wantJobs(first: number, end: number): void {
  wanted = { first, end: Math.max(first + 1, end) };
  void readWanted();
}

export function changeFilter(change: Partial<JobListFilter>): void {
  filter.value = { ...filter.value, ...change };
  wanted = { first: 0, end: 1 };
  void readJobList();
}

export const viewAllJobs = (): void => changeFilter(NO_FILTER);

/** One request at a time, so that a fast scroll requests only where it stops. */
async function readWanted(): Promise<void> {
  const mine = edition;
  if (readingEdition === mine) return;
  readingEdition = mine;
  for (let missing = missingPages(); missing; missing = missingPages()) {
    const { first, count } = missing;
    const answer = await askJobs(first * PAGE, count * PAGE);
    if (mine !== edition) return;
    if (!answer.ok) {
      showProblem(answer.problem);
      jobList.value ??= { total: 0, pages: new Map() };
      break;
    }
    keepPages(first, count, answer.value);
  }
  readingEdition = undefined;
}

/** Visible rows that were not read; undefined where there are none. */
function missingPages(): { readonly first: number; readonly count: number } | undefined {
  const total = read.size > 0 ? (jobList.value?.total ?? 0) : Number.POSITIVE_INFINITY;
  const last = Math.floor((Math.min(wanted.end, Math.max(1, total)) - 1) / PAGE);
  const pages: number[] = [];
  for (let page = Math.floor(wanted.first / PAGE); page <= last; page++)
    if (!read.has(page)) pages.push(page);
  return pages.length === 0
    ? undefined
    : { first: firstOf(pages), count: lastOf(pages) - firstOf(pages) + 1 };
}

function keepPages(first: number, count: number, { jobs, total }: JobPage): void {
  // A job was saved or deleted: rows may have moved.
  if (jobList.value?.total !== total) read = new Set();
  const pages = new Map([...(jobList.value?.pages ?? [])].filter(([page]) => read.has(page)));
  for (let page = first; page < first + count; page++) {
    pages.delete(page);
    pages.set(page, jobs.slice((page - first) * PAGE, (page - first + 1) * PAGE));
  }
  for (const page of pages.keys()) {
    if (pages.size <= MOST_PAGES) break;
    pages.delete(page);
  }
  read = new Set(pages.keys());
  jobList.value = { total, pages };
}

async function askJobs(offset: number, limit: number) {
  const { text, from, until, progress, isArchived } = filter.value;
  return await ask('job:list', {
    text,
    offset,
    limit,
    ...(from !== '' && { changedFrom: from }),
    ...(until !== '' && { changedTo: until }),
    ...(progress !== '' && { progress }),
    archive: isArchived ? 'archived' : 'active',
    order: jobOrder.value,
  });
}

const MOST_LISTED = 1000;

/** The ids of all jobs of a customer. */
export async function findJobsOf(customer: string): Promise<Result<string[], Problem>> {
  const ids: string[] = [];
  for (;;) {
    const page = await ask('job:list', { customer, limit: MOST_LISTED, offset: ids.length });
    if (!page.ok) return page;
    const { jobs, total } = page.value;
    ids.push(...jobs.map(({ id }) => id));
    if (jobs.length === 0 || ids.length >= total) return { ok: true, value: ids };
  }
}

/** Takes a job out of the usual list, or back into it. */
export async function archiveJob({ id, number }: JobSummary, isArchived: boolean): Promise<void> {
  const done = await ask('job:archive', { id, isArchived });
  if (!done.ok) return showProblem(done.problem);
  showDone(isArchived ? `Job ${number} is archived.` : `Job ${number} is in the list again.`);
  await readJobList();
}

/** Creates a job and returns its id; undefined where it could not be saved. */
export async function createJob(given: {
  number: string;
  name: string;
  customer: string;
}): Promise<string | undefined> {
  const info = await ask('app:info', {});
  if (!info.ok) {
    showProblem(info.problem);
    return undefined;
  }
  const job = jobEmpty({ id: crypto.randomUUID(), date: info.value.today, ...given }, shopProfile.value);
  const saved = await ask('job:save', { job, baseRevision: 0 });
  if (saved.ok) return job.id;
  showProblem(saved.problem);
  return undefined;
}
