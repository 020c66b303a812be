import type { Job } from '../../core/job/schema.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { firstOf } from '../../core/measure/present.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { printsText } from '../../core/output/printed-panels.ts';
import type { SharedRolls } from '../../core/production/shared-rolls.ts';
import { readJobFile } from '../job/job-file.ts';
import { shareRollsOfFilms, writeRollPlan } from '../services/share-rolls.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { findingLines } from './finding-lines.ts';

/** Nests the panels of several jobs on the rolls of each film that they have in common. */
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
        ? await shareRollsOfFilms({ planning }, { jobs }, tools)
        : await writeRollPlan({ planning }, { jobs }, to, tools);
    if (!shared.ok) return shared;
    const made = shared.value;
    const findings = made.flatMap(({ plan }) => plan.findings);
    const [first, ...others] = made as [SharedRolls, ...SharedRolls[]];
    terminal.printResult({ ...first, findings, ...(others.length > 0 && { otherFilms: others }) }, [
      ...made.flatMap((shared) => planLines(shared, firstOf(jobs).displayUnit)),
      ...findingLines(findings),
      ...(to === undefined ? [] : [`Written: ${to}`]),
    ]);
    return resultOk(findings.some(({ severity }) => severity === 'stop') ? 'blocked' : 'done');
  };

function planLines({ plan, rolls, film }: SharedRolls, unit: 'mm' | 'in'): string[] {
  const length = (mm: number) => lengthText(mm, unit === 'mm' ? 'm' : 'ft-in');
  return plan.uses.map((use) => {
    const labels = use.bands.flatMap(({ panels }) => panels.map(({ item }) => item.label));
    const roll = rolls.find(({ id }) => id === use.rollId)?.label ?? film;
    return `${roll}: ${length(use.usedLengthMm)} used, ${use.wastePercent.toFixed(1)} % of it waste; ${printsText(labels)}`;
  });
}
