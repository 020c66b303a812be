import { describe, expect, it } from 'vitest';
import {
  type FigureUnit,
  figureLabel,
  figureShown,
  figureStored,
} from '../../../core/measure/figure-units.ts';

describe('figures of the shop in feet', () => {
  it('are converted exactly, as NIST SP 811 defines the foot', () => {
    // 1 ft² = 0.09290304 m²: 2.50 for a square foot is 2.5 ÷ 0.09290304 = 26.909776 for a square meter.
    expect(figureStored(2.5, 'per m²', 'in')).toBeCloseTo(26.909776, 6);
    expect(figureShown(15, 'm²', 'in')).toBeCloseTo(161.458656, 6);
    expect(figureShown(60, 'm', 'in')).toBeCloseTo(196.850394, 6);
    expect(figureShown(3, 'per m', 'in')).toBeCloseTo(0.9144, 12);
    expect(figureShown(1500, 'mm', 'in')).toBeCloseTo(59.055118, 6);
    expect([figureShown(14, 'per m²', 'mm'), figureStored(14, 'per m²', 'mm')]).toEqual([14, 14]);
  });

  it('show again what was typed, to twelve figures', () => {
    for (const of of ['mm', 'm', 'm²', 'per m', 'per m²'] satisfies FigureUnit[])
      for (const typed of [2.5, 0.07, 1.3, 19.99, 45, 999_999])
        expect(figureShown(figureStored(typed, of, 'in'), of, 'in') / typed).toBeCloseTo(1, 12);
  });

  it('are named in their unit', () => {
    const labels = ['Film, a m²', 'minutes a meter', 'Laminating, m an hour', 'lost at each start, mm'];
    expect(labels.map((label) => figureLabel(label, 'in'))).toEqual([
      'Film, a ft²',
      'minutes a foot',
      'Laminating, ft an hour',
      'lost at each start, in',
    ]);
    expect(labels.map((label) => figureLabel(label, 'mm'))).toEqual(labels);
  });
});
