import { describe, expect, it } from 'vitest';
import { type Rect, rectIntersection } from '../../../core/measure/rect.ts';
import { letteringBoxes } from '../../../core/seams/lettering-boxes.ts';
import { letteredArt } from '../../support/lettered-art.ts';

const areaOf = (r: Rect | undefined) => (r ? r.width * r.height : 0);

/** A line of lettering is found when boxes cover most of it; a box is right when most of it is lettering. */
function score(grounds: ('flat' | 'graded' | 'photo')[], grain: number, seeds: number) {
  const counts = { lines: 0, found: 0, boxes: 0, right: 0 };
  for (const ground of grounds) {
    for (let seed = 1; seed <= seeds; seed++) {
      const { raster, truth } = letteredArt(seed, ground, grain);
      const boxes = letteringBoxes(raster).map(({ rect }) => rect);
      counts.lines += truth.length;
      counts.boxes += boxes.length;
      for (const line of truth) {
        const covered = boxes.reduce((sum, box) => sum + areaOf(rectIntersection(box, line)), 0);
        if (covered > 0.7 * areaOf(line)) counts.found++;
      }
      for (const box of boxes) {
        const lettered = truth.reduce((sum, line) => sum + areaOf(rectIntersection(box, line)), 0);
        if (lettered > 0.5 * areaOf(box)) counts.right++;
      }
    }
  }
  return { ...counts, recall: counts.found / counts.lines, precision: counts.right / counts.boxes };
}

describe('lettering in a picture', () => {
  for (const ground of ['flat', 'graded', 'photo'] as const) {
    it(`SP21 is found on a ${ground} ground`, () => {
      const result = score([ground], 0, 5);
      expect(result.recall).toBeGreaterThan(ground === 'photo' ? 0.8 : 0.9);
      expect(result.precision).toBeGreaterThan(0.8);
    });
  }
  it('SP21 is found under grain, as in a rasterised photograph', () => {
    const result = score(['graded'], 12, 4);
    expect(result.recall).toBeGreaterThan(0.9);
    expect(result.precision).toBeGreaterThan(0.8);
  });
});
