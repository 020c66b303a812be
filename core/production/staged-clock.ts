/**
 * The clocks of a job that is installed on several days: each day prints, dries, is laminated, trimmed and packed for
 * itself, in turn, and installation may begin while the last panels still dry.
 */
import { z } from 'zod';
import { firstOf, lastOf } from '../measure/present.ts';
import { LocalDateTime } from '../shop/local-date-time.ts';
import { localFromMinutes, MINUTES_PER_DAY, minutesFromLocal, startOfDay } from '../shop/local-time.ts';
import { nextWorkingMinute, type WorkingHours, workEnd } from '../shop/working-hours.ts';
import { type DryingClock, type DryingOrder, dryingClock, promiseFindings } from './drying.ts';

export const DayClock = z.strictObject({
  day: z.number().int(),
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
export type DayClock = z.infer<typeof DayClock>;

export interface StagedDay
  extends Pick<DryingOrder, 'printEnd' | 'laminationMinutes' | 'trimMinutes' | 'packMinutes'> {
  readonly day: number;
  readonly panels: number;
}

/** The clock of the last day, with the hour at which the first can begin so that no later one waits. */
export function stagedClock(
  order: Omit<DryingOrder, keyof StagedDay>,
  days: readonly StagedDay[],
  hours: WorkingHours,
): DryingClock & { readonly days: DayClock[]; readonly printEnd: string } {
  let laminateStart = order.laminateStart;
  const made: { readonly clock: DryingClock; readonly day: DayClock }[] = [];
  for (const { day, panels, ...times } of days) {
    const clock = dryingClock({ ...order, ...times, laminateStart, promised: undefined }, hours);
    const laminated =
      clock.laminate === undefined
        ? undefined
        : localFromMinutes(workEnd(minutesFromLocal(clock.laminate), times.laminationMinutes, hours));
    laminateStart = laminated ?? laminateStart;
    const { dry, laminate, trim, pack, install: ready } = clock;
    made.push({
      clock,
      day: {
        ...{ day, panels, printEnd: times.printEnd, dry, trim, pack, ready },
        ...(laminate !== undefined && laminated !== undefined && { laminate, laminated }),
      },
    });
  }
  const last = lastOf(made);
  const install = installBegin(
    made.map(({ day }) => ({ day: day.day, ready: minutesFromLocal(day.ready) })),
    hours,
  );
  return {
    ...last.clock,
    printEnd: last.day.printEnd,
    install: localFromMinutes(install),
    days: made.map(({ day }) => day),
    findings:
      order.promised === undefined
        ? []
        : promiseFindings(order.promised, order.dateOrder, install, last.clock.dryingHours),
  };
}

/** The first working minute from which each later day of installing begins with its panels there. */
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
