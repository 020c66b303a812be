/** Where moments lie on the time line of the week: shares of it from 0 to 1. */

import { itemAt } from '../../core/measure/present.ts';
import {
  dateOfMinutes,
  localFromMinutes,
  MINUTES_PER_DAY,
  minutesFromLocal,
  weekdayOf,
} from '../../core/shop/local-time.ts';
import type { WorkingHours } from '../../core/shop/working-hours.ts';

export interface WeekSpan {
  readonly from: string;
  readonly days: number;
}

const STEP_MINUTES = 15;
const WEEKDAYS = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'] as const;
const begin = ({ from }: WeekSpan): number => minutesFromLocal(`${from}T00:00`);

export const shareOfWeek = (span: WeekSpan, local: string): number =>
  (minutesFromLocal(local) - begin(span)) / (span.days * MINUTES_PER_DAY);

/** A bar cut at the ends of what is shown; undefined where nothing of it is. */
export function barPlace(
  span: WeekSpan,
  { from, to }: { readonly from: string; readonly to: string },
): { readonly left: number; readonly width: number } | undefined {
  const [left, right] = [Math.max(0, shareOfWeek(span, from)), Math.min(1, shareOfWeek(span, to))];
  return right > 0 && left < 1 && right >= left ? { left, width: right - left } : undefined;
}

/** The days that are shown, with their working hours. */
export function weekDaysShown(span: WeekSpan, { week, closed }: WorkingHours) {
  return Array.from({ length: span.days }, (_, index) => {
    const day = begin(span) + index * MINUTES_PER_DAY;
    const date = dateOfMinutes(day);
    const isClosed = closed.includes(date);
    const shifts = isClosed ? [] : itemAt(week, weekdayOf(day));
    return {
      date,
      weekday: itemAt(WEEKDAYS, weekdayOf(day)),
      isClosed: shifts.length === 0,
      isHoliday: isClosed,
      shifts: shifts.flatMap((shift) => {
        const place = barPlace(span, { from: `${date}T${shift.from}`, to: endOf(date, shift.to) });
        return place ? [place] : [];
      }),
    };
  });
}

const endOf = (date: string, to: string): string =>
  to === '24:00' ? localFromMinutes(minutesFromLocal(`${date}T00:00`) + MINUTES_PER_DAY) : `${date}T${to}`;

/** `local`, later by a share of the time line, to the nearest quarter of an hour of the clock. */
export function movedBy(span: WeekSpan, local: string, share: number): string {
  const at = minutesFromLocal(local) + share * span.days * MINUTES_PER_DAY;
  return localFromMinutes(Math.round(at / STEP_MINUTES) * STEP_MINUTES);
}

/** One key press: a quarter of an hour, or a day. */
export const movedByKey = (local: string, sign: 1 | -1, isDay: boolean): string =>
  localFromMinutes(minutesFromLocal(local) + sign * (isDay ? MINUTES_PER_DAY : STEP_MINUTES));

/** Of the narrowest time line: a day, and what a letter of a label takes. */
const DAY_PX: Readonly<Record<number, number>> = { 7: 105, 14: 89, 28: 80 };
const NARROWEST_DAY_PX = 80;
const LETTER_PX = 9;
const AROUND_PX = 22;

/** What a label takes at most, as a share of the narrowest time line. */
const labelShare = (days: number, label: string): number =>
  labelPx(label) / ((DAY_PX[days] ?? NARROWEST_DAY_PX) * days);

export const labelPx = (label: string): number => label.length * LETTER_PX + AROUND_PX;

/** A label that is longer than its bar stands behind it, unless the time line ends there. */
export const hasRoomBehind = (
  { days }: Pick<WeekSpan, 'days'>,
  { left, width }: { readonly left: number; readonly width: number },
  label: string,
): boolean => left + width + labelShare(days, label) <= 1;

/**
 * Bars that overlap lie in rows below each other, and so do those whose labels would: the row of each, in the order in
 * which they begin.
 */
export function barRows(
  days: number,
  bars: readonly { readonly from: string; readonly to: string; readonly label: string }[],
): number[] {
  const ends: number[] = [];
  return bars.map(({ from, to, label }) => {
    const labelled = labelShare(days, label) * days * MINUTES_PER_DAY;
    const [start, end] = [minutesFromLocal(from), minutesFromLocal(to)];
    const free = ends.findIndex((taken) => taken <= start);
    const row = free < 0 ? ends.length : free;
    ends[row] = labelled > end - start ? end + labelled : end;
    return row;
  });
}
