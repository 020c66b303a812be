/** A new job that begins with its artwork: dropped on the list of jobs, or chosen there. */

import { jobNameFromFile, jobNumberAfter, jobNumberStart } from '../../core/job/job-number.ts';
import { type Problem, type Result, resultOk } from '../../core/measure/result.ts';
import { type ChosenFiles, chooseArtwork, handOver, takeArtwork } from '../bench/artwork-import.ts';
import { ask } from '../client/client.ts';
import { createJob } from '../state/job-list.ts';
import { showProblem } from '../state/notices.ts';
import { openJob } from '../state/open-job.ts';
import { showScreen } from '../state/route.ts';

export async function beginWithChosenArtwork(): Promise<void> {
  const chosen = await chooseArtwork();
  if (chosen) await beginJob(chosen);
}

export async function beginWithDroppedArtwork(files: readonly File[]): Promise<void> {
  const offered = await handOver(files);
  if (offered) await beginJob(offered);
}

const MOST_COMPARED = 1000;

/** The last changed job shows how the shop numbers its jobs; it need not have the highest number. */
async function nextJobNumber(): Promise<Result<string, Problem>> {
  const year = String(new Date().getFullYear());
  const all = { archive: 'all' } as const;
  const changed = await ask('job:list', { ...all, limit: 1 });
  if (!changed.ok) return changed;
  const latest = changed.value.jobs[0]?.number;
  const alike = await ask('job:list', {
    ...all,
    text: jobNumberStart(latest, year),
    order: { by: 'number', isDescending: true },
    limit: MOST_COMPARED,
  });
  if (!alike.ok) return alike;
  return resultOk(
    jobNumberAfter(
      latest,
      year,
      alike.value.jobs.map(({ number }) => number),
    ),
  );
}

async function beginJob(files: ChosenFiles): Promise<void> {
  const number = await nextJobNumber();
  if (!number.ok) return showProblem(number.problem);
  const jobId = await createJob({ number: number.value, name: jobNameFromFile(files[0].name), customer: '' });
  if (jobId === undefined || !(await openJob(jobId))) return;
  showScreen({ screen: 'bench', jobId });
  await takeArtwork(files);
}
