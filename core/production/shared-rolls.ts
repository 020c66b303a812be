/** The panels of several jobs on one film, laid on the same rolls: short panels of one fill the film beside another's. */

import { z } from 'zod';
import { Finding } from '../findings/finding.ts';
import { FIRST_FILM_ID, jobOnFilm } from '../job/job-films.ts';
import { jobProductionSettings } from '../job/job-production-settings.ts';
import type { Job } from '../job/schema.ts';
import { layoutsOnFilm } from '../layout/film-layouts.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { itemAt } from '../measure/present.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../measure/result.ts';
import { listSchema } from '../measure/schemas.ts';
import { DEFAULT_PLAN_EFFORT, type PlanEffort, type SearchLook } from '../rolls/assignment-search.ts';
import { rollRulesFromPrinter } from '../rolls/from-job.ts';
import { rollPlanFromPlaces } from '../rolls/placed-plan.ts';
import { RollPlan, rollPlan } from '../rolls/roll-plan.ts';
import { PackItem, type RollPlacement, RollRules, RollStock } from '../shop/rolls.ts';
import { jobRolls, mixedSides, packItems, printsBothWays } from './job-rolls.ts';
import { type FilmsOfJobs, filmName, filmsApart, sharedFilms } from './shared-film.ts';

export interface JobOnFilm {
  readonly job: Job;
  readonly layouts: readonly SideLayout[];
}

/** A job as it is told apart from the others on the same rolls. */
export const SharedJob = z.strictObject({
  id: z.string(),
  /** Its number; a second job of that number has a count behind it. Begins the label of each of its panels. */
  mark: z.string(),
  name: z.string(),
  customer: z.string(),
  /** Which of its films lies on these rolls. */
  filmId: z.string(),
  panelIds: listSchema(z.string()),
  /** Of its own sides, whatever lies beside them; its acknowledgements answer these. Also among the plan's. */
  findings: listSchema(Finding),
});
export type SharedJob = z.infer<typeof SharedJob>;

export const SharedRolls = z.strictObject({
  /** What the film is called. */
  film: z.string(),
  jobs: listSchema(SharedJob),
  /** Labelled with the number of their job, for two jobs may each have a panel LH-01. */
  items: listSchema(PackItem),
  rolls: listSchema(RollStock),
  /** Whether the shop has entered the rolls that it has; else they are full ones. */
  areRollsEntered: z.boolean(),
  rules: RollRules,
  plan: RollPlan,
});
export type SharedRolls = z.infer<typeof SharedRolls>;

export interface SharedRollsOptions {
  /** Panels that stay where they lie on the shared rolls. */
  readonly locked?: readonly RollPlacement[];
  /** The places of all panels: nothing is nested, the given nesting is checked. */
  readonly places?: readonly RollPlacement[] | undefined;
  /** Absent: the first of the films that all jobs print on. */
  readonly films?: FilmsOfJobs | undefined;
  /** Hears how far the search is; it may throw to call it off. */
  readonly look?: SearchLook;
}

/**
 * More than for one job: with many sides to divide among rolls the search for one ends at plans that need more film
 * than the jobs do one after the other. Three seconds at most for a hundred panels.
 */
const SHARED_PLAN_EFFORT: PlanEffort = {
  ...DEFAULT_PLAN_EFFORT,
  nodes: 30_000_000,
  mostTrials: 20_000,
};

export type SharedRollsProblem = Problem<'rolls-no-job' | 'rolls-job-twice' | 'rolls-film-differs'>;

/**
 * On the film that the jobs have in common. Rolls, their rules and the printer's limits are the first job's. Places that were locked
 * job by job hold no more.
 * Keeps RL18.
 */
export function sharedRolls(
  given: readonly JobOnFilm[],
  { locked = [], places, look, films }: SharedRollsOptions = {},
): Result<SharedRolls, SharedRollsProblem> {
  const filmOf = films ?? sharedFilms(given.map(({ job }) => job))[0];
  const jobs = filmOf ? given.map((each) => onSharedFilm(each, filmOf[each.job.id] ?? FIRST_FILM_ID)) : given;
  const [first] = jobs;
  if (!first) {
    return problem('rolls-no-job', 'There is no job to nest on rolls.', 'Name at least one job.');
  }
  const ids = new Set(jobs.map(({ job }) => job.id));
  if (ids.size < jobs.length) {
    return problem(
      'rolls-job-twice',
      'The same job is named more than once.',
      'Name each job once; a copy of a job needs an id of its own.',
    );
  }
  const [apart] = filmsApart(jobs.map(({ job }) => job));
  if (apart !== undefined) {
    return problem(
      'rolls-film-differs',
      apart,
      'Nest only jobs together that print on one film of one width, on one printer.',
    );
  }
  const settings = jobProductionSettings(first.job);
  const rolls = jobRolls(first.job, settings);
  const laid = itemsOf(jobs, locked);
  const items = laid.flatMap((each) => each.items);
  const mixed = laid.map(({ job, layouts, mark }) =>
    (settings.rules.sideInOneDirection ? mixedSides(job.id, layouts, items, rolls) : []).map((layout) =>
      printsBothWays(layout, `${mark} ${layout.side.code}`),
    ),
  );
  const rules: RollRules = {
    ...rollRulesFromPrinter(first.job.printer),
    ...settings.rules,
    unit: first.job.displayUnit,
    sideInOneDirection: settings.rules.sideInOneDirection && mixed.flat().length === 0,
  };
  const plan = places
    ? rollPlanFromPlaces(items, rolls, rules, places)
    : rollPlan(items, rolls, rules, SHARED_PLAN_EFFORT, look);
  return resultOk({
    film: filmName(first.job),
    jobs: laid.map(({ job, mark, items: own }, index) => ({
      id: job.id,
      mark,
      name: job.name,
      customer: job.customer,
      filmId: filmOf?.[job.id] ?? FIRST_FILM_ID,
      panelIds: own.map(({ panelId }) => panelId),
      findings: itemAt(mixed, index),
    })),
    items,
    rolls,
    areRollsEntered: settings.rolls.length > 0,
    rules,
    plan: { ...plan, findings: [...mixed.flat(), ...plan.findings] },
  });
}

/** Of a job with several films the panels on the one that is shared. */
export const onSharedFilm = ({ job, layouts }: JobOnFilm, filmId: string): JobOnFilm => ({
  job: jobOnFilm(job, filmId),
  layouts: layoutsOnFilm(job, layouts, filmId),
});

function itemsOf(jobs: readonly JobOnFilm[], locked: readonly RollPlacement[]) {
  const seen = new Map<string, number>();
  return jobs.map(({ job, layouts }) => {
    const count = (seen.get(job.number) ?? 0) + 1;
    seen.set(job.number, count);
    const mark = count === 1 ? job.number : `${job.number} (${count})`;
    const items = packItems(job, layouts, { ...jobProductionSettings(job), locked: [...locked] });
    return { job, layouts, mark, items: items.map((item) => ({ ...item, label: `${mark} ${item.label}` })) };
  });
}

const problem = (
  code: SharedRollsProblem['code'],
  message: string,
  remedy: string,
): { readonly ok: false; readonly problem: SharedRollsProblem } => resultProblem({ code, message, remedy });
