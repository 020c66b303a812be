/** What production works out of the job, kept in step with it; and the changes that are made to its settings. */
import { computed, signal } from '@preact/signals';
import { jobSet } from '../../core/job/edits/edits.ts';
import type { Job } from '../../core/job/schema.ts';
import type { Problem, Result } from '../../core/measure/result.ts';
import type { MeasuredCoverage } from '../../core/production/job-coverage.ts';
import {
  type JobProduction,
  jobProductionSettings,
  packItems,
} from '../../core/production/job-production.ts';
import type { ProductionSettings } from '../../core/shop/production-settings.ts';
import { problemShown } from '../state/notices.ts';
import { isReadOnly, job, jobEdited, layouts } from '../state/open-job.ts';
import { workSlot } from '../state/work.ts';
import { type RollDesk, rollDesk } from './roll-desk.ts';

/** Edits in quick succession, such as a panel pushed along by keys, are planned once. */
const PLAN_PAUSE_MS = 250;

export const deriving = workSlot();
interface Derived {
  readonly job: Job;
  readonly measured: MeasuredCoverage | undefined;
  readonly production: JobProduction;
}
const derived = signal<Derived | undefined>(undefined);

/** The last that was worked out for the open job; it may lag behind an edit by the time of planning. */
export const production = computed<JobProduction | undefined>(() =>
  derived.value?.job.id === job.value?.id ? derived.value?.production : undefined,
);
export const isUpToDate = computed(() => derived.value?.job === job.value);

let timer: ReturnType<typeof setTimeout> | undefined;
let latest = 0;

/** Works out the job anew, soon; what is under way for an earlier state of it is given up. */
export function productionDeriveSoon(asked: Job, measured: MeasuredCoverage | undefined): void {
  clearTimeout(timer);
  const mine = ++latest;
  if (derived.value?.job === asked && derived.value.measured === measured) return;
  deriving.cancel();
  timer = setTimeout(
    async () => {
      const request = { job: asked, ...(measured && { measured }) };
      const answer = await deriving.run('production:derive', request, 'Laying panels on rolls');
      if (mine !== latest) return;
      if (answer.ok) derived.value = { job: asked, measured, production: answer.value };
      else problemShown(answer.problem);
    },
    production.value ? PLAN_PAUSE_MS : 0,
  );
}

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
  lockedSet: (label, locked, gesture) => productionSet(label, { locked: [...locked] }, gesture),
});

/** Changes settings of production; returns the sentence why not. `undefined` takes a setting out. */
export function productionSet(
  label: string,
  change: { readonly [K in keyof ProductionSettings]?: ProductionSettings[K] | undefined },
  gesture?: string,
): string | undefined {
  return jobEdited(label, (now) => settingsChanged(now, change), {
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
