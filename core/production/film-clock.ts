/**
 * The clocks of the films of a job. What is dried and laminated in one go is a batch: the panels of a film, of an install day
 * on it, of a vehicle where sets follow each other. All batches of a job share one laminator and the same hands.
 */
import type { z } from 'zod';
import type { Job } from '../job/schema.ts';
import { itemAt } from '../measure/present.ts';
import type { RollPlan } from '../rolls/roll-plan.ts';
import { type StageOnRolls, stagesOnRolls } from '../rolls/staged-plan.ts';
import { localFromMinutes, minutesFromLocal } from '../shop/local-time.ts';
import type { ProductionSettings } from '../shop/production-settings.ts';
import type { RollStock } from '../shop/rolls.ts';
import { nextWorkingMinute, workEnd } from '../shop/working-hours.ts';
import { clocksInTurn, type DryingOrder } from './drying.ts';
import type { JobEstimates } from './estimate.ts';
import type { CoverageInUse } from './job-coverage.ts';
import { type StagedBatch, StagedClock, stagedClock } from './staged-clock.ts';

export const FilmClock = StagedClock;
export type FilmClock = z.infer<typeof FilmClock>;

/** A film that was nested, as its clock needs it. */
export interface FilmMade {
  readonly settings: ProductionSettings;
  readonly estimates: JobEstimates;
  readonly coverage: CoverageInUse;
  readonly plan: RollPlan;
  readonly rolls: readonly RollStock[];
}

/** When the last panel came off the printer: of the film, and of single vehicles where sets follow each other. */
export interface FilmPrinted {
  readonly all?: string | undefined;
  readonly sets?: ReadonlyMap<string, string>;
}

/** What is laminated in one go on each roll. */
export const filmStages = ({
  settings,
  plan,
  rolls,
}: Omit<FilmMade, 'estimates' | 'coverage'>): StageOnRolls[] =>
  stagesOnRolls(plan, rolls, { isBySet: settings.fleetOrder === 'set-by-set' });

/** How many times the laminator is begun: once for each roll, or for each batch on it. */
export function filmLaminations(made: Omit<FilmMade, 'estimates' | 'coverage'>): number {
  const stages = filmStages(made);
  return stages.length < 2
    ? made.plan.uses.length
    : stages.reduce((sum, { stretches }) => sum + stretches, 0);
}

/** Of each film its clock; undefined where it is not known when printing begins. Keeps PR17. */
export function filmClocks(
  { dateOrder }: Pick<Job, 'dateOrder'>,
  films: readonly { readonly made: FilmMade; readonly printed?: FilmPrinted | undefined }[],
): (FilmClock | undefined)[] {
  const [first] = films;
  if (!first) return [];
  const hours = first.made.settings.workingHours;
  const batches = films.map(({ made, printed = {} }) => filmBatches(made, printed));
  const orders = films.flatMap(({ made }, index) =>
    itemAt(batches, index).map(({ day: _, unitNumber: __, panels: ___, ...times }) => ({
      ...orderOf(made),
      ...times,
    })),
  );
  const times = clocksInTurn(orders, hours);
  return films.map(({ made }, index) => {
    const own = itemAt(batches, index);
    const clocks = times.splice(0, own.length);
    const { promised } = made.settings;
    return own.length === 0 ? undefined : stagedClock({ promised, dateOrder }, own, clocks, hours);
  });
}

type FilmOrder = Omit<DryingOrder, 'printEnd' | 'laminationMinutes' | 'trimMinutes' | 'packMinutes'>;

function orderOf({ settings, coverage }: FilmMade): FilmOrder {
  const isLaminated = settings.laminate !== undefined;
  return {
    ink: settings.ink,
    coveragePercent: coverage.worst?.percent,
    isLaminated,
    // That of the film or of its days together is checked.
    promised: undefined,
    laminateStart: settings.laminateStart,
    restHours: isLaminated ? settings.restHours : 0,
    transportHours: settings.transportHours,
  };
}

function filmBatches(made: FilmMade, printed: FilmPrinted): StagedBatch[] {
  const { settings, estimates } = made;
  const { figures } = settings;
  const stages = filmStages(made);
  const units = stages.flatMap(({ unitNumber }) => unitNumber ?? []);
  const cameOff = units.map((unit) => printed.sets?.get(unit));
  const isAllOff = units.length > 0 && cameOff.every((time) => time !== undefined);
  const all = printed.all ?? (isAllOff ? cameOff.toSorted().at(-1) : undefined);
  const endAfter = printEnds(made, all);
  if (!endAfter) return [];
  if (stages.length < 2) {
    return [
      {
        ...{ day: 1, panels: stages.at(0)?.panelIds.length ?? 0 },
        printEnd: endAfter(estimates.printTime.value),
        laminationMinutes: estimates.laminationTime?.value ?? 0,
        trimMinutes: estimates.trimTime.value,
        packMinutes: estimates.packTime.value,
      },
    ];
  }
  return stages.map((each): StagedBatch => {
    const { day, unitNumber } = each;
    const minutes =
      each.rollsBegun * figures.printSetupMinutes + (60 * each.passedAreaMm2) / 1e6 / figures.printM2PerHour;
    const meters = (each.lengthMm + each.stretches * figures.laminateLossMm) / 1000;
    const laminated =
      each.stretches * figures.laminationSetupMinutes + (60 * meters) / figures.laminationMetersPerHour;
    const panels = each.panelIds.length;
    const came = unitNumber === undefined ? undefined : printed.sets?.get(unitNumber);
    return {
      ...{ day, panels, printEnd: came ?? endAfter(minutes) },
      ...(unitNumber !== undefined && { unitNumber }),
      laminationMinutes: settings.laminate ? laminated : 0,
      trimMinutes: panels * figures.trimMinutesPerPanel,
      packMinutes: panels * figures.packMinutesPerPanel,
    };
  });
}

/** When so many minutes of printing are over; where only the end is known, as long before it. */
function printEnds(
  { settings, estimates }: FilmMade,
  all: string | undefined,
): ((minutes: number) => string) | undefined {
  if (all !== undefined)
    return (minutes) => localFromMinutes(minutesFromLocal(all) - (estimates.printTime.value - minutes));
  const { printStart } = settings;
  if (printStart === undefined) return undefined;
  return (minutes) => localFromMinutes(printingEnd(minutesFromLocal(printStart), minutes, settings));
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
