import { expect, it } from 'vitest';
import { jpegInkBlocks } from '../../../../core/pdf/images/jpeg-ink-blocks.ts';
import { rawPdf } from '../../../support/raw-pdf.ts';
import { withPdfFile } from '../../../support/tool-renderers.ts';
import { describeWithTools, runTool } from '../../../support/tools.ts';
import { type JpegRecipe, jpegMade } from './jpeg-made.ts';

const FOUR: JpegRecipe = {
  width: 88,
  height: 56,
  sampling: [
    [1, 1],
    [1, 1],
    [1, 1],
    [1, 1],
  ],
  scans: [[0, 1, 2, 3]],
  restartInterval: 0,
  hasWideQuantisation: false,
  adobeTransform: undefined,
  seed: 20261126,
};

describeWithTools(['gs'], 'JPEGs of four inks by the means of their blocks', () => {
  const shapes: readonly (readonly [string, Partial<JpegRecipe>])[] = [
    ['inks as stored', { adobeTransform: 0 }],
    [
      'coarser second and third inks',
      {
        adobeTransform: 0,
        sampling: [
          [2, 2],
          [1, 1],
          [1, 1],
          [2, 2],
        ],
      },
    ],
  ];
  it.each(shapes)('have the mean inks that the device ink_cov tells: %s', (_, shape) => {
    const jpeg = jpegMade({ ...FOUR, ...shape });
    const { across, down, visitBlocks } = jpegInkBlocks(jpeg, 4)!;
    expect([across, down]).toEqual([11, 7]);
    const sums = [0, 0, 0, 0];
    visitBlocks((inks) => {
      for (const [i, ink] of inks.entries()) sums[i]! += Math.min(255, Math.max(0, ink));
    });
    const pdf = rawPdf({
      page: '/MediaBox [0 0 88 56]',
      resources: '/XObject << /I 20 0 R >>',
      content: 'q 88 0 0 56 0 0 cm /I Do Q',
      objects: {
        20: {
          dict: '/Type /XObject /Subtype /Image /Width 88 /Height 56 /ColorSpace /DeviceCMYK /BitsPerComponent 8 /Filter /DCTDecode',
          data: jpeg,
        },
      },
    });
    const told = withPdfFile(pdf, (path) =>
      runTool('gs', [
        '-q',
        '-dNOPAUSE',
        '-dBATCH',
        '-dSAFER',
        '-sDEVICE=ink_cov',
        '-r72',
        '-sOutputFile=-',
        path,
      ]),
    );
    const expected = told.toString().trim().split(/\s+/).slice(0, 4).map(Number);
    for (const ink of [0, 1, 2, 3]) {
      expect(Math.abs((100 * sums[ink]!) / (255 * across * down) - expected[ink]!)).toBeLessThan(1);
    }
  });

  it('are none where the file has other components, or is damaged', () => {
    const three = jpegMade({ ...FOUR, sampling: FOUR.sampling.slice(0, 3), scans: [[0, 1, 2]] });
    expect(jpegInkBlocks(three, 4)).toBeUndefined();
    expect(jpegInkBlocks(three, 3)).toBeDefined();
    expect(jpegInkBlocks(jpegMade(FOUR).subarray(0, 300), 4)).toBeUndefined();
  });
});
