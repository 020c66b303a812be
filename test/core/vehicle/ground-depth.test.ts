import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type DepthShape,
  depthProblem,
  developedLength,
  stretchPercent,
} from '../../../core/vehicle/ground-depth.ts';

const shown = (mm: number): string => `${mm} mm`;

describe('the length of a surface', () => {
  it('DEP1 a flat bottom adds its two flanks: 400 mm between flanks of 30 × 40 mm are 500 mm', () => {
    const shape: DepthShape = { kind: 'flat-bottom', depthMm: 40, flankMm: 30 };
    expect(developedLength(shape, 460)).toBeCloseTo(500, 9);
    expect(stretchPercent(500, 460)).toBeCloseTo(8.6957, 4);
    // Half of the first flank, half of the bottom.
    expect(developedLength(shape, 460, { start: 15, end: 230 })).toBeCloseTo(25 + 200, 9);
  });

  it('DEP1 upright flanks count with the part that holds them, once', () => {
    const shape: DepthShape = { kind: 'flat-bottom', depthMm: 35, flankMm: 0 };
    expect(developedLength(shape, 210)).toBeCloseTo(280, 9);
    expect(developedLength(shape, 210, { start: 0, end: 90 })).toBeCloseTo(125, 9);
    expect(developedLength(shape, 210, { start: 90, end: 210 })).toBeCloseTo(155, 9);
  });

  it('DEP1 an arc over a chord is 2 r asin(c / 2r)', () => {
    // FAA-H-8083-31, chapter 4: flats of 0.8, 1.6 and 0.8 in with two bends of 90° and 0.18 in radius need 3.76549 in.
    const chord = 0.18 * Math.SQRT2 * 25.4;
    const bend = developedLength({ kind: 'arc', depthMm: 0.18 * (1 - Math.SQRT1_2) * 25.4 }, chord) / 25.4;
    expect(bend).toBeCloseTo(0.28274, 5);
    expect(0.8 + 1.6 + 0.8 + 2 * bend).toBeCloseTo(3.76549, 5);
    // A half circle is the deepest arc.
    expect(developedLength({ kind: 'arc', depthMm: 75 }, 150)).toBeCloseTo(75 * Math.PI, 9);
  });

  it('DEP1 a profile is summed point by point, flat before its first and after its last point', () => {
    const points = [
      { atMm: 10, depthMm: 0 },
      { atMm: 40, depthMm: 40 },
      { atMm: 52, depthMm: 35 },
      { atMm: 52, depthMm: 0 },
    ];
    expect(developedLength({ kind: 'profile', points }, 70)).toBeCloseTo(10 + 50 + 13 + 35 + 18, 9);
  });

  it('DEP1 a finely measured smooth profile comes to its integral', () => {
    // Simpson's rule over sqrt(1 + y'²) for a wave y = 30 (1 − cos 2πx/400) / 2, 400 mm long and 30 mm deep.
    const slope = (x: number) => ((30 * Math.PI) / 400) * Math.sin((2 * Math.PI * x) / 400);
    const steps = 4000;
    let integral = 0;
    for (let i = 0; i <= steps; i++) {
      const weight = i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2;
      integral += (weight * Math.hypot(1, slope((400 * i) / steps)) * 400) / steps / 3;
    }
    const points = Array.from({ length: 201 }, (_, i) => ({
      atMm: 2 * i,
      depthMm: 15 * (1 - Math.cos((2 * Math.PI * 2 * i) / 400)),
    }));
    expect(Math.abs(developedLength({ kind: 'profile', points }, 400) / integral - 1)).toBeLessThan(1e-5);
  });

  it('DEP1 parts add up to the whole, and no surface is shorter than its drawing', () => {
    const shapes = fc.oneof(
      fc.record({
        kind: fc.constant('flat-bottom' as const),
        depthMm: fc.double({ min: 1, max: 300, noNaN: true }),
        flankMm: fc.double({ min: 0, max: 250, noNaN: true }),
      }),
      fc.record({ kind: fc.constant('arc' as const), depthMm: fc.double({ min: 1, max: 250, noNaN: true }) }),
    );
    fc.assert(
      fc.property(shapes, fc.double({ min: 1, max: 499, noNaN: true }), (shape, cut) => {
        const parts =
          developedLength(shape, 500, { start: 0, end: cut }) +
          developedLength(shape, 500, { start: cut, end: 500 });
        expect(parts).toBeCloseTo(developedLength(shape, 500), 6);
        expect(parts).toBeGreaterThanOrEqual(500);
      }),
    );
  });

  it('a depth that does not fit says why', () => {
    expect(depthProblem({ kind: 'flat-bottom', depthMm: 20, flankMm: 51 }, 100, shown)).toBe(
      'Two flanks of 51 mm are wider than its 100 mm.',
    );
    expect(depthProblem({ kind: 'arc', depthMm: 51 }, 100, shown)).toBe(
      'An arc over 100 mm is at most 50 mm deep; 51 mm was entered.',
    );
    const points = [
      { atMm: 10, depthMm: 0 },
      { atMm: 60, depthMm: 8 },
      { atMm: 40, depthMm: 12 },
    ];
    expect(depthProblem({ kind: 'profile', points }, 100, shown)).toBe(
      'Its profile goes back from 60 mm to 40 mm.',
    );
    expect(depthProblem({ kind: 'profile', points: points.slice(0, 2) }, 50, shown)).toBe(
      'Its profile ends at 60 mm, beyond its 50 mm.',
    );
    expect(depthProblem({ kind: 'profile', points: points.slice(0, 2) }, 60, shown)).toBeUndefined();
  });
});
