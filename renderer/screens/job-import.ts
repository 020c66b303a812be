/** Bringing a job file in: chosen, dropped, or opened on the desktop. */
import type { Chosen } from '../../core/contract/parts.ts';
import { ask, fileOffered } from '../client/client.ts';
import { type JobSummary, jobListRead } from '../state/job-list.ts';
import { doneShown, problemShown } from '../state/notices.ts';
import { placeGo } from '../state/place.ts';
import { workSlot } from '../state/work.ts';

/** Long work on the screen of all jobs. */
export const jobWork = workSlot();

export async function importChosen(): Promise<void> {
  const chosen = await ask('file:choose', { purpose: 'job-bundle' });
  if (!chosen.ok) return problemShown(chosen.problem);
  if (chosen.value) await importFile(chosen.value);
}

export async function importOffered(file: File): Promise<void> {
  const chosen = await fileOffered(file);
  if (!chosen.ok) return problemShown(chosen.problem);
  await importFile(chosen.value);
}

/** Brings in a job file that was opened on the desktop, and shows its job. */
export async function openJobFile(file: Chosen): Promise<void> {
  placeGo({ screen: 'jobs' });
  const job = await importFile(file);
  if (job) placeGo({ screen: 'bench', jobId: job.id });
}

async function importFile({ token }: Chosen): Promise<JobSummary | undefined> {
  const imported = await jobWork.run('job:import', { file: token }, 'Importing the job');
  if (!imported.ok) {
    problemShown(imported.problem);
    return undefined;
  }
  doneShown(`${imported.value.number} is in the archive.`);
  await jobListRead();
  return imported.value;
}
