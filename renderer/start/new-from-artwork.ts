/** A new job that begins with its artwork: dropped on the list of jobs, or chosen there. */

import type { Chosen } from '../../core/contract/parts.ts';
import { jobNameFromFile, jobNumberAfter } from '../../core/job/job-number.ts';
import { chooseArtwork, handOver, takeArtwork } from '../bench/artwork-import.ts';
import { ask } from '../client/client.ts';
import { createJob } from '../state/job-list.ts';
import { showProblem } from '../state/notices.ts';
import { openJob } from '../state/open-job.ts';
import { showScreen } from '../state/route.ts';

export async function beginWithChosenArtwork(): Promise<void> {
  const chosen = await chooseArtwork();
  if (chosen) await beginJob(chosen);
}

export async function beginWithDroppedArtwork(file: File): Promise<void> {
  const offered = await handOver(file);
  if (offered) await beginJob(offered);
}

async function beginJob({ token, name }: Chosen): Promise<void> {
  const latest = await ask('job:list', { limit: 1 });
  if (!latest.ok) return showProblem(latest.problem);
  const jobId = await createJob({
    number: jobNumberAfter(latest.value.jobs[0]?.number, String(new Date().getFullYear())),
    name: jobNameFromFile(name),
    customer: '',
  });
  if (jobId === undefined || !(await openJob(jobId))) return;
  showScreen({ screen: 'bench', jobId });
  await takeArtwork(token);
}
