/** Ink sums of JPEG pictures against MuPDF, which unpacks them to CMYK. */
import { expect, it } from 'vitest';
import { INK_STEP_PERCENT } from '../../../core/checks/scan/schema.ts';
import { DEFAULT_ARTWORK_LIMITS } from '../../../core/shop/artwork-limits.ts';
import { describeWithTools } from '../../support/tools.ts';
import { type JpegRecipe, jpegMade } from '../pdf/images/jpeg-made.ts';
import { pdfMade, pdfPixels } from '../pdf/images/pdf-made.ts';
import { codesOf, drawn, findingOf, GROUND, pageInMm, pageScanOf } from './check-support.ts';

const RECIPE: JpegRecipe = {
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
  adobeTransform: 0,
  seed: 417,
  isFlat: true,
};
const INVERTED = '/Decode [1 0 1 0 1 0 1 0]';
const entries = (more: string): string =>
  `/Width 88 /Height 56 /BitsPerComponent 8 /ColorSpace /DeviceCMYK /Filter /DCTDecode ${more}`;

/** The ink sum in the middle of each block of 8 × 8 pixels, in percent, as MuPDF has it. */
function sumsByMupdf(jpeg: Uint8Array, more: string): number[] {
  const pdf = pdfMade(88, 56, 'q 88 0 0 56 0 0 cm /Image Do Q', { entries: entries(more), data: jpeg });
  const pam = pdfPixels(pdf, 'cmyk');
  const head = /^P7[\s\S]*?DEPTH (\d)[\s\S]*?ENDHDR\n/.exec(
    Buffer.from(pam.subarray(0, 200)).toString('latin1'),
  )!;
  expect(head[1]).toBe('4');
  const pixels = pam.subarray(head[0].length);
  expect(pixels).toHaveLength(88 * 56 * 4);
  return Array.from({ length: 77 }, (_, i) => {
    const at = 4 * ((8 * Math.floor(i / 11) + 4) * 88 + 8 * (i % 11) + 4);
    return pixels.subarray(at, at + 4).reduce((sum, ink) => sum + ink, 0) / 2.55;
  });
}

const withPicture = (jpeg: Uint8Array, more = '') =>
  pageInMm(GROUND + drawn('Im', 90, 50, 60, 45), {
    resources: '/XObject << /Im 20 0 R >>',
    objects: { 20: { dict: `/Type /XObject /Subtype /Image ${entries(more)}`, data: jpeg } },
  });

describeWithTools(['mutool'], 'ink of JPEG pictures', () => {
  const KINDS: readonly (readonly [string, number, string])[] = [
    ['four inks', 0, ''],
    ['four inks turned round by Decode', 0, INVERTED],
    ['luma, chroma and black', 2, ''],
    ['luma, chroma and black turned round by Decode', 2, INVERTED],
  ];
  it.each(KINDS)('AC12 is that of the means of 8 × 8 pixels: %s', async (_, adobeTransform, more) => {
    const jpeg = jpegMade({ ...RECIPE, adobeTransform });
    const expected = sumsByMupdf(jpeg, more);
    const { imageInks, imagesUncounted } = await pageScanOf(withPicture(jpeg, more));
    expect(imagesUncounted).toBe(0);
    const [image] = imageInks;
    expect(image!.isAveraged).toBe(true);
    expect(Math.abs(image!.maxPercent - Math.max(...expected))).toBeLessThan(2);
    for (const [step, share] of image!.shares.entries()) {
      // Roundings of four levels may put a few of the 77 sums on the other side of a step.
      const near = expected.filter((sum) => Math.abs(sum - step * INK_STEP_PERCENT) < 2).length;
      const above = expected.filter((sum) => sum > step * INK_STEP_PERCENT).length;
      expect(Math.abs(share * 77 - above)).toBeLessThanOrEqual(near + 1e-9);
    }
  });

  it('AC12 warns where it is above the limit, and says that it is averaged', async () => {
    // Means of all inks: about 200 of 255 levels each, by one coefficient a block.
    const heavy = jpegMade({ ...RECIPE, seed: 5 });
    const most = Math.max(...sumsByMupdf(heavy, ''));
    expect(most).toBeGreaterThan(230);
    const { message, figure } = await findingOf(withPicture(heavy), 'ink-heavy', {
      job: { artworkLimits: { ...DEFAULT_ARTWORK_LIMITS, maxInkPercent: 180 } },
    });
    expect(Math.abs(figure! - most)).toBeLessThan(2);
    expect(message).toMatch(/^A picture, averaged over squares of 8 pixels, on side LH asks for \d+ % ink/);
    expect(await codesOf(withPicture(heavy.subarray(0, 400)))).toContain('ink-uncounted');
  });
});
