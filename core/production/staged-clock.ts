/**
 * The clocks of a job that is installed on several days: each day prints, dries, is laminated, trimmed and packed for
 * itself, in turn, and installation may begin while the last panels still dry. Of a fleet that prints set by set each vehicle too.
 */
import { z } from 'zod';
import { firstOf, itemAt, lastOf } from '../measure/present.ts';
import { listSchema } from '../measure/schemas.ts';
import { LocalDateTime } from '../shop/local-date-time.ts';
import { localFromMinutes, MINUTES_PER_DAY, minutesFromLocal, startOfDay } from '../shop/local-time.ts';
import { nextWorkingMinute, type WorkingHours } from '../shop/working-hours.ts';
import { type ClockInTurn, DryingClock, type DryingOrder, promiseFindings } from './drying.ts';

const StageClock = z.strictObject({
  panels: z.number().int(),
  printEnd: LocalDateTime,
  dry: LocalDateTime,
  laminate: LocalDateTime.optional(),
  laminated: LocalDateTime.optional(),
  trim: LocalDateTime,
  pack: LocalDateTime,
  /** When its panels could be installed. */
  ready: LocalDateTime,
});
type StageClock = z.infer<typeof StageClock>;

export const DayClock = StageClock.extend({ day: z.number().int() });
/** Of the panels of one vehicle, where sets follow each other. */
export const SetClock = StageClock.extend({ unitNumber: z.string() });

export const StagedClock = DryingClock.extend({
  printEnd: LocalDateTime,
  laminated: LocalDateTime.optional(),
  /** Of a job that is installed on several days: each of them. */
  days: listSchema(DayClock).optional(),
  /** Of a fleet that prints set by set: each vehicle. */
  sets: listSchema(SetClock).optional(),
});
export type StagedClock = z.infer<typeof StagedClock>;

/** What is dried and laminated in one go. */
export interface StagedBatch
  extends Pick<DryingOrder, 'printEnd' | 'laminationMinutes' | 'trimMinutes' | 'packMinutes'> {
  readonly day: number;
  /** Where sets follow each other. */
  readonly unitNumber?: string;
  readonly panels: number;
}

/**
 * The clock of some batches whose `clocks` are known: of several days that of the last one, with the hour at which the first
 * can begin so that no later one waits.
 */
export function stagedClock(
  { promised, dateOrder }: Pick<DryingOrder, 'promised' | 'dateOrder'>,
  batches: readonly StagedBatch[],
  clocks: readonly ClockInTurn[],
  hours: WorkingHours,
): StagedClock {
  const made = batches.map(
    ({ day, unitNumber, panels, printEnd }, index): { day: number; unitNumber?: string; own: StageClock } => {
      const { dry, laminate, laminated, trim, pack, install: ready } = itemAt(clocks, index);
      return {
        day,
        ...(unitNumber !== undefined && { unitNumber }),
        own: {
          ...{ panels, printEnd, dry, trim, pack, ready },
          ...(laminate !== undefined && laminated !== undefined && { laminate, laminated }),
        },
      };
    },
  );
  const days = [...Map.groupBy(made, ({ day }) => day)].map(([day, own]) => ({ day, ...together(own) }));
  const sets = [...Map.groupBy(made, ({ unitNumber }) => unitNumber)].flatMap(([unitNumber, own]) =>
    unitNumber === undefined ? [] : [{ unitNumber, ...together(own) }],
  );
  const { dryingHours } = firstOf(clocks);
  const { panels: _, day: __, ready, ...moments } = lastOf(days);
  const install =
    days.length > 1
      ? installBegin(
          days.map((each) => ({ day: each.day, ready: minutesFromLocal(each.ready) })),
          hours,
        )
      : minutesFromLocal(ready);
  return {
    dryingHours,
    ...moments,
    install: localFromMinutes(install),
    ...(days.length > 1 && { days }),
    ...(sets.length > 1 && { sets }),
    findings: promised === undefined ? [] : promiseFindings(promised, dateOrder, install, dryingHours),
  };
}

/** From the first work on any of them to when all are ready. */
function together(stages: readonly { readonly own: StageClock }[]): StageClock {
  const all = stages.map(({ own }) => own);
  const times = (key: Exclude<keyof StageClock, 'panels'>) =>
    all.flatMap((each) => each[key] ?? []).toSorted();
  const [laminate, laminated] = [times('laminate').at(0), times('laminated').at(-1)];
  return {
    panels: all.reduce((sum, { panels }) => sum + panels, 0),
    printEnd: lastOf(times('printEnd')),
    dry: lastOf(times('dry')),
    trim: firstOf(times('trim')),
    pack: firstOf(times('pack')),
    ready: lastOf(times('ready')),
    ...(laminate !== undefined && laminated !== undefined && { laminate, laminated }),
  };
}

/** For each later day of the installation, the first working minute at which its panels are there. */
function installBegin(
  days: readonly { readonly day: number; readonly ready: number }[],
  hours: WorkingHours,
): number {
  let at = nextWorkingMinute(firstOf(days).ready, hours);
  while (days.some(({ day, ready }) => dayBegin(at, day, hours) < ready))
    at = nextWorkingMinute(startOfDay(at) + MINUTES_PER_DAY, hours);
  return at;
}

/** When day `day` of an installation begins that begins at `at`: on the working day after so many others. */
function dayBegin(at: number, day: number, hours: WorkingHours): number {
  let begin = at;
  for (let passed = 1; passed < day; passed++)
    begin = nextWorkingMinute(startOfDay(begin) + MINUTES_PER_DAY, hours);
  return begin;
}
