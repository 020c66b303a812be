import { expect, it } from 'vitest';
import { printsText } from '../../../core/output/used-roll.ts';

it('panels on a roll are named once, with how many prints of each lie on it', () => {
  expect(printsText(['DS-01', 'DS-05', 'DS-01', 'TR-03', 'DS-05', 'DS-01'])).toBe(
    'DS-01 × 3, DS-05 × 2, TR-03',
  );
  expect(printsText([])).toBe('');
});
