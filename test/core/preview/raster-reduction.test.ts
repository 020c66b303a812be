import { describe, expect, it } from 'vitest';
import { RasterReduction } from '../../../core/preview/raster-reduction.ts';
import { sampleTaps } from '../../../core/preview/sample-taps.ts';
import { type Raster, rasterMade, rasterRows } from '../pdf/images/raster-made.ts';

const SHAPE = { width: 10, height: 6, components: 2 };

function reduced(raster: Raster, size: { width: number; height: number }, kind: 'mean' | 'pick'): number[] {
  const { width, height, components, bits } = raster;
  const layout = { components, bitsPerComponent: bits, columns: width };
  const reduction = new RasterReduction({ layout, rows: height, extent: { width, height } }, size, kind);
  for (const row of rasterRows(raster)) if (!reduction.isDone) reduction.push(row);
  expect(reduction.isDone).toBe(true);
  return [...reduction.output.view()];
}

/** The value grows by `x` along a row, by 10 `y` down, and by 3 for the second component. */
const slope = (bits: number, of: number): Raster => ({
  ...SHAPE,
  bits,
  samples: Array.from({ length: 120 }, (_, i) => {
    const [component, x, y] = [i % 2, Math.floor(i / 2) % 10, Math.floor(i / 20)];
    return (x + 10 * y + 3 * component) * of;
  }),
});

describe('a raster made smaller', () => {
  it('samples lie over the same square, whatever the ratio of sizes', () => {
    expect([...sampleTaps(10, 10, 4, 4).places]).toEqual([0, 1, 3, 4, 5, 6, 8, 9]);
    expect([...sampleTaps(10, 10, 4, 1).places]).toEqual([1, 3, 6, 8]);
    expect([...sampleTaps(12, 12, 2, 4).places]).toEqual([0, 2, 3, 5, 6, 8, 9, 11]);
    expect([...sampleTaps(12, 12, 2, 16).places]).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]);
    // Ten pixels and a half of which eleven are stored: the last is half padding.
    expect([...sampleTaps(10.5, 11, 5, 4).places]).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9]);
  });

  it('means of eight bits, by hand', () => {
    // Columns 0 1 | 3 4 | 5 6 | 8 9 and rows 0 1 2 | 3 4 5.
    expect(reduced(slope(8, 1), { width: 4, height: 2 }, 'mean')).toEqual([
      11, 14, 14, 17, 16, 19, 19, 22, 41, 44, 44, 47, 46, 49, 49, 52,
    ]);
  });

  it('of sixteen bits the upper eight count', () => {
    expect(reduced(slope(16, 256), { width: 4, height: 2 }, 'mean')).toEqual(
      reduced(slope(8, 1), { width: 4, height: 2 }, 'mean'),
    );
  });

  it.each([1, 2, 3, 4, 5])('means of %i components are taken component by component', (components) => {
    const shape = { width: 11, height: 7, components, bits: 8 };
    const raster = rasterMade(shape, components);
    const size = { width: 3, height: 2 };
    const [across, down] = [sampleTaps(11, 11, 3, 4), sampleTaps(7, 7, 2, 4)];
    const expected = Array.from({ length: size.width * size.height * components }, (_, i) => {
      const [c, x, y] = [i % components, Math.floor(i / components) % 3, Math.floor(i / components / 3)];
      const taken = [...down.places.slice(y * down.taps, (y + 1) * down.taps)].flatMap((row) =>
        [...across.places.slice(x * across.taps, (x + 1) * across.taps)].map(
          (column) => raster.samples[(row * 11 + column) * components + c]!,
        ),
      );
      return Math.floor(taken.reduce((sum, sample) => sum + sample, 0) / taken.length + 0.5);
    });
    expect(reduced(raster, size, 'mean')).toEqual(expected);
  });

  it.each([1, 2, 4])('means of %i bits have eight', (bits) => {
    const most = 2 ** bits - 1;
    const halves: Raster = {
      width: 8,
      height: 2,
      components: 1,
      bits,
      samples: [0, 0, most, most, 0, most, most, 0, 0, 0, most, most, most, 0, most, most],
    };
    expect(reduced(halves, { width: 4, height: 1 }, 'mean')).toEqual([0, 255, 128, 191]);
  });

  it.each([1, 2, 4, 8, 16])('pixels of %i bits are picked as they are', (bits) => {
    const raster: Raster = {
      ...SHAPE,
      bits,
      samples: Array.from({ length: 120 }, (_, i) => (i * 7 + (i >> 3)) % 2 ** bits),
    };
    const columns = [1, 3, 6, 8];
    const rows = [1, 4];
    const samples = rows.flatMap((y) =>
      columns.flatMap((x) => [raster.samples[(y * 10 + x) * 2]!, raster.samples[(y * 10 + x) * 2 + 1]!]),
    );
    const expected = rasterRows({ ...raster, width: 4, height: 2, samples });
    expect(reduced(raster, { width: 4, height: 2 }, 'pick')).toEqual(expected.flatMap((row) => [...row]));
  });
});
