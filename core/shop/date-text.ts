/** Dates for people, as their shop writes them. */

import { itemAt } from '../measure/present.ts';
import type { DateOrder } from './date-order.ts';

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'] as const;

/** A date such as 2026-11-20 for people; the month is a word, so that it is not taken for the day. */
export function dateText(isoDate: string, order: DateOrder = 'year-first'): string {
  if (order === 'year-first') return isoDate;
  const year = isoDate.slice(0, 4);
  return `${dayText(isoDate, order)}${order === 'month-first' ? ',' : ''} ${year}`;
}

/** The date without its year: `Nov 20` or `20 Nov`. */
export function dayText(isoDate: string, order: Exclude<DateOrder, 'year-first'>): string {
  const [, month, day] = isoDate.split('-') as [string, string, string];
  const name = itemAt(MONTHS, Number(month) - 1);
  return order === 'month-first' ? `${name} ${Number(day)}` : `${Number(day)} ${name}`;
}
