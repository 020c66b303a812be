import { describe, expect, it } from 'vitest';
import { jpegAverages } from '../../../../core/pdf/images/jpeg-averages.ts';
import { resultValue } from '../../../support/panel-check.ts';
import { describeWithTools } from '../../../support/tools.ts';
import { type JpegRecipe, jpegMade } from './jpeg-made.ts';
import { jpegSamples, jpegTransformed } from './jpeg-tools.ts';

const RECIPE: JpegRecipe = {
  width: 88,
  height: 56,
  sampling: [[1, 1]],
  scans: [[0]],
  restartInterval: 0,
  hasWideQuantisation: false,
  adobeTransform: undefined,
  seed: 20261125,
};
const THREE: readonly (readonly [number, number])[] = [
  [2, 2],
  [1, 1],
  [1, 1],
];
/** Means of all components at the top left of their padding, the first component's rows by columns. */
function plane(jpeg: Uint8Array, component: number, columns: number, rows: number): number[] {
  const { blocksAcross, means } = resultValue(jpegAverages(jpeg)).components[component]!;
  return Array.from({ length: columns * rows }, (_, i) =>
    Math.round(means[Math.floor(i / columns) * blocksAcross + (i % columns)]!),
  );
}

describeWithTools(['jpegtran'], 'means of 8 × 8 samples against libjpeg-turbo', () => {
  const SHAPES: readonly (readonly [string, Partial<JpegRecipe>])[] = [
    ['one component', {}],
    ['restart markers and 16-bit tables', { restartInterval: 3, hasWideQuantisation: true }],
    ['a width and height of no whole block', { width: 83, height: 49 }],
  ];
  it.each(SHAPES)('equal its picture at an eighth of the size: %s', (_, shape) => {
    const jpeg = jpegMade({ ...RECIPE, ...shape });
    for (const made of [jpeg, jpegTransformed(jpeg, '-progressive'), jpegTransformed(jpeg, '-optimize')]) {
      const small = jpegSamples(made, '-scale', '1/8');
      expect([small.width, small.height]).toEqual([11, 7]);
      expect(plane(made, 0, 11, 7)).toEqual([...small.bytes]);
    }
  });

  it('are the same however the components are sampled and laid out in scans', () => {
    const sampled = { ...RECIPE, sampling: THREE };
    const together = jpegMade({ ...sampled, scans: [[0, 1, 2]] });
    const progressive = jpegTransformed(together, '-progressive');
    const { components, frame } = resultValue(jpegAverages(together));
    expect(frame.components.map(({ blocksWide }) => blocksWide)).toEqual([11, 6, 6]);
    expect(components.map(({ blocksAcross }) => blocksAcross)).toEqual([12, 6, 6]);
    expect(resultValue(jpegAverages(progressive)).components[2]).toEqual(components[2]);
    // The first component is luma, which djpeg gives by itself.
    const luma = jpegSamples(together, '-scale', '1/8', '-grayscale');
    expect(plane(together, 0, 11, 7)).toEqual([...luma.bytes]);
    expect(plane(progressive, 0, 11, 7)).toEqual([...luma.bytes]);
    const apart = jpegMade({ ...sampled, scans: [[1], [0], [2]] });
    const lumaApart = jpegSamples(apart, '-scale', '1/8', '-grayscale');
    expect(plane(apart, 0, 11, 7)).toEqual([...lumaApart.bytes]);
  });
});

describe('data that cannot be read', () => {
  it('are a problem, not a guess', () => {
    const jpeg = jpegMade(RECIPE);
    expect(jpegAverages(jpeg.subarray(0, jpeg.length - 40))).toMatchObject({ ok: false });
    expect(jpegAverages(Uint8Array.of(0xff, 0xd8, 0xff, 0xd9))).toMatchObject({ ok: false });
    const withoutTable = jpeg.slice();
    withoutTable[withoutTable.indexOf(0xdb)] = 0xfe;
    expect(jpegAverages(withoutTable)).toMatchObject({ ok: false });
  });
});
