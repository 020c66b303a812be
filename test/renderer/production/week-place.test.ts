import { describe, expect, it } from 'vitest';
import { DEFAULT_WORKING_HOURS } from '../../../core/shop/working-hours.ts';
import {
  barPlace,
  barRows,
  hasRoomBehind,
  movedBy,
  movedByKey,
  shareOfWeek,
  weekDaysShown,
} from '../../../renderer/production/week-place.ts';

const span = { from: '2026-11-23', days: 7 };

describe('the time line of the week', () => {
  it('lays moments by the clock: a bar ends where the time line does', () => {
    expect(shareOfWeek(span, '2026-11-24T12:00')).toBeCloseTo(1.5 / 7, 12);
    const place = barPlace(span, { from: '2026-11-29T06:00', to: '2026-11-30T09:00' })!;
    expect([place.left * 7, place.width * 7].map((days) => Number(days.toFixed(9)))).toEqual([6.25, 0.75]);
    expect(barPlace(span, { from: '2026-11-30T00:00', to: '2026-11-30T09:00' })).toBeUndefined();
    expect(barPlace(span, { from: '2026-11-20T07:00', to: '2026-11-22T23:59' })).toBeUndefined();
  });

  it('shades nights, weekends and holidays', () => {
    const days = weekDaysShown(span, { ...DEFAULT_WORKING_HOURS, closed: ['2026-11-26'] });
    expect(days.map(({ weekday, shifts, isHoliday }) => `${weekday} ${shifts.length} ${isHoliday}`)).toEqual([
      ...['Mon 2 false', 'Tue 2 false', 'Wed 2 false', 'Thu 0 true', 'Fri 2 false'],
      ...['Sat 0 false', 'Sun 0 false'],
    ]);
    expect(days[1]!.shifts[0]!.left * 168).toBeCloseTo(24 + 7.5, 9);
  });

  it('moves by quarters of an hour, and by a day', () => {
    expect(movedBy(span, '2026-11-24T08:20', -1 / 7)).toBe('2026-11-23T08:15');
    expect(movedBy(span, '2026-11-24T08:20', 0.0007)).toBe('2026-11-24T08:30');
    expect(movedByKey('2026-11-24T08:20', 1, false)).toBe('2026-11-24T08:35');
    expect(movedByKey('2026-11-24T00:10', -1, true)).toBe('2026-11-23T00:10');
  });

  it('WEEK3 lays bars that overlap, or whose labels would, below each other', () => {
    const bar = (from: string, to: string, label = 'A-1') => ({
      from: `2026-11-${from}`,
      to: `2026-11-${to}`,
      label,
    });
    // Three letters and what is around them take 49 of 105 pixels of a day, 11 h 12 min, behind a bar that is shorter.
    expect(
      barRows(7, [bar('23T08:00', '23T09:00'), bar('23T20:12', '24T08:12'), bar('24T08:11', '24T09:00')]),
    ).toEqual([0, 0, 1]);
    expect(barRows(7, [bar('23T08:00', '23T09:00'), bar('23T20:11', '23T23:00')])).toEqual([0, 1]);
    expect(barRows(7, [bar('23T08:00', '23T19:12'), bar('23T19:12', '23T23:00')])).toEqual([0, 0]);
  });

  it('puts the label of a short bar behind it, unless the time line ends there', () => {
    // 49 of 735 pixels: a fifteenth of the week.
    expect(hasRoomBehind(span, { left: 0.9, width: 1 / 30 }, 'A-1')).toBe(true);
    expect(hasRoomBehind(span, { left: 0.91, width: 1 / 30 }, 'A-1')).toBe(false);
  });
});
