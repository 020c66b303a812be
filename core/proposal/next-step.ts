/** The next step in a job, from what is already done. It is shown in one place, and only if something is left to do. */

import type { Finding } from '../findings/finding.ts';
import { panelPrinter } from '../job/job-films.ts';
import type { Job } from '../job/schema.ts';
import { panelFit } from '../layout/panel-fit.ts';
import type { SideLayout } from '../layout/side-layout.ts';

export type NextStep =
  | { readonly kind: 'import' | 'sides' | 'layouts' | 'write' }
  | { readonly kind: 'stops' | 'warnings'; readonly count: number }
  | { readonly kind: 'verify' | 'refused' | 'print'; readonly output: number };

export interface StateOfJob {
  readonly job: Job;
  readonly layouts: readonly SideLayout[];
  /** Stops, and warnings that are not acknowledged. */
  readonly blocking: readonly Pick<Finding, 'severity'>[];
  /** The latest output of the current job; absent if there is none, or if the job was edited since. */
  readonly output?: { readonly number: number; readonly verification: { readonly state: string } };
}

/** Undefined if nothing is left to do. */
export function nextStep({ job, layouts, blocking, output }: StateOfJob): NextStep | undefined {
  if (job.sides.length === 0) return { kind: job.artwork ? 'sides' : 'import' };
  if (output) return stepAfterOutput(output);
  const isFitting = layouts.every(({ panels }) =>
    panels.every((panel) => {
      const { isTooWide, isTooLong } = panelFit(panel.film, panelPrinter(job, panel));
      return !isTooWide && !isTooLong;
    }),
  );
  if (!isFitting) return { kind: 'layouts' };
  if (!job.artwork) return { kind: 'import' };
  for (const [kind, severity] of [
    ['stops', 'stop'],
    ['warnings', 'warn'],
  ] as const) {
    const count = blocking.filter((finding) => finding.severity === severity).length;
    if (count > 0) return { kind, count };
  }
  return { kind: 'write' };
}

function stepAfterOutput({ number, verification }: NonNullable<StateOfJob['output']>): NextStep {
  if (verification.state === 'verified') return { kind: 'print', output: number };
  return { kind: verification.state === 'failed' ? 'refused' : 'verify', output: number };
}

/** The label of the button for the step, in the imperative. */
export function nextStepText(step: NextStep): string {
  switch (step.kind) {
    case 'import':
      return 'Import the artwork';
    case 'sides':
      return 'Set up the sides';
    case 'layouts':
      return 'Suggest panel layouts';
    case 'stops':
      return step.count === 1 ? 'Resolve 1 stop' : `Resolve ${step.count} stops`;
    case 'warnings':
      return step.count === 1 ? 'Look at 1 warning' : `Look at ${step.count} warnings`;
    case 'write':
      return 'Write the output';
    case 'verify':
      return `Verify Output ${step.output}`;
    case 'refused':
      return `Look at the verification of Output ${step.output}`;
    case 'print':
      return `Print Output ${step.output}`;
  }
}
