import { describe, expect, it } from 'vitest';
import { letteringBoxes } from '../../../core/seams/lettering-boxes.ts';
import { LETTERING_WAYS, letteringScore } from '../../support/lettering-score.ts';

describe('lettering in a picture', () => {
  it.each([
    ['flat', 0, 0.9],
    ['graded', 0, 0.9],
    ['photo', 0, 0.8],
    ['graded', 12, 0.9],
  ] as const)('SP21 is found on a %s ground with grain of %d levels', async (ground, grain, leastRecall) => {
    const { recall, precision } = await letteringScore(ground, grain, 4);
    expect(recall).toBeGreaterThan(leastRecall);
    expect(precision).toBeGreaterThan(0.8);
  });

  it.each(LETTERING_WAYS)('SP21 is found in artwork where it is %s', async (way) => {
    const { recall, precision } = await letteringScore('graded', 0, 2, way);
    expect(recall).toBeGreaterThan(0.9);
    expect(precision).toBeGreaterThan(0.8);
  });

  it('SP21 a blank picture has none', () => {
    const blank = {
      width: 300,
      height: 200,
      channels: 1,
      data: new Uint8Array(60_000).fill(200),
      ppi: 10,
    } as const;
    expect(letteringBoxes(blank)).toEqual([]);
  });
});
