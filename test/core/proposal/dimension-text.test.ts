import { describe, expect, it } from 'vitest';
import { lengthsStated, scaleStated } from '../../../core/proposal/dimension-text.ts';

describe('scales that a drawing states', () => {
  it('read as ISO 5455 writes them, with or without the word', () => {
    for (const [text, scale] of [
      ['SCALE 1:50', 50],
      ['Scale: 1 : 10', 10],
      ['1:20', 20],
      ['(1:5)', 5],
      ['M 1:25', 25],
      ['Alder County Library outreach trailer, drawn at 1:10 · Left side', 10],
      ['scale 1/12.5', 12.5],
      ['1/10th scale', 10],
      ['10 % of full size', 10],
      ['Scale: full size', 1],
    ] as const) {
      expect(scaleStated(text), text).toBe(scale);
    }
  });

  /**
   * The scales of an architect's scale with their factors, as published tables of drawing scales give them: 12 divided by
   * the inches that stand for a foot.
   */
  it('read as an architect’s scale has them', () => {
    for (const [text, factor] of [
      ['1/16" = 1\'-0"', 192],
      ['3/32" = 1\'-0"', 128],
      ['1/8" = 1\'-0"', 96],
      ['3/16" = 1\'-0"', 64],
      ['1/4" = 1\'-0"', 48],
      ['3/8" = 1\'-0"', 32],
      ['1/2" = 1\'-0"', 24],
      ['3/4" = 1\'-0"', 16],
      ['1" = 1\'-0"', 12],
      ['1 1/2" = 1\'-0"', 8],
      ['3" = 1\'-0"', 4],
      ['6" = 1\'-0"', 2],
      // Of an engineer's scale: inches for feet, and what sign shops write.
      ['1" = 10\'', 120],
      ['1 inch = 10 inches', 10],
      ['1″ = 1′', 12],
      ['1 cm = 20 cm', 20],
      ['1 mm = 1 cm', 10],
    ] as const) {
      expect(scaleStated(text), text).toBe(factor);
    }
  });

  it('are not read from times, ratios in a sentence, fractions and enlargements', () => {
    for (const text of [
      'Open 1:30 pm',
      'Mix 1:1 with water',
      '1/2 price',
      '24/7',
      '555-0142',
      '10:1',
      'x = y',
    ]) {
      expect(scaleStated(text), text).toBeUndefined();
    }
  });
});

describe('lengths that a drawing states', () => {
  const mm = (text: string) => lengthsStated(text).map((length) => Math.round(length.mm * 100) / 100);

  it('read in millimeters where a dimension line says nothing else, as ISO 129-1 has it', () => {
    expect(mm('6000')).toEqual([6000]);
    expect(mm('L = 13 600')).toEqual([13_600]);
    expect(lengthsStated('6000')[0]!.isUnitGiven).toBe(false);
  });

  it('read with their units, digits in groups or not, point or comma', () => {
    for (const [text, lengths] of [
      ['6,000 × 2,100 mm', [6000, 2100]],
      ['6.000 x 2.100 mm', [6000, 2100]],
      ['finished 7200 × 2300 mm, bleed 70 mm', [7200, 2300]],
      ['6,100 m x 2,450 m', [6100, 2450]],
      ['13,6 m', [13_600]],
      ['4.2 m', [4200]],
      ['420 cm', [4200]],
      ['width 1 234.5 mm', [1234.5]],
      ['1 m', [1000]],
    ] as const) {
      expect(mm(text), text).toEqual(lengths);
    }
  });

  it('read in feet and inches, as ASME drawings and sign shops write them', () => {
    for (const [text, lengths] of [
      ['53\'-0"', [16_154.4]],
      ['53 ft', [16_154.4]],
      ['20\' 6 1/2"', [6261.1]],
      ["8'-6\" x 53'", [2590.8, 16_154.4]],
      ['102"', [2590.8]],
      ['102.5 in', [2603.5]],
      ['7/16"', [11.11]],
      ['12 feet 3 inches', [3733.8]],
    ] as const) {
      expect(mm(text), text).toEqual(lengths);
    }
  });

  it('are none in what is no length', () => {
    for (const text of ['Since 1987!', '555-0142', 'library.example.org', 'M25 exit', '']) {
      expect(mm(text), text).toEqual([]);
    }
  });
});
