/** Bringing a job file in: chosen, dropped, or opened on the desktop. */
import { signal } from '@preact/signals';
import type { Chosen } from '../../core/contract/parts.ts';
import type { ImportChoice, JobImport } from '../../core/contract/verbs-jobs.ts';
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
  const [file] = chosen.value;
  if (file) await importFile(file);
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

async function importFile({ token }: Chosen, choice?: ImportChoice): Promise<JobSummary | undefined> {
  const request = { file: token, ...(choice && { choice }) };
  const imported = await jobWork.run('job:import', request, 'Importing the job');
  if (!imported.ok) {
    showProblem(imported.problem);
    return undefined;
  }
  if (imported.value.state === 'there-already') {
    const chosen = await askAboutImport(imported.value);
    return chosen && (await importFile({ token, name: '' }, chosen));
  }
  const { job } = imported.value;
  showDone(`${job.number} is in the archive.`);
  await readJobList();
  return job;
}

/** The question about an imported job that matches one in the archive. */
export type ImportMeeting = Extract<JobImport, { state: 'there-already' }>;

export interface ImportQuestion {
  readonly meeting: ImportMeeting;
  /** Undefined stops the import. */
  answer(choice: ImportChoice | undefined): void;
}

export const importQuestion = signal<ImportQuestion | undefined>(undefined);

async function askAboutImport(meeting: ImportMeeting): Promise<ImportChoice | undefined> {
  try {
    return await new Promise((answer) => {
      importQuestion.value = { meeting, answer };
    });
  } finally {
    importQuestion.value = undefined;
  }
}
