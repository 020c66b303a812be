import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lengthFromText } from '../../../core/measure/length-from-text.ts';
import { type LengthFormat, lengthText, typedLengthText } from '../../../core/measure/length-text.ts';

/** The smallest step that a format can show, in mm. A length read back is at most half a step away. */
const LENGTH_STEP_MM: Readonly<Record<LengthFormat, number>> = {
  mm: 0.1,
  cm: 0.1,
  m: 1,
  in: 25.4 / 16,
  ft: 304.8 / 1000,
  'ft-in': 25.4 / 16,
};

const FORMATS = Object.keys(LENGTH_STEP_MM) as LengthFormat[];
const DEFAULT_UNIT = {
  mm: 'mm',
  cm: 'cm',
  m: 'm',
  in: 'in',
  ft: 'ft',
  'ft-in': 'ft',
} as const;

describe('lengths as text', () => {
  // 53 ft = 16,154.4 mm and 54 in = 1,371.6 mm, recomputed: the international inch is 25.4 mm by definition (1959).
  it.each([
    [1371.6, 'mm', '1371.6 mm'],
    [1371.6, 'cm', '137.16 cm'],
    [1371.6, 'm', '1.372 m'],
    [1371.6, 'in', '54 in'],
    [1371.6, 'ft', '4.5 ft'],
    [1371.6, 'ft-in', `4' 6"`],
    [16_154.4, 'ft-in', `53' 0"`],
    [1079.5, 'ft-in', `3' 6 1/2"`],
    [1079.5, 'in', '42 1/2 in'],
    [11.1125, 'in', '7/16 in'],
    [11.1125, 'ft-in', `7/16"`],
    [25, 'in', '1 in'],
    [0, 'ft-in', `0"`],
    [0.04, 'mm', '0 mm'],
    [-0.04, 'mm', '0 mm'],
    [-0.5, 'ft-in', `0"`],
    [-1079.5, 'ft-in', `-3' 6 1/2"`],
    [-37.26, 'mm', '-37.3 mm'],
    [100.05, 'mm', '100.1 mm'],
    [304.7, 'ft-in', `1' 0"`],
    [1200, 'mm', '1200 mm'],
  ] as const)('LEN1 writes %s mm as %s: %s', (mm, format, text) => {
    expect(lengthText(mm, format).replaceAll('\u00a0', ' ')).toBe(text);
  });

  it('LEN1 breaks no line within inches', () => {
    expect(lengthText(1079.5, 'in')).toBe('42\u00a01/2\u00a0in');
    expect(lengthText(1079.5, 'ft-in')).toBe(`3'\u00a06\u00a01/2"`);
  });

  it('LEN1 shows in a field what no sixteenth of an inch can tell', () => {
    const field = (mm: number, format: LengthFormat) => typedLengthText(mm, format).replaceAll('\u00a0', ' ');
    // 15 ÷ 25.4 = 0.5906; 6.35 mm is a quarter of an inch exactly.
    expect([field(15, 'in'), field(6.35, 'in'), field(15, 'mm')]).toEqual(['0.591 in', '1/4 in', '15 mm']);
  });

  it.each([[Number.NaN], [Number.POSITIVE_INFINITY], [Number.NEGATIVE_INFINITY]])(
    'LEN1 never shows %s',
    (mm) => {
      expect(() => lengthText(mm, 'mm')).toThrow(RangeError);
    },
  );

  it('reads back what it wrote, within half a step of the format', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -99_990_000, max: 99_990_000 }).map((n) => n / 1000),
        fc.constantFrom(...FORMATS),
        (mm, format) => {
          const text = lengthText(mm, format);
          const read = lengthFromText(text, DEFAULT_UNIT[format]);
          expect(read.ok, text).toBe(true);
          if (read.ok)
            expect(Math.abs(read.value - mm)).toBeLessThanOrEqual(LENGTH_STEP_MM[format] / 2 + 1e-6);
        },
      ),
      { numRuns: 2000 },
    );
  });

  it('keeps what can be written exactly', () => {
    fc.assert(
      fc.property(fc.integer({ min: -60_000, max: 60_000 }), fc.constantFrom(...FORMATS), (steps, format) => {
        const mm = steps * LENGTH_STEP_MM[format];
        const read = lengthFromText(lengthText(mm, format), DEFAULT_UNIT[format]);
        expect(read.ok && read.value).toBeCloseTo(mm, 6);
      }),
      { numRuns: 2000 },
    );
  });
});
