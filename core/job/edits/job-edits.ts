/** Changing what is said once per job, and taking responsibility for findings. */
import type { Acknowledgement, Job } from '../schema.ts';
import { type EditResult, editFinished, editProblem } from './edit.ts';

/** Fields that can be set as they are; scale, sides and acknowledgements have edits of their own. */
export type JobChange = Partial<
  Omit<Job, 'format' | 'version' | 'id' | 'scale' | 'sides' | 'acknowledgements' | 'idsGiven' | 'laminate'>
> & { readonly laminate?: Job['laminate'] | null };

/** Sets fields of the job: customer, film, printer, output, limits and so on. `laminate: null` goes without. */
export function jobSet(job: Job, { change }: { readonly change: JobChange }): EditResult {
  const { laminate: before, ...rest } = job;
  const { laminate: given, ...changed } = change;
  const laminate = given === undefined ? before : (given ?? undefined);
  return editFinished(job, { ...rest, ...changed, ...(laminate ? { laminate } : {}) });
}

/** Records that somebody accepts a finding; a second acknowledgement of the same finding replaces the first. */
export function findingAcknowledge(job: Job, given: Acknowledgement): EditResult {
  const others = job.acknowledgements.filter(({ finding }) => finding !== given.finding);
  return editFinished(job, { ...job, acknowledgements: [...others, given] });
}

export function findingUnacknowledge(job: Job, { finding }: { readonly finding: string }): EditResult {
  const others = job.acknowledgements.filter((given) => given.finding !== finding);
  if (others.length === job.acknowledgements.length) {
    return editProblem(
      'finding-unknown',
      `The finding “${finding}” is not acknowledged in this job.`,
      'Nothing needs to be taken back.',
    );
  }
  return editFinished(job, { ...job, acknowledgements: others });
}
