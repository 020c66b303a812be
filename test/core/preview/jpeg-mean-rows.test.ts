import { describe, expect, it } from 'vitest';
import { jpegInkBlocks } from '../../../core/pdf/images/jpeg-ink-blocks.ts';
import { jpegMeanRows } from '../../../core/preview/jpeg-mean-rows.ts';
import { describeWithTools } from '../../support/tools.ts';
import { type JpegRecipe, jpegMade } from '../pdf/images/jpeg-made.ts';
import { jpegSamples, jpegTransformed } from '../pdf/images/jpeg-tools.ts';

const RECIPE: JpegRecipe = {
  width: 83,
  height: 53,
  sampling: [
    [1, 1],
    [1, 1],
    [1, 1],
  ],
  scans: [[0, 1, 2]],
  restartInterval: 3,
  hasWideQuantisation: false,
  adobeTransform: undefined,
  seed: 20261128,
};
const INKS: Partial<JpegRecipe> = {
  sampling: [
    [2, 1],
    [1, 1],
    [1, 1],
    [2, 1],
  ],
  scans: [[0, 1, 2, 3]],
};

async function rowsOf(jpeg: Uint8Array, colorTransform?: number, pieceBytes = 97): Promise<number[]> {
  async function* pieces(): AsyncGenerator<Uint8Array> {
    for (let at = 0; at < jpeg.length; at += pieceBytes) yield jpeg.slice(at, at + pieceBytes);
  }
  const rows: number[] = [];
  for await (const row of jpegMeanRows(pieces(), colorTransform)) rows.push(...row);
  return rows;
}

function inksOf(jpeg: Uint8Array): number[] {
  const values: number[] = [];
  jpegInkBlocks(jpeg, 4)!.visitBlocks((inks) => values.push(...Uint8ClampedArray.from(inks)));
  return values;
}

describe('a JPEG at an eighth of its size, row by row', () => {
  it.each([0, 2] as const)(
    'four inks are those of its blocks, Adobe transform %i',
    async (adobeTransform) => {
      const jpeg = jpegMade({ ...RECIPE, ...INKS, adobeTransform });
      const rows = await rowsOf(jpeg);
      expect(rows).toHaveLength(11 * 7 * 4);
      const furthest = inksOf(jpeg).map((ink, i) => Math.abs(ink - rows[i]!));
      expect(Math.max(...furthest)).toBeLessThanOrEqual(adobeTransform === 0 ? 0 : 2);
    },
  );

  it('the parameter of the filter counts where there is no marker', async () => {
    const jpeg = jpegMade(RECIPE);
    const [asColor, asStored] = [await rowsOf(jpeg), await rowsOf(jpeg, 0)];
    expect(asColor).not.toEqual(asStored);
    expect(await rowsOf(jpeg, 1)).toEqual(asColor);
    const marked = jpegMade({ ...RECIPE, adobeTransform: 0 });
    expect(await rowsOf(marked, 1)).toEqual(await rowsOf(marked, 0));
  });

  it('data that end early are told', async () => {
    const jpeg = jpegMade(RECIPE);
    await expect(rowsOf(jpeg.subarray(0, jpeg.length >> 1))).rejects.toThrow(/JPEG/);
  });
});

describeWithTools(['jpegtran'], 'a JPEG at an eighth of its size against libjpeg-turbo', () => {
  it('is its picture, in one scan or several', async () => {
    const jpeg = jpegMade(RECIPE);
    const small = jpegSamples(jpeg, '-scale', '1/8');
    expect([small.width, small.height, small.channels]).toEqual([11, 7, 3]);
    for (const made of [jpeg, jpegTransformed(jpeg, '-progressive')]) {
      const rows = await rowsOf(made);
      expect(rows).toHaveLength(small.bytes.length);
      const furthest = rows.map((value, i) => Math.abs(value - small.bytes[i]!));
      // Both round luma and chroma before they are mixed.
      expect(Math.max(...furthest)).toBeLessThanOrEqual(3);
    }
  });
});
