/** Nests several jobs on the rolls of one film and draws the sheet: for the thread and the command line. */
import type { Progress } from '../../core/contract/parts.ts';
import { fontLibraryFromFiles } from '../../core/drawing/font-library.ts';
import { jobToJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import { jobLayout } from '../../core/layout/side-layout.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { sharedFilms } from '../../core/production/shared-film.ts';
import {
  type SharedRolls,
  type SharedRollsOptions,
  sharedRolls,
} from '../../core/production/shared-rolls.ts';
import { ROLL_PLAN, sharedRollPlan } from '../../core/sheets/shared-roll-plan.ts';
import { sheetsPdf } from '../../core/sheets/sheets-pdf.ts';
import { sheetFontFiles } from '../files/fonts.ts';
import { packedQuickly } from '../files/packed-quickly.ts';
import { sha256Hex } from '../files/sha256.ts';
import { nestingWatched } from './nesting-watched.ts';

export interface SharedPlanRequest extends Pick<SharedRollsOptions, 'locked' | 'places' | 'films'> {
  readonly jobs: readonly Job[];
}

export function sharedPlan(
  { jobs, ...options }: SharedPlanRequest,
  tools: { readonly signal: AbortSignal; readonly report: (progress: Progress) => void },
): Result<SharedRolls> {
  const laid = nestingWatched(tools, (look) =>
    sharedRolls(
      jobs.map((job) => ({ job, layouts: jobLayout(job) })),
      { ...options, look },
    ),
  );
  return laid.ok ? laid.value : laid;
}

/** Of each film that all jobs print on; of the one that is asked for, or whose places are given. */
export function sharedPlans(
  request: SharedPlanRequest,
  tools: Parameters<typeof sharedPlan>[1],
): Result<readonly SharedRolls[]> {
  const isOne = request.places !== undefined || request.films !== undefined;
  const shared = isOne ? [] : sharedFilms(request.jobs);
  const plans: SharedRolls[] = [];
  // Where no film is shared, the nesting says why.
  for (const films of shared.length > 0 ? shared : [request.films]) {
    const plan = sharedPlan({ ...request, films }, tools);
    if (!plan.ok) return plan;
    plans.push(plan.value);
  }
  return resultOk(plans);
}

/** The sheet as PDF; the same jobs and places give the same bytes. */
export async function sharedPlanPdf(
  jobs: readonly Job[],
  films: readonly SharedRolls[],
): Promise<Uint8Array> {
  const [first, ...others] = jobs as readonly [Job, ...Job[]];
  const fonts = fontLibraryFromFiles(sheetFontFiles());
  const sheets = sharedRollPlan([first, ...others], films, fonts);
  const sha256 = sha256Hex(new TextEncoder().encode(jobs.map(jobToJson).join('\n')));
  return await sheetsPdf(first, sheets, { documentType: ROLL_PLAN, sha256 }, fonts, packedQuickly);
}
