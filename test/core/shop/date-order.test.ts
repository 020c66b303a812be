import { expect, it } from 'vitest';
import { dateText } from '../../../core/shop/date-text.ts';

it('writes a date as the shop does, the month as a word', () => {
  expect(dateText('2026-11-05', 'month-first')).toBe('Nov 5, 2026');
  expect(dateText('2026-11-05', 'day-first')).toBe('5 Nov 2026');
  expect(dateText('2026-11-05')).toBe('2026-11-05');
});
