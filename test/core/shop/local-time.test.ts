import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LocalDateTime } from '../../../core/shop/local-date-time.ts';
import {
  localFromMinutes,
  localTimeText,
  minutesFromLocal,
  pastTimeText,
  weekdayOf,
} from '../../../core/shop/local-time.ts';

describe('wall-clock time', () => {
  it('is minutes since 1970 by the clock on the wall, both ways', () => {
    expect(minutesFromLocal('1970-01-01T00:00')).toBe(0);
    // Unix time 1,000,000,000 s is 2001-09-09T01:46:40 (POSIX); its minutes, without the zone.
    expect(localFromMinutes(Math.floor(1_000_000_000 / 60))).toBe('2001-09-09T01:46');
    expect(minutesFromLocal('2024-03-01T00:00') - minutesFromLocal('2024-02-28T00:00')).toBe(2 * 24 * 60);
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 60_000_000 }), (minutes) => {
        expect(minutesFromLocal(localFromMinutes(minutes))).toBe(minutes);
      }),
    );
  });

  it('knows the weekday and never calls anything ready too early', () => {
    expect(weekdayOf(0)).toBe(3);
    expect(localFromMinutes(minutesFromLocal('2026-11-25T23:59') + 0.2)).toBe('2026-11-26T00:00');
  });

  it.each([
    ['2026-11-20T13:00', 'Fri Nov 20, 1:00 PM', 'Fri 20 Nov, 13:00', 'Fri 2026-11-20, 13:00'],
    ['2026-11-25T08:05', 'Wed Nov 25, 8:05 AM', 'Wed 25 Nov, 08:05', 'Wed 2026-11-25, 08:05'],
    ['2026-11-25T00:30', 'Wed Nov 25, 12:30 AM', 'Wed 25 Nov, 00:30', 'Wed 2026-11-25, 00:30'],
    ['2026-11-25T12:00', 'Wed Nov 25, 12:00 PM', 'Wed 25 Nov, 12:00', 'Wed 2026-11-25, 12:00'],
  ])('writes %s as the shop does', (local, monthFirst, dayFirst, yearFirst) => {
    const minutes = minutesFromLocal(local);
    expect(localTimeText(minutes, 'month-first')).toBe(monthFirst);
    expect(localTimeText(minutes, 'day-first')).toBe(dayFirst);
    expect(localTimeText(minutes)).toBe(yearFirst);
  });

  it('writes what is past with its year, to the minute that had begun', () => {
    const minutes = minutesFromLocal('2024-02-29T17:05') + 0.9;
    expect(pastTimeText(minutes, 'month-first')).toBe('Feb 29, 2024, 5:05 PM');
    expect(pastTimeText(minutes, 'day-first')).toBe('29 Feb 2024, 17:05');
    expect(pastTimeText(minutes)).toBe('2024-02-29, 17:05');
  });

  it.each(['2026-02-30T10:00', '2026-11-25', '2026-11-25T24:10', '2026-11-25T08:05Z', 'soon'])(
    'refuses %s',
    (text) => {
      expect(() => minutesFromLocal(text)).toThrow(`'${text}' is no date and time like 2026-03-17T14:30.`);
      expect(LocalDateTime.safeParse(text).success).toBe(false);
    },
  );

  it('takes what it writes', () => {
    expect(LocalDateTime.parse('2026-11-25T08:05')).toBe('2026-11-25T08:05');
  });
});
