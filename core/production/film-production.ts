/** How the panels on one film of a job are printed, dried, laminated and packed; see job-production.ts for all films. */

import { z } from 'zod';
import { jobProductionSettings } from '../job/job-production-settings.ts';
import { materialPrice } from '../job/material-price.ts';
import type { Job } from '../job/schema.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { layoutsPerUnit } from '../layout/unit-layouts.ts';
import { foundIn } from '../measure/present.ts';
import { rectArea } from '../measure/rect.ts';
import { listSchema } from '../measure/schemas.ts';
import { DEFAULT_PLAN_EFFORT, type SearchLook } from '../rolls/assignment-search.ts';
import { rollRulesFromPrinter } from '../rolls/from-job.ts';
import { RollPlan } from '../rolls/roll-plan.ts';
import { stagedPlan } from '../rolls/staged-plan.ts';
import { jobInstall } from '../seams/side-install.ts';
import { ProductionSettings } from '../shop/production-settings.ts';
import { PackItem, RollRules, RollStock } from '../shop/rolls.ts';
import { DEFAULT_USUAL_COVERAGE_PERCENT } from '../shop/shop-figures.ts';
import { JobEstimates, jobEstimates } from './estimate.ts';
import { filmFill } from './fill-list.ts';
import { FilmClock, filmClocks, filmLaminations } from './film-clock.ts';
import { CoverageInUse, coverageInUse, type MeasuredCoverage } from './job-coverage.ts';
import { jobRolls, packItems, sidesPrintedBothWays } from './job-rolls.ts';

export const FilmProduction = z.strictObject({
  filmId: z.string(),
  settings: ProductionSettings,
  items: listSchema(PackItem),
  rolls: listSchema(RollStock),
  rules: RollRules,
  plan: RollPlan,
  coverage: CoverageInUse,
  estimates: JobEstimates,
  /** Absent until it is known when printing begins. */
  clock: FilmClock.optional(),
  /** Rolls and strip files of the films before it, whose numbers its own go on from; absent for the first. */
  before: z.strictObject({ rolls: z.number().int(), strips: z.number().int() }).optional(),
});
export type FilmProduction = z.infer<typeof FilmProduction>;

export interface FilmProductionOptions {
  /** Ink coverage as computed from the artwork, where it was computed. */
  readonly measured?: MeasuredCoverage | undefined;
  /** Hears how far the nesting is, and may throw to call it off. */
  readonly look?: SearchLook | undefined;
  /** What is printed with the panels and is none. */
  readonly others?: readonly PackItem[];
}

/** `job` and `layouts` as they are on that film, see jobOnFilm and layoutsOnFilm. */
export function filmProduction(
  job: Job,
  filmId: string,
  layouts: readonly SideLayout[],
  { measured, look, others = [] }: FilmProductionOptions,
): FilmProduction {
  const settings = jobProductionSettings(job);
  const items = [...packItems(job, layouts, settings), ...others];
  const rolls = jobRolls(job, settings);
  const mixed = sidesPrintedBothWays(job, layouts, settings);
  const rules: RollRules = {
    ...rollRulesFromPrinter(job.printer),
    ...settings.rules,
    unit: job.displayUnit,
    sideInOneDirection: settings.rules.sideInOneDirection && mixed.length === 0,
  };
  const plan = stagedPlan(items, rolls, rules, settings.fleetOrder ?? 'together', {
    effort: DEFAULT_PLAN_EFFORT,
    look,
  });
  const coverage = coverageInUse(layouts, settings, measured);
  const estimates = productionEstimates(job, layouts, settings, { plan, rolls, rules }, coverage);
  const [clock] = filmClocks(job, [{ made: { settings, estimates, coverage, plan, rolls } }]);
  return {
    filmId,
    settings,
    items,
    rolls,
    rules,
    plan,
    coverage,
    estimates,
    clock,
  };
}

function productionEstimates(
  job: Job,
  layouts: readonly SideLayout[],
  settings: ProductionSettings,
  {
    plan,
    rolls,
    rules,
  }: { readonly plan: RollPlan; readonly rolls: readonly RollStock[]; readonly rules: RollRules },
  coverage: CoverageInUse,
): JobEstimates {
  const { laminate, meanCoveragePercent, figures } = settings;
  const meanOf = new Map(coverage.panels.map(({ panelId, meanPercent }) => [panelId, meanPercent]));
  const usualPercent = figures.usualCoveragePercent ?? DEFAULT_USUAL_COVERAGE_PERCENT;
  const perUnit = layoutsPerUnit(job, layouts);
  const pieces = filmFill({ plan, rolls, rules, settings }).placed;
  return jobEstimates(
    {
      panels: perUnit.flatMap(({ side, panels }) =>
        panels.map(({ id, printed }) => ({
          printedAreaMm2: rectArea(printed),
          meanCoveragePercent:
            meanCoveragePercent ?? meanOf.get(id) ?? (side.page === undefined ? usualPercent : undefined),
        })),
      ),
      isCoverageUsual:
        meanCoveragePercent === undefined && layouts.some(({ side }) => side.page === undefined),
      rolls: plan.uses.map((use) => ({
        widthMm: foundIn(rolls, ({ id }) => id === use.rollId).widthMm,
        usedLengthMm: use.usedLengthMm,
        printedLengthMm: use.usedLengthMm - rollIdleLength(rolls, use.rollId),
        panelAreaMm2: use.panelAreaMm2,
        fillAreaMm2: pieces
          .filter(({ place }) => place.rollId === use.rollId)
          .reduce((sum, { size }) => sum + size.across * size.along, 0),
      })),
      laminations: filmLaminations({ settings, plan, rolls }),
      filmPrice: materialPrice(job, 'film'),
      laminate: laminate && { widthMm: laminate.widthMm, price: materialPrice(job, 'laminate') },
      install: jobInstall(job, perUnit),
    },
    figures,
  );
}

/** Lead-in and tail pass the printer without being printed. */
function rollIdleLength(rolls: readonly RollStock[], rollId: string): number {
  const roll = foundIn(rolls, ({ id }) => id === rollId);
  return roll.leadInMm + roll.tailMm;
}
