import type { Job } from '../../core/job/schema.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import type { SharedRolls } from '../../core/production/shared-rolls.ts';
import { readJobFile } from '../job/job-file.ts';
import { shareRolls, writeRollPlan } from '../services/share-rolls.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { findingLines } from './finding-lines.ts';

/** Lays the panels of several jobs on the rolls of one film. */
export const rollsCommand =
  (paths: readonly string[], { to }: { readonly to?: string }) =>
  async ({ terminal, tools, planning }: CommandContext): Promise<Result<CommandOutcome>> => {
    const jobs: Job[] = [];
    for (const path of paths) {
      const job = await readJobFile(path);
      if (!job.ok) return job;
      jobs.push(job.value);
    }
    const shared =
      to === undefined
        ? await shareRolls({ planning }, { jobs }, tools)
        : await writeRollPlan({ planning }, { jobs }, to, tools);
    if (!shared.ok) return shared;
    const { plan } = shared.value;
    terminal.printResult({ ...shared.value, findings: plan.findings }, [
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
