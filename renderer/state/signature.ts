/** The name under an acknowledgement, an override or a note: typed once, and then there. */
import { findingsAcknowledge, jobSet } from '../../core/job/edits/edits.ts';
import type { Acknowledgement, Job } from '../../core/job/schema.ts';
import { editJob } from './open-job.ts';
import { changeSettings, settings } from './settings.ts';
import { changeShop, shopProfile } from './shop.ts';

/** Who signed last on this machine, else who prepares the job, else who prepares the jobs of the shop. */
export const nameToSign = (job?: Job): string =>
  [settings.value.signedAs, job?.preparedBy ?? '', shopProfile.value.preparedBy].find(
    (name) => name.trim() !== '',
  ) ?? '';

export function rememberName(name: string): void {
  if (name.trim() !== '') changeSettings({ signedAs: name.trim() });
}

/** Whether it is not known yet who prepares jobs: then the first name given answers that, too. */
export const isPreparerAsked = (job: Job): boolean =>
  [job.preparedBy, shopProfile.value.preparedBy].every((name) => name.trim() === '');

/** Acknowledges warnings, all in one step of undo, under the name that each of `given` carries. */
export function acknowledge(given: readonly Acknowledgement[]): void {
  const [by] = given.map((each) => each.by);
  if (by === undefined) return;
  const label = given.length === 1 ? 'Acknowledge a warning' : `Acknowledge ${given.length} warnings`;
  let isFirst = false;
  const problem = editJob(label, (now) => {
    isFirst = isPreparerAsked(now);
    const prepared = isFirst
      ? jobSet(now, { change: { preparedBy: by } })
      : { ok: true as const, value: now };
    return prepared.ok ? findingsAcknowledge(prepared.value, given) : prepared;
  });
  if (problem) return;
  rememberName(by);
  if (isFirst) void changeShop({ preparedBy: by });
}
