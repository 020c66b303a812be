/** Job-wide fields and acknowledgements. */
import type { Acknowledgement, Approval, Job } from '../schema.ts';
import { type EditResult, editFinished, editProblem } from './edit.ts';

/** Fields that can be set directly; scale, vehicles, sides and acknowledgements have separate edits. */
export type JobChange = Partial<
  Omit<
    Job,
    | 'format'
    | 'version'
    | 'id'
    | 'scale'
    | 'vehicles'
    | 'sides'
    | 'acknowledgements'
    | 'idsGiven'
    | 'laminate'
  >
> & { readonly laminate?: Job['laminate'] | null };

/** Sets fields of the job: customer, film, printer, output, limits and so on. `laminate: null` removes the laminate. */
export function jobSet(job: Job, { change }: { readonly change: JobChange }): EditResult {
  const { laminate: before, ...rest } = job;
  const { laminate: given, ...changed } = change;
  const laminate = given === undefined ? before : (given ?? undefined);
  return editFinished(job, { ...rest, ...changed, ...(laminate ? { laminate } : {}) });
}

/** Records who acknowledges findings; acknowledging a finding again replaces the first entry. */
export function findingsAcknowledge(job: Job, given: readonly Acknowledgement[]): EditResult {
  const keys = new Set(given.map(({ finding }) => finding));
  const others = job.acknowledgements.filter(({ finding }) => !keys.has(finding));
  return editFinished(job, { ...job, acknowledgements: [...others, ...given] });
}

export function findingsUnacknowledge(
  job: Job,
  { findings }: { readonly findings: readonly string[] },
): EditResult {
  const unknown = findings.find((key) => !job.acknowledgements.some(({ finding }) => finding === key));
  if (unknown !== undefined) {
    return editProblem(
      'finding-unknown',
      `The finding “${unknown}” is not acknowledged in this job.`,
      'There is no acknowledgement to remove.',
    );
  }
  const others = job.acknowledgements.filter(({ finding }) => !findings.includes(finding));
  return editFinished(job, { ...job, acknowledgements: others });
}

/** Stores who signed the customer proof of the job's artwork, and when; `null` removes the entry. */
export function approvalSet(job: Job, { approval }: { readonly approval: Approval | null }): EditResult {
  const { approval: _, ...rest } = job;
  return editFinished(job, { ...rest, ...(approval && { approval }) });
}
