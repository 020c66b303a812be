/**
 * Wall-clock time of the shop, without a time zone: 'YYYY-MM-DDTHH:MM', or the same as whole minutes since
 * 1970-01-01T00:00 by that clock. Every day has 24 hours: across a change to or from summer time an interval is
 * an hour off, which no drying time is exact enough to notice.
 */
import type { DateOrder } from './date-order.ts';
import { dateText, dayText } from './date-text.ts';

const MINUTE_MS = 60_000;
export const MINUTES_PER_HOUR = 60;
export const MINUTES_PER_DAY = 24 * MINUTES_PER_HOUR;

/** 2026-03-17T14:30 as minutes. Throws a RangeError for text that is no date and time. */
export function minutesFromLocal(text: string): number {
  const ms = /^\d{4}-\d\d-\d\dT\d\d:\d\d$/.test(text) ? Date.parse(`${text}Z`) : Number.NaN;
  // Date.parse lets 30 February run on into March.
  if (Number.isNaN(ms) || localFromMinutes(ms / MINUTE_MS) !== text) {
    throw new RangeError(`'${text}' is no date and time like 2026-03-17T14:30.`);
  }
  return ms / MINUTE_MS;
}

/** Rounded up to whole minutes, so that nothing is ever called ready too early. */
export const localFromMinutes = (minutes: number): string =>
  new Date(Math.ceil(minutes) * MINUTE_MS).toISOString().slice(0, 16);

export const dateOfMinutes = (minutes: number): string => localFromMinutes(minutes).slice(0, 10);

/** Midnight at the start of the day, in minutes. */
export const startOfDay = (minutes: number): number =>
  Math.floor(minutes / MINUTES_PER_DAY) * MINUTES_PER_DAY;

/** 0 for Monday to 6 for Sunday, as ISO 8601 counts (1 to 7 there); 1 January 1970 was a Thursday. */
export const weekdayOf = (minutes: number): number => {
  const days = Math.floor(minutes / MINUTES_PER_DAY);
  return (((days + 3) % 7) + 7) % 7;
};

const WEEKDAY_NAMES = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'] as const;
const MINUTES_PER_HALF_DAY = MINUTES_PER_DAY / 2;

/** A moment for people, as the shop writes dates: `Fri Nov 20, 1:00 PM`, `Fri 20 Nov, 13:00` or `Fri 2026-11-20, 13:00`. */
export function localTimeText(minutes: number, order: DateOrder = 'year-first'): string {
  const whole = Math.ceil(minutes);
  const date = dateOfMinutes(whole);
  const day = order === 'year-first' ? date : dayText(date, order);
  return `${WEEKDAY_NAMES[weekdayOf(whole)]} ${day}, ${clockText(whole - startOfDay(whole), order)}`;
}

const HALF_HOUR = 30;

/** An estimated moment as people say it, rounded up to the half hour: more would promise too much. */
export const momentText = (local: string, order: DateOrder | undefined): string =>
  localTimeText(Math.ceil(minutesFromLocal(local) / HALF_HOUR) * HALF_HOUR, order);

/** A moment that may lie years back: `Nov 20, 2026, 1:05 PM`, `20 Nov 2026, 13:05` or `2026-11-20, 13:05`. */
export function pastTimeText(minutes: number, order: DateOrder = 'year-first'): string {
  const whole = Math.floor(minutes);
  return `${dateText(dateOfMinutes(whole), order)}, ${clockText(whole - startOfDay(whole), order)}`;
}

/** Noon is 12:00 PM, midnight 12:00 AM. */
function clockText(minuteOfDay: number, order: DateOrder): string {
  const minute = String(minuteOfDay % MINUTES_PER_HOUR).padStart(2, '0');
  const hour = Math.floor(minuteOfDay / MINUTES_PER_HOUR);
  if (order !== 'month-first') return `${String(hour).padStart(2, '0')}:${minute}`;
  return `${hour % 12 || 12}:${minute} ${minuteOfDay < MINUTES_PER_HALF_DAY ? 'AM' : 'PM'}`;
}
