import { describe, expect, it } from 'vitest';
import type { ScannedShapes } from '../../../core/checks/scan/schema.ts';
import { mirroredLines } from '../../../core/proposal/mirrored-shapes.ts';
import { letteringBoxes } from '../../../core/seams/lettering-boxes.ts';
import type { SideRaster } from '../../../core/seams/raster.ts';
import { letteredPage } from '../../support/lettered-page.ts';

function mirrored(raster: SideRaster): SideRaster {
  const { width, height, channels, data } = raster;
  const turned = new Uint8Array(data.length);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const [to, from] = [(y * width + x) * channels, (y * width + width - 1 - x) * channels];
      for (let channel = 0; channel < channels; channel++) turned[to + channel] = data[from + channel]!;
    }
  }
  return { ...raster, data: turned };
}

const shapesOf = (raster: SideRaster): readonly ScannedShapes[] =>
  letteringBoxes(raster, undefined, []).map(({ rect, words, strokes, capHeightMm, confidence }) => ({
    area: rect,
    words: [...words],
    strokes: [...strokes],
    capHeightMm,
    isSure: confidence >= 0.75,
  }));

/** Lines at a place, with upright strokes at these shares of their length. */
const line = (x: number, ...places: readonly number[]): ScannedShapes => ({
  area: { x, y: 40, width: 300, height: 30 },
  words: [],
  strokes: places.map((at) => ({ x: x + at * 300 - 2, y: 40, width: 4, height: 30 })),
  capHeightMm: 30,
  isSure: true,
});
const WORDS = [0.02, 0.11, 0.13, 0.27, 0.36, 0.41, 0.44, 0.58, 0.71, 0.77, 0.93];
const MIRRORED = WORDS.map((at) => 1 - at);

describe('lettering that nobody reads', () => {
  it('is told from its mirror image by its strokes, in outlines on any ground', async () => {
    for (const [seed, ground] of [
      [1, 'flat'],
      [3, 'photo'],
      [6, 'graded'],
    ] as const) {
      const { raster } = await letteredPage(seed, ground, 'outlined');
      const [shapes, turned] = [shapesOf(raster), shapesOf(mirrored(raster))];
      expect(mirroredLines(shapes, turned)).toBeGreaterThan(0);
      expect(mirroredLines(shapes, shapes)).toBe(0);
    }
  });

  it('is not called mirrored where the other side shows any of it as it is', () => {
    const other = [0.05, 0.09, 0.2, 0.31, 0.33, 0.47, 0.52, 0.6, 0.66, 0.81, 0.97];
    expect(mirroredLines([line(10, ...WORDS)], [line(70, ...MIRRORED)])).toBe(1);
    const both = [line(10, ...WORDS), line(10, ...other)];
    expect(mirroredLines(both, [line(70, ...MIRRORED), line(70, ...other)])).toBe(0);
  });

  it('needs strokes enough, and lettering that is sure', () => {
    expect(mirroredLines([line(10, ...WORDS.slice(0, 9))], [line(70, ...MIRRORED.slice(0, 9))])).toBe(0);
    const unsure = { ...line(10, ...WORDS), isSure: false };
    expect(mirroredLines([unsure], [line(70, ...MIRRORED)])).toBe(0);
  });
});
