/** The settings of production of the open job, the changes that are made to them, and its rolls to move panels about on. */
import { computed } from '@preact/signals';
import { jobSet } from '../../core/job/edits/edits.ts';
import { jobProductionSettings } from '../../core/job/job-production-settings.ts';
import type { Job } from '../../core/job/schema.ts';
import type { Problem, Result } from '../../core/measure/result.ts';
import { packItems } from '../../core/production/job-rolls.ts';
import type { ProductionSettings } from '../../core/shop/production-settings.ts';
import { editJob, isReadOnly, job, layouts } from '../state/open-job.ts';
import { production } from '../state/production.ts';
import { type RollDesk, rollDesk } from './roll-desk.ts';

export const settingsNow = computed<ProductionSettings | undefined>(
  () => job.value && jobProductionSettings(job.value),
);

/** The rolls of the open job, to be moved about on. */
export const jobRollDesk: RollDesk = rollDesk({
  laid: computed(() => {
    const made = production.value;
    return made && { ...made, areRollsEntered: made.settings.rolls.length > 0 };
  }),
  panels: computed(() =>
    job.value && settingsNow.value ? packItems(job.value, layouts.value, settingsNow.value) : [],
  ),
  locked: computed(() => settingsNow.value?.locked ?? []),
  isReadOnly,
  setLocked: (label, locked, gesture) => setProduction(label, { locked: [...locked] }, gesture),
});

/** Changes settings of production; returns the sentence why not. `undefined` takes a setting out. */
export function setProduction(
  label: string,
  change: { readonly [K in keyof ProductionSettings]?: ProductionSettings[K] | undefined },
  gesture?: string,
): string | undefined {
  return editJob(label, (now) => settingsChanged(now, change), {
    isQuiet: true,
    ...(gesture !== undefined && { gesture }),
  })?.message;
}

function settingsChanged(
  now: Job,
  change: Partial<Record<keyof ProductionSettings, unknown>>,
): Result<Job, Problem> {
  const merged = Object.entries({ ...jobProductionSettings(now), ...change }).filter(
    ([, value]) => value !== undefined,
  );
  return jobSet(now, { change: { production: Object.fromEntries(merged) as ProductionSettings } });
}
