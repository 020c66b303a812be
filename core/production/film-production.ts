/** How the panels on one film of a job are printed, dried, laminated and packed; see job-production.ts for all films. */

import { z } from 'zod';
import { jobProductionSettings } from '../job/job-production-settings.ts';
import { materialPrice } from '../job/material-price.ts';
import type { Job } from '../job/schema.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { layoutsPerUnit } from '../layout/unit-layouts.ts';
import { foundIn, valueAt } from '../measure/present.ts';
import { rectArea } from '../measure/rect.ts';
import { listSchema } from '../measure/schemas.ts';
import { DEFAULT_PLAN_EFFORT, type SearchLook } from '../rolls/assignment-search.ts';
import { rollRulesFromPrinter } from '../rolls/from-job.ts';
import { RollPlan } from '../rolls/roll-plan.ts';
import { daysOnRolls, stagedPlan } from '../rolls/staged-plan.ts';
import { jobInstall } from '../seams/side-install.ts';
import { LocalDateTime } from '../shop/local-date-time.ts';
import { localFromMinutes, minutesFromLocal } from '../shop/local-time.ts';
import { ProductionSettings } from '../shop/production-settings.ts';
import { PackItem, RollRules, RollStock } from '../shop/rolls.ts';
import { DEFAULT_USUAL_COVERAGE_PERCENT } from '../shop/shop-figures.ts';
import { nextWorkingMinute, workEnd } from '../shop/working-hours.ts';
import { DryingClock, dryingClock } from './drying.ts';
import { JobEstimates, jobEstimates } from './estimate.ts';
import { CoverageInUse, coverageInUse, type MeasuredCoverage } from './job-coverage.ts';
import { jobRolls, packItems, sidesPrintedBothWays } from './job-rolls.ts';
import { DayClock, type StagedDay, stagedClock } from './staged-clock.ts';

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
  clock: DryingClock.extend({
    printEnd: LocalDateTime,
    /** Of a job that is installed on several days: each of them. */
    days: listSchema(DayClock).optional(),
  }).optional(),
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
  const estimates = productionEstimates(job, layouts, settings, { plan, rolls, items }, coverage);
  const clock = productionClock(job, { settings, estimates, coverage, plan, rolls });
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
  { laminate, meanCoveragePercent, figures }: ProductionSettings,
  {
    plan,
    rolls,
    items,
  }: { readonly plan: RollPlan; readonly rolls: readonly RollStock[]; readonly items: readonly PackItem[] },
  coverage: CoverageInUse,
): JobEstimates {
  const meanOf = new Map(coverage.panels.map(({ panelId, meanPercent }) => [panelId, meanPercent]));
  const usualPercent = figures.usualCoveragePercent ?? DEFAULT_USUAL_COVERAGE_PERCENT;
  const perUnit = layoutsPerUnit(job, layouts);
  const areaOf = new Map(items.map(({ panelId, widthMm, lengthMm }) => [panelId, widthMm * lengthMm]));
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
        panelAreaMm2: plan.placements
          .filter(({ rollId }) => rollId === use.rollId)
          .reduce((sum, { panelId }) => sum + valueAt(areaOf, panelId), 0),
      })),
      ...laminationsByDay(plan, rolls),
      filmPrice: materialPrice(job, 'film'),
      laminate: laminate && { widthMm: laminate.widthMm, price: materialPrice(job, 'laminate') },
      install: jobInstall(job, perUnit),
    },
    figures,
  );
}

function laminationsByDay(plan: RollPlan, rolls: readonly RollStock[]): { laminations?: number } {
  const days = daysOnRolls(plan, rolls);
  return days.length < 2 ? {} : { laminations: days.reduce((sum, { stretches }) => sum + stretches, 0) };
}

/** Lead-in and tail pass the printer without being printed. */
function rollIdleLength(rolls: readonly RollStock[], rollId: string): number {
  const roll = foundIn(rolls, ({ id }) => id === rollId);
  return roll.leadInMm + roll.tailMm;
}

type Made = Pick<FilmProduction, 'settings' | 'estimates' | 'coverage' | 'plan' | 'rolls'>;

/** The same with the clock of a job whose last panel came off the printer at that minute. */
export const productionFromOffPrinter = (
  job: Job,
  production: FilmProduction,
  offPrinter: string,
): FilmProduction => ({ ...production, clock: clockFromPrintEnd(job, production, offPrinter) });

function productionClock(job: Job, made: Made): FilmProduction['clock'] {
  const { printStart } = made.settings;
  if (printStart === undefined) return undefined;
  const end = (minutes: number) =>
    localFromMinutes(printingEnd(minutesFromLocal(printStart), minutes, made.settings));
  const total = made.estimates.printTime.value;
  return clockFromPrintEnd(job, made, end(total), (minutes) => end(minutes));
}

/** When its lamination ends, in minutes; undefined where nothing is laminated or no clock runs yet. */
export function laminatedBy({ clock, estimates, settings }: FilmProduction): number | undefined {
  if (clock?.laminate === undefined) return undefined;
  const ofLastDay = clock.days?.at(-1)?.laminated;
  if (ofLastDay !== undefined) return minutesFromLocal(ofLastDay);
  const minutes = estimates.laminationTime?.value ?? 0;
  return workEnd(minutesFromLocal(clock.laminate), minutes, settings.workingHours);
}

/** A print is begun within working hours; then it runs through the night, unless the shop wants an operator beside it. */
function printingEnd(
  at: number,
  minutes: number,
  { workingHours, printsAttended }: Pick<ProductionSettings, 'workingHours' | 'printsAttended'>,
): number {
  return printsAttended
    ? workEnd(at, minutes, workingHours)
    : nextWorkingMinute(at, workingHours) + Math.ceil(minutes);
}

/** `endAfter`: when so many minutes of printing are over; where only the end is known, as long before it. */
function clockFromPrintEnd(
  { dateOrder }: Job,
  { settings, estimates, coverage: { worst }, plan, rolls }: Made,
  printEnd: string,
  endAfter = (minutes: number) =>
    localFromMinutes(minutesFromLocal(printEnd) - (estimates.printTime.value - minutes)),
): NonNullable<FilmProduction['clock']> {
  const { promised, workingHours, ink, restHours, transportHours, figures } = settings;
  const isLaminated = settings.laminate !== undefined;
  const order = {
    ink,
    coveragePercent: worst?.percent,
    isLaminated,
    laminateStart: settings.laminateStart,
    promised,
    dateOrder,
    restHours: isLaminated ? restHours : 0,
    transportHours,
  };
  const days = daysOnRolls(plan, rolls);
  if (days.length > 1) {
    return stagedClock(
      order,
      days.map((each): StagedDay => {
        const printed =
          each.rollsBegun * figures.printSetupMinutes +
          (60 * each.passedAreaMm2) / 1e6 / figures.printM2PerHour;
        const meters = (each.lengthMm + each.stretches * figures.laminateLossMm) / 1000;
        const laminated =
          each.stretches * figures.laminationSetupMinutes + (60 * meters) / figures.laminationMetersPerHour;
        const panels = each.panelIds.length;
        return {
          ...{ day: each.day, panels, printEnd: endAfter(printed) },
          laminationMinutes: isLaminated ? laminated : 0,
          trimMinutes: panels * figures.trimMinutesPerPanel,
          packMinutes: panels * figures.packMinutesPerPanel,
        };
      }),
      workingHours,
    );
  }
  const clock = dryingClock(
    {
      ...order,
      printEnd,
      laminationMinutes: estimates.laminationTime?.value ?? 0,
      trimMinutes: estimates.trimTime.value,
      packMinutes: estimates.packTime.value,
    },
    workingHours,
  );
  return { ...clock, printEnd };
}
