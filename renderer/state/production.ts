/** Derived production data of the open job: its nesting, clock and estimates, kept in step with it through main. */
import { computed, effect, signal } from '@preact/signals';
import type { Job } from '../../core/job/schema.ts';
import type { MeasuredCoverage } from '../../core/production/job-coverage.ts';
import type { JobProduction } from '../../core/production/job-production.ts';
import { coverageOf } from './coverage.ts';
import { showProblem } from './notices.ts';
import { job } from './open-job.ts';
import { workSlot } from './work.ts';

/** Edits in quick succession, such as a panel pushed along by keys, are planned once. */
const PLAN_PAUSE_MS = 250;

export const deriving = workSlot();

interface Asked {
  readonly job: Job;
  readonly measured: MeasuredCoverage | undefined;
}
const derived = signal<(Asked & { readonly production: JobProduction }) | undefined>(undefined);

/** The last result for the open job; it may lag behind an edit by the computing time. */
export const production = computed<JobProduction | undefined>(() =>
  derived.value?.job.id === job.value?.id ? derived.value?.production : undefined,
);
export const isUpToDate = computed(() => derived.value?.job === job.value);

let timer: ReturnType<typeof setTimeout> | undefined;
let latest: Asked | undefined;

/** Computes the job again, soon; work on an earlier state of it is canceled. */
export function deriveProductionSoon(asked: Job, measured: MeasuredCoverage | undefined): void {
  if (latest?.job === asked && latest.measured === measured) return;
  const mine: Asked = { job: asked, measured };
  latest = mine;
  clearTimeout(timer);
  deriving.cancel();
  timer = setTimeout(
    async () => {
      const request = { job: asked, ...(measured && { measured }) };
      const answer = await deriving.run('production:derive', request, 'Nesting panels on rolls');
      if (mine !== latest) return;
      if (answer.ok) derived.value = { ...mine, production: answer.value };
      else {
        latest = undefined;
        showProblem(answer.problem);
      }
    },
    production.peek() ? PLAN_PAUSE_MS : 0,
  );
}

/** A job that was opened for production is computed on any screen; called once. */
export function followProduction(): void {
  effect(() => {
    if (job.value?.production) deriveProductionSoon(job.value, coverageOf(job.value));
  });
}
