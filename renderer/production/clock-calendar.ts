/** The drying clock as a small calendar: a row for each day, shares of it from 0 (midnight) to 1. */

import { itemAt } from '../../core/measure/present.ts';
import {
  dateOfMinutes,
  MINUTES_PER_DAY,
  MINUTES_PER_HOUR,
  minutesFromLocal,
  startOfDay,
  weekdayOf,
} from '../../core/shop/local-time.ts';
import type { WorkingHours } from '../../core/shop/working-hours.ts';

export interface DaySpan {
  readonly from: number;
  readonly to: number;
}

export interface CalendarDay {
  /** 2026-03-17 */
  readonly date: string;
  readonly weekday: string;
  readonly shifts: readonly DaySpan[];
  readonly printing: readonly DaySpan[];
  readonly drying: readonly DaySpan[];
  readonly marks: readonly { readonly at: number; readonly step: ClockStep }[];
}

export type ClockStep = 'laminate' | 'trim' | 'pack' | 'install' | 'promised';

/** The moments of a clock as local dates and times; absent ones are left out of the calendar. */
export interface ClockMoments {
  readonly printStart: string;
  readonly printEnd: string;
  readonly dry: string;
  readonly laminate?: string | undefined;
  readonly trim: string;
  readonly pack: string;
  readonly install: string;
  readonly promised?: string | undefined;
}

const WEEKDAYS = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'] as const;
const STEPS = ['laminate', 'trim', 'pack', 'install', 'promised'] as const;
/** A promise a year away would make a calendar too long to read. */
const MOST_DAYS = 31;

export function clockCalendar(moments: ClockMoments, hours: WorkingHours): readonly CalendarDay[] {
  const at = (text: string) => minutesFromLocal(text);
  const marks = STEPS.flatMap((step) => {
    const moment = moments[step];
    return moment === undefined ? [] : [{ step, minutes: at(moment) }];
  });
  const begin = startOfDay(at(moments.printStart));
  const end = Math.max(at(moments.install), ...marks.map(({ minutes }) => minutes));
  const count = Math.min(MOST_DAYS, Math.floor((startOfDay(end) - begin) / MINUTES_PER_DAY) + 1);
  return Array.from({ length: Math.max(1, count) }, (_, index) => {
    const day = begin + index * MINUTES_PER_DAY;
    const share = (minutes: number) => (minutes - day) / MINUTES_PER_DAY;
    const within = (from: number, to: number): DaySpan[] => {
      const span = { from: Math.max(0, share(from)), to: Math.min(1, share(to)) };
      return span.from < span.to ? [span] : [];
    };
    const date = dateOfMinutes(day);
    const shifts = hours.closed.includes(date) ? [] : (hours.week[weekdayOf(day)] ?? []);
    return {
      date,
      weekday: itemAt(WEEKDAYS, weekdayOf(day)),
      shifts: shifts.map(({ from, to }) => ({ from: dayShare(from), to: dayShare(to) })),
      printing: within(at(moments.printStart), at(moments.printEnd)),
      drying: within(at(moments.printEnd), at(moments.dry)),
      marks: marks
        .filter(({ minutes }) => startOfDay(minutes) === day)
        .map(({ step, minutes }) => ({ step, at: share(minutes) })),
    };
  });
}

const dayShare = (time: string): number =>
  (Number(time.slice(0, 2)) * MINUTES_PER_HOUR + Number(time.slice(3))) / MINUTES_PER_DAY;
