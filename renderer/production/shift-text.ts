/** Working hours of a day as people write them: `07:30-12:00, 12:45-16:30`. */

import type { Shift } from '../../core/shop/working-hours.ts';

export const shiftsText = (shifts: readonly Shift[]): string =>
  shifts.map(({ from, to }) => `${from}-${to}`).join(', ');

/** Undefined where the text is no list of shifts; an empty text is a day off. */
export function shiftsFromText(text: string): Shift[] | undefined {
  const parts = text
    .split(/[,;]/)
    .map((part) => part.trim())
    .filter((part) => part !== '');
  const shifts = parts.map((part) => {
    const match = /^(\d{1,2}):?(\d{2})?\s*[-–]\s*(\d{1,2}):?(\d{2})?$/.exec(part);
    if (!match) return undefined;
    const [, fromHour = '', fromMinute, toHour = '', toMinute] = match;
    return { from: timeText(fromHour, fromMinute), to: timeText(toHour, toMinute) };
  });
  return shifts.every((shift) => shift !== undefined) ? shifts : undefined;
}

const timeText = (hour: string, minute: string | undefined): string =>
  `${hour.padStart(2, '0')}:${minute ?? '00'}`;
