import { jobToJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { type SharedRolls, sharedRolls } from '../../core/production/shared-rolls.ts';
import { fontLibraryFromFiles } from '../../core/sheets/drawing/font-library.ts';
import { ROLL_PLAN, sharedRollPlan } from '../../core/sheets/shared-roll-plan.ts';
import { sheetsPdf } from '../../core/sheets/sheets-pdf.ts';
import { writeFileAtomically } from '../files/atomic-write.ts';
import { fileProblem } from '../files/file-problem.ts';
import { sha256Hex } from '../files/sha256.ts';
import { sheetFontFiles } from '../fonts.ts';
import { jobFileRead } from '../services/job-file.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { findingLines } from './terminal.ts';

/** Lays the panels of several jobs on the rolls of one film. */
export const filmShared =
  (paths: readonly string[], { to }: { readonly to?: string }) =>
  async ({ terminal }: CommandContext): Promise<Result<CommandOutcome>> => {
    const jobs: Job[] = [];
    for (const path of paths) {
      const job = await jobFileRead(path);
      if (!job.ok) return job;
      jobs.push(job.value);
    }
    const shared = sharedRolls(jobs.map((job) => ({ job, layouts: jobLayout(job) })));
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
  const [first, ...others] = jobs as readonly [Job, ...Job[]];
  const fonts = fontLibraryFromFiles(sheetFontFiles());
  const sheets = sharedRollPlan([first, ...others], shared, fonts);
  const sha256 = sha256Hex(new TextEncoder().encode(jobs.map(jobToJson).join('\n')));
  try {
    await writeFileAtomically(
      path,
      await sheetsPdf(first, sheets, { documentType: ROLL_PLAN, sha256 }, fonts),
    );
    return resultOk(undefined);
  } catch (error) {
    const problem = fileProblem(error, path);
    if (problem) return resultProblem(problem);
    throw error;
  }
}
