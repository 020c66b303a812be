/** Bringing a job file in: chosen, dropped, or opened on the desktop. */
import type { Chosen } from '../../core/contract/parts.ts';
import { ask, offerFile } from '../client/client.ts';
import { type JobSummary, readJobList } from '../state/job-list.ts';
import { showDone, showProblem } from '../state/notices.ts';
import { showScreen } from '../state/route.ts';
import { workSlot } from '../state/work.ts';

/** Long work on the screen of all jobs. */
export const jobWork = workSlot();

export async function chooseAndImport(): Promise<void> {
  const chosen = await ask('file:choose', { purpose: 'job-bundle' });
  if (!chosen.ok) return showProblem(chosen.problem);
  if (chosen.value) await importFile(chosen.value);
}

export async function importOfferedFile(file: File): Promise<void> {
  const chosen = await offerFile(file);
  if (!chosen.ok) return showProblem(chosen.problem);
  await importFile(chosen.value);
}

/** Brings in a job file that was opened on the desktop, and shows its job. */
export async function openJobFile(file: Chosen): Promise<void> {
  showScreen({ screen: 'jobs' });
  const job = await importFile(file);
  if (job) showScreen({ screen: 'bench', jobId: job.id });
}

async function importFile({ token }: Chosen): Promise<JobSummary | undefined> {
  const imported = await jobWork.run('job:import', { file: token }, 'Importing the job');
  if (!imported.ok) {
    showProblem(imported.problem);
    return undefined;
  }
  showDone(`${imported.value.number} is in the archive.`);
  await readJobList();
  return imported.value;
}
