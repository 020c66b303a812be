/**
 * Wall-clock time of the shop, without a time zone: 'YYYY-MM-DDTHH:MM', or the same as whole minutes since
 * 1970-01-01T00:00 by that clock. Every day has 24 hours: across a change to or from summer time an interval is
 * an hour off, which no drying time is exact enough to notice.
 */
import { z } from 'zod';

const MINUTE_MS = 60_000;
export const MINUTES_PER_HOUR = 60;
export const MINUTES_PER_DAY = 24 * MINUTES_PER_HOUR;

export const LocalDateTime = z.iso
  .datetime({ local: true, offset: false, precision: -1 })
  .refine((text) => !text.endsWith('Z'), 'write the time as on the wall: 2026-03-17T14:30, without a zone');

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

const WEEKDAY_NAMES = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday'] as const;

/** For people: 'Tuesday 2026-03-17 14:30'. */
export const localTimeText = (minutes: number): string =>
  `${WEEKDAY_NAMES[weekdayOf(Math.ceil(minutes))]} ${localFromMinutes(minutes).replace('T', ' ')}`;
