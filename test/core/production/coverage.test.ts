import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { coverageFindings, coverageOfRaster, type InkRaster } from '../../../core/production/coverage.ts';
import { breakable } from '../../support/breakable.ts';

/** Plates of one even tone each, in percent. */
const evenRaster = (
  width: number,
  height: number,
  ppi: number,
  tones: Record<string, number>,
): InkRaster => ({
  width,
  height,
  ppi,
  totals: new Uint16Array(width * height).fill(
    Object.values(tones).reduce((sum, percent) => sum + Math.round(percent * 2.55), 0),
  ),
});

describe('total area coverage', () => {
  // The tone value sum of ISO 12647-1 (term from memory): 40 + 30 + 20 + 15 = 105 %.
  it('is the sum of the plates: 40/30/20/15 gives 105 %', () => {
    const coverage = coverageOfRaster(
      evenRaster(37, 23, 72, { cyan: 40, magenta: 30, yellow: 20, black: 15 }),
    );
    // 30 % and 15 % fall between two of 255 steps: half a step on each plate, 0.8 % on four, is the rounding.
    expect(Math.abs(coverage.meanPercent - 105)).toBeLessThan(0.4);
    expect(coverage.worstPercent).toBeCloseTo(coverage.meanPercent, 9);
  });

  it('is exact for tones that are whole steps, and counts a spot plate among them', () => {
    const four = { cyan: 40, magenta: 20, yellow: 60, black: 80 };
    expect(coverageOfRaster(evenRaster(11, 7, 72, four)).meanPercent).toBeCloseTo(200, 9);
    expect(coverageOfRaster(evenRaster(11, 7, 72, { ...four, orange: 100 })).meanPercent).toBeCloseTo(300, 9);
    const full = { cyan: 100, magenta: 100, yellow: 100, black: 100 };
    expect(coverageOfRaster(evenRaster(5, 3, 30, full)).meanPercent).toBeCloseTo(400, 9);
  });

  it('PR2 one dark pixel does not reach the limit that a dark patch of 15 mm² does', () => {
    const width = 120;
    const height = 90;
    const totals = new Uint16Array(width * height);
    totals[41 * width + 67] = 255;
    const hot = coverageOfRaster({ width, height, ppi: 100, totals });
    expect(hot.windowMm2).toBeGreaterThanOrEqual(15);
    expect(hot.worstPercent).toBeLessThan(0.5);
    // A patch of 4 mm × 4 mm at 100 ppi: 16 pixels a side, its corner at (50, 30).
    for (let y = 30; y < 46; y++) totals.fill(255, y * width + 50, y * width + 66);
    const patch = coverageOfRaster({ width, height, ppi: 100, totals });
    expect(patch.worstPercent).toBeCloseTo(100, 9);
    expect(patch.worstAt.xMm).toBeCloseTo(50 * 0.254, 9);
    expect(patch.worstAt.yMm).toBeCloseTo(30 * 0.254, 9);
  });

  it('PR2 finds the same worst window as looking at each one separately', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 17 }),
        fc.integer({ min: 1, max: 13 }),
        fc.constantFrom(5, 14, 25, 40),
        fc.infiniteStream(fc.integer({ min: 0, max: 510 })),
        (width, height, ppi, stream) => {
          const totals = Uint16Array.from({ length: width * height }, () => stream.next().value as number);
          const coverage = coverageOfRaster({ width, height, ppi, totals });
          const side = Math.ceil(Math.sqrt(15) / (25.4 / ppi));
          const [across, down] = [Math.min(side, width), Math.min(side, height)];
          let worst = 0;
          for (let y = 0; y + down <= height; y++) {
            for (let x = 0; x + across <= width; x++) {
              let sum = 0;
              for (let dy = 0; dy < down; dy++) {
                for (let dx = 0; dx < across; dx++) sum += totals[(y + dy) * width + x + dx]!;
              }
              worst = Math.max(worst, sum / (across * down) / 2.55);
            }
          }
          expect(coverage.worstPercent).toBeCloseTo(worst, 9);
        },
      ),
    );
  });

  it('PR2 says where a panel is over the limit, in the unit of the job, and which others are', () => {
    const panel = (label: string, worstPercent: number) => ({
      panelId: label.toLowerCase(),
      label,
      worstPercent,
      worstAt: { xMm: 1270, yMm: 63.5 },
    });
    const panels = [panel('LH-02', 301), panel('LH-03', 322.4), panel('LH-04', 260)];
    expect(coverageFindings(panels, 330, 'mm')).toEqual([]);
    expect(coverageFindings(panels, 300, 'mm')).toMatchObject([
      {
        code: 'coverage-over-limit',
        severity: 'warn',
        where: { panelId: 'lh-03' },
        message:
          'LH-03 reaches about 322 % total area coverage in the file, 1270 mm from the left, 64 mm from the top of its image; the limit is 300 %; also above it: LH-02.',
      },
    ]);
    expect(breakable(coverageFindings(panels, 300, 'in')[0]!.message)).toContain(
      '50 in from the left, 2 1/2 in from the top',
    );
  });

  it('PR2 an estimate that is above the limit by less than it may be off is a note', () => {
    const panel = (worstPercent: number) => ({
      panelId: 'p',
      label: 'LH-01',
      worstPercent,
      worstAt: { xMm: 0, yMm: 0 },
    });
    expect(coverageFindings([panel(314)], 300, 'mm')[0]!.severity).toBe('note');
    expect(coverageFindings([panel(316)], 300, 'mm')[0]!.severity).toBe('warn');
  });

  it('PR2 a part of a raster is measured by itself', () => {
    const totals = Uint16Array.from({ length: 11 * 7 }, (_, at) => (at % 11 >= 4 ? 255 : 0));
    const whole = { width: 11, height: 7, ppi: 25.4, totals };
    const coverage = coverageOfRaster(whole, { x: 2, y: 1, width: 5, height: 4 });
    expect(coverage.meanPercent).toBeCloseTo(60, 9);
    expect(coverage.worstAt).toEqual({ xMm: 1, yMm: 0 });
  });

  it('a raster that contradicts itself is refused', () => {
    const totals = new Uint16Array(11);
    expect(() => coverageOfRaster({ width: 4, height: 3, ppi: 72, totals })).toThrow('11 pixels, not 12.');
    expect(() => coverageOfRaster({ width: 0, height: 3, ppi: 72, totals })).toThrow('has no coverage');
  });
});
