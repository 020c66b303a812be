import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cropEntries, imageCropPlans } from '../../../../core/pdf/images/image-crop-plan.ts';
import { type ImageDescription, type ImageForm, imageForm } from '../../../../core/pdf/images/image-form.ts';
import type { Matrix } from '../../../../core/pdf/page/page-space.ts';
import { inPieces, nodeFlate } from './flate-node.ts';
import { type JpegRecipe, jpegMade } from './jpeg-made.ts';

const raster = (width: number, height: number): ImageForm => ({
  kind: 'raster',
  image: { width, height, components: 3, bitsPerComponent: 8, filters: [] },
  outer: [],
  raster: { layout: { components: 3, bitsPerComponent: 8, columns: width }, predictor: 'none' },
  isFlate: true,
});

const chromaHalved: JpegRecipe['sampling'] = [
  [2, 2],
  [1, 1],
  [1, 1],
];

async function jpeg(width: number, height: number, sampling = chromaHalved): Promise<ImageForm> {
  const made = jpegMade({
    width,
    height,
    sampling,
    scans: [sampling.map((_, i) => i)],
    restartInterval: 0,
    hasWideQuantisation: false,
    adobeTransform: undefined,
    seed: 1,
  });
  const filters = [{ name: 'DCTDecode', parms: {} }];
  const description = { width, height, components: sampling.length, bitsPerComponent: 8, filters };
  const found = await imageForm(description, inPieces(made, 20), nodeFlate);
  if (!found.ok) throw new Error(found.problem.message);
  return found.value;
}

describe('Plans of image crops', () => {
  it('add slack for interpolation, and stop at the edge of the image', () => {
    const [inside, corner] = imageCropPlans(
      [raster(100, 60)],
      [
        { x: 20, y: 30, width: 11, height: 7 },
        { x: 1, y: 50, width: 99, height: 10 },
      ],
    );
    expect(inside).toEqual({ crops: [{ x: 17, y: 27, width: 17, height: 13 }], isWhole: false });
    expect(corner!.crops).toEqual([{ x: 0, y: 47, width: 100, height: 13 }]);
  });

  it('lie on coded units of a JPEG, beyond the reach of chroma smoothing', async () => {
    const [plan] = imageCropPlans([await jpeg(200, 120)], [{ x: 53, y: 37, width: 22, height: 40 }]);
    // 53 − 3 − 2 = 48 and 75 + 5 = 80 are edges already; 37 − 5 = 32; 77 + 5 = 82 goes on to 96.
    expect(plan!.crops).toEqual([{ x: 48, y: 32, width: 32, height: 64 }]);
  });

  it('cut an image and its masks at edges that all of them have', async () => {
    // A mask of half the size, one of three quarters: pixel edges meet every 4 pixels.
    const [plan] = imageCropPlans(
      [raster(400, 200), raster(200, 100), raster(300, 150)],
      [{ x: 101, y: 51, width: 37, height: 20 }],
    );
    expect(plan!.crops).toEqual([
      { x: 92, y: 44, width: 52, height: 36 },
      { x: 46, y: 22, width: 26, height: 18 },
      { x: 69, y: 33, width: 39, height: 27 },
    ]);
    // A gray JPEG mask, 8 pixels a unit, half as large: 16 pixels of the image.
    const [withJpeg] = imageCropPlans(
      [raster(320, 160), await jpeg(160, 80, [[1, 1]])],
      [{ x: 100, y: 50, width: 30, height: 30 }],
    );
    expect(withJpeg!.crops).toEqual([
      { x: 80, y: 32, width: 64, height: 64 },
      { x: 40, y: 16, width: 32, height: 32 },
    ]);
  });

  it('leave image and mask whole where no edges meet, and say so', () => {
    const [plan] = imageCropPlans(
      [raster(400, 200), raster(399, 199)],
      [{ x: 100, y: 50, width: 30, height: 30 }],
    );
    expect(plan!.isWhole).toBe(true);
    expect(plan!.note).toMatchObject({
      code: 'image-masks-unregistered',
      message:
        'The image and its masks (400 × 200, 399 × 199 pixels) have no pixel edges in common at which to cut.',
    });
    const [all] = imageCropPlans([raster(40, 20)], [{ x: 2, y: 2, width: 37, height: 17 }]);
    expect(all).toEqual({ crops: [{ x: 0, y: 0, width: 40, height: 20 }], isWhole: true });
  });

  it('cover the same part of the unit square, and the window with its slack, for all sizes', () => {
    const size = fc.tuple(fc.integer({ min: 1, max: 700 }), fc.integer({ min: 1, max: 700 }));
    fc.assert(
      fc.property(size, fc.array(size, { maxLength: 2 }), fc.nat(), fc.nat(), ([w, h], masks, a, b) => {
        const forms = [raster(w, h), ...masks.map(([mw, mh]) => raster(mw, mh))] as [
          ImageForm,
          ...ImageForm[],
        ];
        const window = { x: a % w, y: b % h, width: 1, height: 1 };
        const [plan] = imageCropPlans(forms, [window], { slack: 2 });
        const [base] = plan!.crops;
        plan!.crops.forEach((crop, i) => {
          const { width, height } = forms[i]!.image;
          expect([crop.x, crop.y, crop.width, crop.height].every(Number.isInteger)).toBe(true);
          expect(crop.x * w).toBe(base!.x * width);
          expect(crop.width * w).toBe(base!.width * width);
          expect(crop.y * h).toBe(base!.y * height);
          expect(crop.height * h).toBe(base!.height * height);
          // Two pixels of each image on either side, unless the image ends there.
          expect(crop.x).toBeLessThanOrEqual(Math.max(0, Math.floor((window.x * width) / w) - 2));
          expect(crop.x + crop.width).toBeGreaterThanOrEqual(
            Math.min(width, Math.ceil(((window.x + 1) * width) / w) + 2),
          );
        });
      }),
      { numRuns: 300, seed: 20290 },
    );
  });

  it('end on whole points of the panel where a pixel edge near by does', () => {
    // 4 pixels a point, the image's left edge at −100.25 points: edges on points are 401, 405, …, 397 − 4n.
    const form = raster(1600, 1200);
    const plans = (placement: Matrix): readonly unknown[] =>
      imageCropPlans([form], [{ x: 800, y: 400, width: 200, height: 100 }], { placements: [placement] })[0]!
        .crops;
    expect(plans([400, 0, 0, 300, -100.25, 7])).toEqual([{ x: 797, y: 396, width: 208, height: 108 }]);
    // Mirrored, and turned by a quarter, the same columns and rows count.
    expect(plans([-400, 0, 0, -300, 500.25, 7])).toEqual([{ x: 797, y: 396, width: 208, height: 108 }]);
    expect(plans([0, 400, -300, 0, 7, -100.25])).toEqual([{ x: 797, y: 396, width: 208, height: 108 }]);
    // Under 30 degrees no edge runs along the page's.
    expect(plans([346, 200, -150, 260, 0, 0])).toEqual([{ x: 797, y: 397, width: 206, height: 106 }]);
  });

  it('change the entries of coding and size only', async () => {
    const size = { width: 31, height: 17 };
    expect(cropEntries(raster(100, 60), size)).toEqual({
      Width: 31,
      Height: 17,
      Filter: 'FlateDecode',
      DecodeParms: undefined,
    });
    const withTransform = { ...(await jpeg(100, 60)), parms: { ColorTransform: 0 } } as ImageForm;
    expect(cropEntries(withTransform, size)).toEqual({
      Width: 31,
      Height: 17,
      Filter: 'DCTDecode',
      DecodeParms: { ColorTransform: 0 },
    });
  });

  it('leave whole, with a reason, what no lossless way is known for', async () => {
    const description = (filters: ImageDescription['filters']): ImageDescription => ({
      width: 10,
      height: 10,
      components: 3,
      bitsPerComponent: 8,
      filters,
    });
    const code = async (...names: string[]): Promise<string> => {
      const filters = names.map((name) => ({ name, parms: {} }));
      const found = await imageForm(description(filters), inPieces(new Uint8Array(9), 4), nodeFlate);
      return found.ok ? found.value.kind : found.problem.code;
    };
    expect(await code('JPXDecode')).toBe('image-jpeg-2000');
    expect(await code('JBIG2Decode')).toBe('image-bilevel-coding');
    expect(await code('FlateDecode', 'JPXDecode')).toBe('image-jpeg-2000');
    expect(await code('DCTDecode', 'FlateDecode')).toBe('image-filter-unknown');
    expect(await code('BrotliDecode')).toBe('image-filter-unknown');
    expect(await code('DCTDecode')).toBe('image-corrupt');
    expect(await code('CCITTFaxDecode')).toBe('image-bilevel-coding');
    expect(await code('Crypt', 'LZWDecode')).toBe('raster');
    const absurd = { width: 81_915, height: 1, components: 3277, bitsPerComponent: 16, filters: [] };
    expect(await imageForm(absurd, inPieces(new Uint8Array(9), 4), nodeFlate)).toMatchObject({
      ok: false,
      problem: { code: 'image-description-mismatch' },
    });
  });
});
