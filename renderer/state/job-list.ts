/** The jobs of the archive as the list shows them: searched as the person types. */
import { signal } from '@preact/signals';
import { jobEmpty } from '../../core/job/defaults.ts';
import type { Problem, Result } from '../../core/measure/result.ts';
import { ask } from '../client/client.ts';
import { showProblem } from './notices.ts';
import { shopItems } from './shop.ts';

export type JobSummary = Awaited<ReturnType<typeof fetchJobList>>[number];

export const filter = signal<{ text: string; from: string; until: string }>({
  text: '',
  from: '',
  until: '',
});
export const jobs = signal<readonly JobSummary[] | undefined>(undefined);

/** Jobs that were ticked to share a roll plan, in the order in which they were. */
export const chosenJobIds = signal<readonly string[]>([]);

let latest = 0;

async function fetchJobList() {
  const { text, from, until } = filter.value;
  const answer = await ask('job:list', {
    text,
    limit: 500,
    ...(from !== '' && { changedFrom: from }),
    ...(until !== '' && { changedTo: until }),
  });
  if (answer.ok) return answer.value;
  showProblem(answer.problem);
  return [];
}

/** Reads the list; an answer that was overtaken by a later question is dropped. */
export async function readJobList(): Promise<void> {
  const mine = ++latest;
  const found = await fetchJobList();
  if (mine === latest) jobs.value = found;
}

export function changeFilter(change: Partial<typeof filter.value>): void {
  filter.value = { ...filter.value, ...change };
  void readJobList();
}

const MOST_LISTED = 1000;

/** The ids of all jobs of a customer. */
export async function findJobsOf(customer: string): Promise<Result<string[], Problem>> {
  const ids: string[] = [];
  for (;;) {
    const page = await ask('job:list', { customer, limit: MOST_LISTED, offset: ids.length });
    if (!page.ok) return page;
    ids.push(...page.value.map(({ id }) => id));
    if (page.value.length < MOST_LISTED) return { ok: true, value: ids };
  }
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
  const job = jobEmpty({ id: crypto.randomUUID(), date: info.value.today, ...given }, shopItems.value);
  const saved = await ask('job:save', { job, baseRevision: 0 });
  if (saved.ok) return job.id;
  showProblem(saved.problem);
  return undefined;
}
