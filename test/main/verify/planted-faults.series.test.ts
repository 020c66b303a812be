/** Five hundred faults put into right panels, each by itself in its panel: each is found. */
import { rmSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { random } from '../../core/pdf/images/jpeg-made.ts';
import { seriesLength, seriesSeed } from '../../support/series.ts';
import { type OutputCopy, WrittenOutput } from './damaged-output.ts';
import { plantedArtwork } from './planted-art.ts';
import { PLANTED } from './planted-faults.ts';

let output: WrittenOutput;
beforeAll(async () => {
  output = await WrittenOutput.made(plantedArtwork());
});
afterAll(() => output.remove());

/** Two at a time, one in each panel. */
const COUNT = seriesLength(3, 250);
/** The sample takes kinds from all over the list. */
const STEP = Math.max(1, Math.floor(PLANTED.length / Math.min(2 * COUNT, PLANTED.length)));

describe('planted faults', () => {
  it('are not there to begin with', async () => {
    expect((await output.copy().verified()).faults).toEqual([]);
  });

  it.each(Array.from({ length: COUNT }, (_, index) => index))('are found: %i', async (index) => {
    const chance = random(seriesSeed() + index);
    const copy = output.copy();
    try {
      const planted = [await plant(copy, 0, 2 * index, chance), await plant(copy, 1, 2 * index + 1, chance)];
      const { faults } = await copy.verified();
      for (const [panel, said] of planted.entries()) {
        const { label } = copy.manifest.panels[panel]!;
        const isFound = faults.some(({ panels }) => panels.length === 1 && panels[0] === label);
        expect({ said, isFound, faults: isFound ? [] : faults }).toEqual({
          said,
          isFound: true,
          faults: [],
        });
      }
    } finally {
      rmSync(copy.folder, { recursive: true });
    }
  });
});

/** The next fault of the list that the panel can have. */
async function plant(copy: OutputCopy, panel: number, index: number, chance: () => number): Promise<string> {
  let said: string | undefined;
  for (let kind = index * STEP; said === undefined; kind++) {
    const planting = {
      panel: copy.manifest.panels[panel]!,
      neighbor: copy.manifest.panels[1 - panel]!,
      chance,
    };
    await copy.edit(panel, (parts) => {
      said = PLANTED[kind % PLANTED.length]!(parts, planting);
    });
  }
  return said;
}
