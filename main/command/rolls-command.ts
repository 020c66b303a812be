import type { Job } from '../../core/job/schema.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import type { SharedRolls } from '../../core/production/shared-rolls.ts';
import { writeFileAtomically } from '../files/atomic-write.ts';
import { filesTried } from '../files/file-problem.ts';
import { jobFileRead } from '../job/job-file.ts';
import { sharedPlan, sharedPlanPdf } from '../tasks/shared-roll-plan.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { findingLines } from './terminal.ts';

/** Lays the panels of several jobs on the rolls of one film. */
export const filmShared =
  (paths: readonly string[], { to }: { readonly to?: string }) =>
  async ({ terminal, signal }: CommandContext): Promise<Result<CommandOutcome>> => {
    const jobs: Job[] = [];
    for (const path of paths) {
      const job = await jobFileRead(path);
      if (!job.ok) return job;
      jobs.push(job.value);
    }
    const shared = sharedPlan({ jobs }, { signal, report: (progress) => terminal.progress(progress) });
    if (!shared.ok) return shared;
    const { plan } = shared.value;
    if (to !== undefined) {
      const written = await planWritten(jobs, shared.value, to);
      if (!written.ok) return written;
    }
    terminal.result({ ...shared.value, findings: plan.findings }, [
      ...planLines(shared.value, jobs[0]!.displayUnit),
      ...findingLines(plan.findings),
      ...(to === undefined ? [] : [`Written: ${to}`]),
    ]);
    return resultOk(plan.findings.some(({ severity }) => severity === 'stop') ? 'blocked' : 'done');
  };

function planLines({ plan, rolls, film }: SharedRolls, unit: 'mm' | 'in'): string[] {
  const length = (mm: number) => lengthText(mm, unit === 'mm' ? 'm' : 'ft-in');
  return plan.uses.map((use) => {
    const labels = use.bands.flatMap(({ panels }) => panels.map(({ item }) => item.label));
    const roll = rolls.find(({ id }) => id === use.rollId)?.label ?? film;
    return `${roll}: ${length(use.usedLengthMm)} used, ${use.wastePercent.toFixed(1)} % of it waste; ${labels.join(', ')}`;
  });
}

async function planWritten(jobs: readonly Job[], shared: SharedRolls, path: string): Promise<Result<void>> {
  return await filesTried(path, async () => {
    await writeFileAtomically(path, await sharedPlanPdf(jobs, shared));
    return resultOk(undefined);
  });
}
