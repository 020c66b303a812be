import { describe, expect, it } from 'vitest';
import { scaleFromMeasurement, scaleSet } from '../../../../core/job/edits/edits.ts';
import { regionJoints } from '../../../../core/job/region.ts';
import { edited, jobSample, jobWithSide, lap, panel, split } from '../sample-job.ts';

const positions = (job: ReturnType<typeof jobSample>) =>
  regionJoints(job.sides[0]!.layout).map(({ atMm }) => atMm);

describe('scale', () => {
  it('SC1 moves seams with the artwork, and leaves widths of film alone', () => {
    const before = jobWithSide({
      bodyLines: [
        {
          id: 'b1',
          name: 'Belt',
          kind: 'crease',
          direction: 'horizontal',
          atMm: 905,
          extent: { fromMm: 100, toMm: 2350 },
        },
      ],
      noFilmAreas: [
        {
          id: 'o1',
          name: 'Window',
          kind: 'window',
          rect: { xMm: 210, yMm: 230, widthMm: 870, heightMm: 560 },
          clearanceMm: 20,
        },
      ],
    });
    const after = edited(scaleSet(before, { scale: 20 }));
    expect(positions(after)).toEqual([2580, 5420, 1780]);
    expect(regionJoints(after.sides[0]!.layout)[0]).toMatchObject({ firstMm: 14, secondMm: 11 });
    expect(after.sides[0]!.bodyLines[0]).toMatchObject({ atMm: 1810, extent: { fromMm: 200, toMm: 4700 } });
    expect(after.sides[0]!.noFilmAreas[0]).toMatchObject({
      rect: { xMm: 420, yMm: 460, widthMm: 1740, heightMm: 1120 },
      clearanceMm: 20,
    });
    expect(after.sides[0]!.bleed).toEqual(before.sides[0]!.bleed);
  });

  it('SC1 keeps seams at their distance on the vehicle when asked, unless they would leave it', () => {
    expect(positions(edited(scaleSet(jobSample(), { scale: 10.2, positions: 'keep' })))).toEqual([
      1290, 2710, 890,
    ]);
    expect(scaleSet(jobSample(), { scale: 4, positions: 'keep' })).toMatchObject({
      problem: { code: 'seam-outside-region' },
    });
  });

  it.each([[0], [-10], [Number.NaN], [Number.POSITIVE_INFINITY]])('SC1 refuses the scale %s', (scale) => {
    for (const how of ['keep', 'with-artwork'] as const) {
      expect(scaleSet(jobSample(), { scale, positions: how })).toMatchObject({
        ok: false,
        problem: { code: 'job-field' },
      });
    }
  });

  it('finds the scale from a measured length, and says how far the present one is off', () => {
    // 88 and 105 apart: √(88² + 105²) = 137 mm drawn. 1374 ÷ 137 = 10.0292; 10 makes it 0.29 % too short.
    const read = scaleFromMeasurement(
      { scale: 10.5 },
      { from: { x: 40, y: 30 }, to: { x: 128, y: 135 }, finishedMm: 1374 },
    );
    expect(read).toMatchObject({ ok: true });
    if (!read.ok) return;
    expect(read.value.drawnMm).toBeCloseTo(137, 9);
    expect(read.value.scale).toBeCloseTo(10.029197, 6);
    expect(read.value.presentErrorPercent).toBeCloseTo(4.694323, 5);
    expect(read.value.whole.scale).toBe(10);
    expect(read.value.whole.errorPercent).toBeCloseTo(-0.291121, 5);
    expect(read.value.text).toBe('The measure gives 1:10.0292; 1:10 would make it 0.29 % too short.');
  });

  it('refuses two points at one place and a length that is none', () => {
    const from = { x: 40, y: 30 };
    expect(scaleFromMeasurement({ scale: 10 }, { from, to: from, finishedMm: 7 })).toMatchObject({
      problem: { code: 'points-together' },
    });
    for (const finishedMm of [0, -3, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(scaleFromMeasurement({ scale: 10 }, { from, to: { x: 1, y: 2 }, finishedMm })).toMatchObject({
        problem: { code: 'measure-not-positive' },
      });
    }
    expect(scaleFromMeasurement({ scale: 10 }, { from, to: { x: Number.NaN, y: 2 }, finishedMm: 5 }).ok).toBe(
      false,
    );
  });

  it('SC1 a layout of any scale stays sound when the scale changes', () => {
    const job = jobWithSide({
      layout: split(
        'vertical',
        [lap('j1', 1e-3), lap('j2', 6129.999)],
        [panel('p1'), panel('p2'), panel('p3')],
      ),
    });
    for (const scale of [9.7, 11.3, 100]) expect(scaleSet(job, { scale }).ok).toBe(true);
  });
});
