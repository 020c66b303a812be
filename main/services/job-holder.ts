/** Who has a job open to edit it. Even if a full disk cannot note that, the job can be read. */
import type { ContractReply } from '../../core/contract/contract.ts';
import type { Job } from '../../core/job/schema.ts';
import { type Problem, type Result, resultOk } from '../../core/measure/result.ts';
import { type Archive, type JobHolder, tryArchive } from '../archive/port.ts';

/** Takes a job for a window; says who else has it, who then keeps it unless it is taken over. */
export async function takeJob(
  archive: Archive,
  jobId: string,
  clientId: string,
  now: string,
  isTakingOver = false,
): Promise<JobHolder | undefined> {
  const taken = await tryArchive(async () =>
    resultOk(await archive.openJobs.take(jobId, clientId, now, { isTakingOver })),
  );
  return taken.ok ? taken.value : undefined;
}

export async function jobNews(
  archive: Archive,
  jobId: string,
  clientId: string,
): Promise<Result<ContractReply<'job:news'>>> {
  const job = await archive.jobs.find(jobId);
  const holder = await archive.openJobs.holder(jobId, clientId);
  return resultOk({ ...(job.ok && { revision: job.value.revision }), ...(holder && { holder }) });
}

export const openElsewhere = ({ number }: Job, { person, machine }: JobHolder): Problem => ({
  code: 'job-open-elsewhere',
  message: `Job ${number} is being edited in another window (${person} at ${machine}).`,
  remedy: 'Close it there, or save this one as a copy.',
});
