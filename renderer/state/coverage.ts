/** The ink coverage of the open job as computed from its artwork, kept in step with its panels. */
import { signal } from '@preact/signals';
import type { Job } from '../../core/job/schema.ts';
import { type MeasuredCoverage, needsCoverage } from '../../core/production/job-coverage.ts';
import { showProblem } from './notices.ts';
import { workSlot } from './work.ts';

/** Waits for seams that are being moved by keys. */
const MEASURE_PAUSE_MS = 600;

export const measuring = workSlot();
const measured = signal<{ readonly job: Job; readonly coverage: MeasuredCoverage } | undefined>(undefined);
/** The job for which it was canceled or failed: it does not start again by itself. */
const givenUp = signal<Job | undefined>(undefined);

/** An edit shares with the job before it all that it did not change, so identity shows what is the same. */
const isSameInk = (a: Job | undefined, b: Job): boolean =>
  a !== undefined &&
  a.sides === b.sides &&
  a.scale === b.scale &&
  a.output.borderMm === b.output.borderMm &&
  a.artwork?.sha256 === b.artwork?.sha256 &&
  a.artwork?.box === b.artwork?.box;

/** Undefined until exactly these panels were computed. */
export const coverageOf = (job: Job): MeasuredCoverage | undefined =>
  measured.value && isSameInk(measured.value.job, job) ? measured.value.coverage : undefined;

export const isGivenUp = (job: Job): boolean => isSameInk(givenUp.value, job);

let timer: ReturnType<typeof setTimeout> | undefined;
let latest = 0;

/** Begins soon, unless it is known or both figures were entered; cancels work on other panels. */
export function measureCoverageSoon(job: Job): void {
  clearTimeout(timer);
  if (coverageOf(job) || isGivenUp(job)) return;
  measuring.cancel();
  if (!job.artwork || job.sides.length === 0 || !needsCoverage(job)) return;
  timer = setTimeout(() => void measureJobCoverage(job), MEASURE_PAUSE_MS);
}

export async function measureJobCoverage(job: Job): Promise<void> {
  const mine = ++latest;
  givenUp.value = undefined;
  const answer = await measuring.run('ink:measure', { job }, 'Computing the ink of the artwork');
  if (answer.ok) measured.value = { job, coverage: answer.value };
  else if (mine === latest) {
    givenUp.value = job;
    if (answer.problem.code !== 'cancelled') showProblem(answer.problem);
  }
}
