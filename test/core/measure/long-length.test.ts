import { describe, expect, it } from 'vitest';
import { lengthFromText } from '../../../core/measure/length-from-text.ts';
import {
  filmLengthText,
  longLengthText,
  rollLengthText,
  viewingDistanceText,
} from '../../../core/measure/long-length.ts';

describe('lengths that run', () => {
  it('LEN6 tells 1,180 inches of film as feet and inches, and 42,730 mm as meters', () => {
    // 98 ft 4 in = 98 × 12 + 4 = 1,180 in; 1,180 × 25.4 = 29,972 mm.
    expect(longLengthText(29_972, 'in')).toBe(`98'\u00a04"`);
    expect(longLengthText(42_730, 'mm')).toBe('42.73 m');
  });

  it('LEN6 keeps shorter runs in the unit of the job', () => {
    // 10 ft = 3,048 mm; 119 in = 3,022.6 mm.
    expect(longLengthText(3022.6, 'in')).toBe('119\u00a0in');
    expect(longLengthText(3048, 'in')).toBe(`10'\u00a00"`);
    expect(longLengthText(9999, 'mm')).toBe('9999 mm');
    expect(longLengthText(10_000, 'mm')).toBe('10 m');
    expect(longLengthText(-3352.8, 'in')).toBe(`-11'\u00a00"`);
  });

  it('LEN6 rounds film up to a tenth of a foot, so that what is cut off the roll is enough', () => {
    // 29,972 mm = 98.333 ft; 32,644.08 mm = 107.1 ft exactly.
    expect(filmLengthText(29_972, 'in')).toBe('98.4 ft');
    expect(filmLengthText(32_644.08, 'in')).toBe('107.1 ft');
    expect(filmLengthText(1270, 'in')).toBe('50\u00a0in');
    expect(filmLengthText(29_972, 'mm')).toBe('29.972 m');
  });

  it('LEN6 promises no film that is not on the roll', () => {
    // 50 m = 164.04 ft; 150 ft = 45.72 m.
    expect(rollLengthText(50_000, 'in')).toBe('164 ft');
    expect(rollLengthText(49_990, 'in')).toBe('164 ft');
    expect(rollLengthText(45_720, 'in')).toBe('150 ft');
    expect(rollLengthText(45_720, 'mm')).toBe('45.72 m');
  });

  it('LEN6 rounds how far people stand to a tenth of a foot', () => {
    // 3 m = 9.843 ft.
    expect([viewingDistanceText(3000, 'in'), viewingDistanceText(3000, 'mm')]).toEqual([`9.8 ft`, '3 m']);
  });

  it('LEN6 gives text that can be typed back, to half a sixteenth of an inch or half a millimeter', () => {
    for (const mm of [840, 3050.3, 9_999.4, 36_657.7, 45_720, 50_000]) {
      for (const unit of ['mm', 'in'] as const) {
        const read = lengthFromText(longLengthText(mm, unit), unit);
        expect(read.ok && Math.abs(read.value - mm)).toBeLessThanOrEqual(25.4 / 32 + 1e-9);
      }
    }
  });
});
