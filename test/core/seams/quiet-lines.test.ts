import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  busyMeters,
  busyMetersAt,
  energyAlong,
  energyWithin,
  pictureEnergyFromBusy,
  registerBand,
} from '../../../core/seams/picture-energy.ts';
import { pictureEnergyFromRaster, quietLines } from '../../../core/seams/quiet-lines.ts';
import { BadRaster, type SideRaster } from '../../../core/seams/raster.ts';
import { numberStream } from '../../support/lettered-art.ts';

/** 25.4 ppi: a pixel is a millimeter, so that pixels and positions are the same numbers. */
function grayRaster(width: number, height: number, value: (x: number, y: number) => number): SideRaster {
  const data = Uint8Array.from({ length: width * height }, (_, i) => value(i % width, Math.floor(i / width)));
  return { width, height, channels: 1, data, ppi: 25.4 };
}

const LAP = { first: 12, second: 12 };

describe('quiet lines', () => {
  it('a full edge along a seam reads as its length, and nothing elsewhere', () => {
    // Dark to light at x = 137; Sobel sees it in the two columns beside the edge.
    const energy = pictureEnergyFromRaster(grayRaster(400, 210, (x) => (x < 137 ? 20 : 230)));
    const { busyMeters: busy } = quietLines(energy, 'vertical', 0, 210, LAP, 1);
    expect(busy).toHaveLength(401);
    // Two full columns of 210 mm in a band of 24 mm.
    expect(busy[137]).toBeCloseTo((0.21 * 2) / 24, 6);
    expect(busy[137 - 14]).toBe(0);
    expect(busy[137 + 14]).toBe(0);
    // A horizontal seam crosses the edge once, wherever it lies.
    const across = quietLines(energy, 'horizontal', 0, 400, LAP, 1).busyMeters;
    expect(across[80]).toBeCloseTo(0.002, 6);
    expect(across[150]).toBeCloseTo(0.002, 6);
  });

  it('even grain reads as quiet, and an edge under grain is still found where it is', () => {
    const next = numberStream(5);
    const grain = () => (next() - 0.5) * 16;
    const noisy = pictureEnergyFromRaster(grayRaster(500, 200, () => 120 + grain()));
    const clean = quietLines(noisy, 'vertical', 0, 200, LAP, 1).busyMeters;
    expect(Math.max(...clean)).toBeLessThan(0.002);
    const edged = pictureEnergyFromRaster(grayRaster(500, 200, (x) => (x < 311 ? 60 : 160) + grain()));
    const busy = quietLines(edged, 'vertical', 0, 200, LAP, 1).busyMeters;
    const peak = busy.indexOf(Math.max(...busy));
    expect(Math.abs(peak - 311)).toBeLessThanOrEqual(12);
    expect(busy[311]!).toBeGreaterThan(10 * busy[250]!);
  });

  it('sees colors of the same gray, and film under transparency as white', () => {
    const rgba = new Uint8Array(60 * 40 * 4);
    for (let i = 0; i < 60 * 40; i++) {
      // Rec. 709 gray of both halves is 96.
      const color = i % 60 < 30 ? [255, 58, 0, 255] : [0, 134, 0, 255];
      rgba.set(color, 4 * i);
    }
    const energy = pictureEnergyFromRaster({ width: 60, height: 40, channels: 4, data: rgba, ppi: 25.4 });
    expect(quietLines(energy, 'vertical', 0, 40, LAP, 1).busyMeters[30]).toBeGreaterThan(0.003);
    const clear = pictureEnergyFromRaster({
      width: 60,
      height: 40,
      channels: 4,
      data: rgba.map((value, i) => (i % 4 === 3 ? 0 : value)),
      ppi: 25.4,
    });
    expect(energyWithin(clear, 0, 0, 60, 40)).toBe(0);
  });

  it('sums over any rectangle are those of its pixels, added one by one', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 2, max: 12 }),
        fc.integer({ min: 2, max: 9 }),
        fc.array(fc.float({ min: 0, max: 1, noNaN: true }), { minLength: 108, maxLength: 108 }),
        fc.tuple(fc.nat(12), fc.nat(12), fc.nat(9), fc.nat(9)),
        (columns, rows, values, [x0, x1, y0, y1]) => {
          const cell = 3.5;
          const energy = pictureEnergyFromBusy(
            Float32Array.from(values.slice(0, columns * rows)),
            columns,
            rows,
            cell,
          );
          const [left, right] = [Math.min(x0, x1, columns), Math.min(Math.max(x0, x1), columns)];
          const [top, bottom] = [Math.min(y0, y1, rows), Math.min(Math.max(y0, y1), rows)];
          let sum = 0;
          for (let y = top; y < bottom; y++) {
            for (let x = left; x < right; x++) sum += values[y * columns + x]! * cell * cell;
          }
          const read = energyWithin(energy, left * cell, top * cell, right * cell, bottom * cell);
          expect(read).toBeCloseTo(sum, 6);
        },
      ),
    );
  });

  it('one seam alone and the same seam in a profile read the same, between pixels too', () => {
    const next = numberStream(23);
    const busy = Float32Array.from({ length: 40 * 30 }, () => next());
    const energy = pictureEnergyFromBusy(busy, 40, 30, 4);
    for (const axis of ['vertical', 'horizontal'] as const) {
      for (const at of [0, 13.25, 57.5, 100, 119]) {
        const place = { axis, at, from: 10.5, to: 91 };
        const along = energyAlong(energy, axis, place.from, place.to);
        const band = registerBand(25, 65);
        expect(busyMeters(energy, place, 25, 65)).toBeCloseTo(busyMetersAt(along, 4, at, band), 9);
      }
    }
  });

  it('a rendering that does not agree with its size is refused', () => {
    const raster = { width: 10, height: 10, channels: 4, data: new Uint8Array(100), ppi: 10 } as const;
    expect(() => pictureEnergyFromRaster(raster)).toThrow(BadRaster);
    expect(() => pictureEnergyFromRaster({ ...raster, channels: 1, ppi: 0 })).toThrow(BadRaster);
  });
});
