/** The panels of several jobs on one film, laid on the same rolls: short panels of one fill the film beside another's. */
import type { Job } from '../job/schema.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { lengthText } from '../measure/length-text.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../measure/result.ts';
import { rollRulesFromPrinter } from '../rolls/from-job.ts';
import { type RollPlan, rollPlan } from '../rolls/roll-plan.ts';
import type { PackItem, RollRules, RollStock } from '../shop/rolls.ts';
import { jobProductionSettings, jobRolls, packItems } from './job-production.ts';

export interface JobOnFilm {
  readonly job: Job;
  readonly layouts: readonly SideLayout[];
}

export interface SharedRolls {
  /** What the film is called. */
  readonly film: string;
  /** Labelled with the number of their job, for two jobs may each have a panel LH-01. */
  readonly items: readonly PackItem[];
  readonly rolls: readonly RollStock[];
  readonly rules: RollRules;
  readonly plan: RollPlan;
}

export type SharedRollsProblem = Problem<'rolls-no-job' | 'rolls-job-twice' | 'rolls-film-differs'>;

/** Rolls and the printer's limits are the first job's. Places that were locked job by job hold no more. */
export function sharedRolls(jobs: readonly JobOnFilm[]): Result<SharedRolls, SharedRollsProblem> {
  const [first] = jobs;
  if (!first) {
    return problem('rolls-no-job', 'There is no job to lay on rolls.', 'Name at least one job.');
  }
  const ids = new Set(jobs.map(({ job }) => job.id));
  if (ids.size < jobs.length) {
    return problem(
      'rolls-job-twice',
      'The same job is named more than once.',
      'Name each job once; a copy of a job needs an id of its own.',
    );
  }
  const film = filmOf(first.job);
  const other = jobs.find(({ job }) => filmOf(job).key !== film.key);
  if (other) {
    return problem(
      'rolls-film-differs',
      `Job ${first.job.number} prints on ${film.text}, job ${other.job.number} on ${filmOf(other.job).text}.`,
      'Lay only jobs together that print on one film of one width, with the same margins.',
    );
  }
  const settings = jobProductionSettings(first.job);
  const rules: RollRules = {
    ...rollRulesFromPrinter(first.job.printer),
    ...settings.rules,
    unit: first.job.displayUnit,
  };
  const items = jobs.flatMap(({ job, layouts }) =>
    packItems(job, layouts, { ...jobProductionSettings(job), locked: [] }).map((item) => ({
      ...item,
      label: `${job.number} ${item.label}`,
    })),
  );
  const rolls = jobRolls(first.job, settings);
  return resultOk({ film: film.name, items, rolls, rules, plan: rollPlan(items, rolls, rules) });
}

function filmOf(job: Job): { readonly name: string; readonly text: string; readonly key: string } {
  const { name, kind } = jobProductionSettings(job).film ?? job.film;
  const { rollWidthMm, marginLeftMm, marginRightMm } = job.printer;
  return {
    name,
    text: `${name}, ${lengthText(rollWidthMm, job.displayUnit)} wide`,
    key: JSON.stringify([name.trim().toLowerCase(), kind, rollWidthMm, marginLeftMm, marginRightMm]),
  };
}

const problem = (
  code: SharedRollsProblem['code'],
  message: string,
  remedy: string,
): { readonly ok: false; readonly problem: SharedRollsProblem } => resultProblem({ code, message, remedy });
