import { z } from 'zod';
import { itemAt } from '../measure/present.ts';
import { dateOfMinutes, MINUTES_PER_DAY, MINUTES_PER_HOUR, startOfDay, weekdayOf } from './local-time.ts';

const timeOfDay = z.string().regex(/^(?:[01]\d|2[0-3]):[0-5]\d$|^24:00$/, 'write the time as 07:30');

const Shift = z
  .strictObject({ from: timeOfDay, to: timeOfDay })
  .refine(({ from, to }) => from < to, 'a shift ends after it begins, on the same day');
export type Shift = z.infer<typeof Shift>;

const shifts = z
  .array(Shift)
  .refine(
    (day) => day.every((shift, index) => index === 0 || itemAt(day, index - 1).to <= shift.from),
    'write the shifts of a day in order, without overlap',
  );

/** The hours of work. At least one shift a week, or no work would ever end. */
export const WorkingHours = z.strictObject({
  /** Monday first. */
  week: z
    .array(shifts)
    .length(7)
    .refine((week) => week.some((day) => day.length > 0), 'enter at least one shift'),
  /** Days off: 2026-12-25. */
  closed: z.array(z.iso.date()).max(1000),
});
export type WorkingHours = z.infer<typeof WorkingHours>;

const WORKDAY: Shift[] = [
  { from: '07:30', to: '12:00' },
  { from: '12:45', to: '16:30' },
];

/** A start for the shop's own hours. */
export const DEFAULT_WORKING_HOURS: WorkingHours = {
  week: [WORKDAY, WORKDAY, WORKDAY, WORKDAY, WORKDAY, [], []],
  closed: [],
};

/** Longest run of closed days that is believed; beyond it the calendar is wrong rather than the shop shut. */
const MOST_CLOSED_DAYS = 1100;

/** The first working minute at or after `at`. */
export function nextWorkingMinute(at: number, hours: WorkingHours): number {
  for (const shift of shiftsFrom(at, hours)) return Math.max(at, shift.start);
  throw new RangeError(`No working hours within ${MOST_CLOSED_DAYS} days.`);
}

/** When `minutes` of work end that begin at or after `at` and rest outside working hours. */
export function workEnd(at: number, minutes: number, hours: WorkingHours): number {
  let left = minutes;
  for (const shift of shiftsFrom(at, hours)) {
    const start = Math.max(at, shift.start);
    if (start + left <= shift.end) return start + left;
    left -= shift.end - start;
  }
  throw new RangeError(`No working hours within ${MOST_CLOSED_DAYS} days.`);
}

function* shiftsFrom(at: number, hours: WorkingHours): Generator<{ start: number; end: number }> {
  let closedDays = 0;
  for (let day = startOfDay(at); closedDays <= MOST_CLOSED_DAYS; day += MINUTES_PER_DAY) {
    const isClosed = hours.closed.includes(dateOfMinutes(day));
    const shiftsOfDay = isClosed ? [] : itemAt(hours.week, weekdayOf(day));
    closedDays = shiftsOfDay.length > 0 ? 0 : closedDays + 1;
    for (const { from, to } of shiftsOfDay) {
      const end = day + minutesOfDay(to);
      if (end > at) yield { start: day + minutesOfDay(from), end };
    }
  }
}

const minutesOfDay = (time: string): number =>
  Number(time.slice(0, 2)) * MINUTES_PER_HOUR + Number(time.slice(3));
