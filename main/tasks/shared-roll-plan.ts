/** Laying several jobs on the rolls of one film, and drawing the sheet of it: for the thread and the command line. */
import type { Progress } from '../../core/contract/parts.ts';
import { fontLibraryFromFiles } from '../../core/drawing/font-library.ts';
import { jobToJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import { type Result, resultProblem } from '../../core/measure/result.ts';
import {
  type SharedRolls,
  type SharedRollsOptions,
  sharedRolls,
} from '../../core/production/shared-rolls.ts';
import { ROLL_PLAN, sharedRollPlan } from '../../core/sheets/shared-roll-plan.ts';
import { sheetsPdf } from '../../core/sheets/sheets-pdf.ts';
import { cancelledProblem } from '../files/file-problem.ts';
import { sheetFontFiles } from '../files/fonts.ts';
import { packedQuickly } from '../files/packed-quickly.ts';
import { sha256Hex } from '../files/sha256.ts';

export interface SharedPlanRequest extends Pick<SharedRollsOptions, 'locked' | 'places'> {
  readonly jobs: readonly Job[];
}

class PlanCalledOff extends Error {}

const PROGRESS_STEPS = 100;

export function sharedPlan(
  { jobs, ...options }: SharedPlanRequest,
  { signal, report }: { readonly signal: AbortSignal; readonly report: (progress: Progress) => void },
): Result<SharedRolls> {
  let shown = -1;
  const look = (share: number) => {
    const done = Math.floor(share * PROGRESS_STEPS);
    if (done === shown) return;
    shown = done;
    report({ what: 'Nesting panels on rolls', done, total: PROGRESS_STEPS });
    if (signal.aborted) throw new PlanCalledOff();
  };
  try {
    const shared = sharedRolls(
      jobs.map((job) => ({ job, layouts: jobLayout(job) })),
      { ...options, look },
    );
    report({ what: 'Nesting panels on rolls', done: PROGRESS_STEPS, total: PROGRESS_STEPS });
    return shared;
  } catch (error) {
    if (error instanceof PlanCalledOff) return resultProblem(cancelledProblem);
    throw error;
  }
}

/** The sheet as PDF; the same jobs and places give the same bytes. */
export async function sharedPlanPdf(jobs: readonly Job[], shared: SharedRolls): Promise<Uint8Array> {
  const [first, ...others] = jobs as readonly [Job, ...Job[]];
  const fonts = fontLibraryFromFiles(sheetFontFiles());
  const sheets = sharedRollPlan([first, ...others], shared, fonts);
  const sha256 = sha256Hex(new TextEncoder().encode(jobs.map(jobToJson).join('\n')));
  return await sheetsPdf(first, sheets, { documentType: ROLL_PLAN, sha256 }, fonts, packedQuickly);
}
