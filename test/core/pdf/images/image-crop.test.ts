import { deflateSync } from 'node:zlib';
import { expect, it } from 'vitest';
import {
  cropEntries,
  cropImage,
  cropMatrix,
  type ImageDescription,
  type ImageFilter,
  type ImageForm,
  imageCropPlans,
  imageForm,
  type PixelWindow,
} from '../../../../core/pdf/images/image-crop.ts';
import { describeWithTools } from '../../../support/tools.ts';
import { ascii85Coded, lzwCoded, runLengthCoded } from './byte-codings.ts';
import { inPieces, KeptBytes, nodeFlate } from './flate-node.ts';
import { type JpegRecipe, jpegMade } from './jpeg-made.ts';
import { type PdfImage, pdfEntries, pdfMade, pdfPixels } from './pdf-made.ts';
import { pngCoded, rasterBytes, rasterMade, tiffCoded } from './raster-made.ts';

// Powers of two, so that crops land on whole points exactly: MuPDF rounds images outwards to whole pixels.
const WIDTH = 64;
const HEIGHT = 32;
const WINDOW: PixelWindow = { x: 21, y: 9, width: 23, height: 11 };

interface Sample {
  readonly name: string;
  readonly description: ImageDescription;
  readonly data: Uint8Array;
  /** Entries that a crop does not touch. */
  readonly kept: string;
  readonly space?: 'cmyk';
}

const predicted = (Predictor: number, Colors: number, BitsPerComponent: number) => ({
  Predictor,
  Colors,
  BitsPerComponent,
  Columns: WIDTH,
});

function sample(
  name: string,
  components: number,
  bits: number,
  kept: string,
  coded: (raster: ReturnType<typeof rasterMade>) => readonly [Uint8Array, readonly ImageFilter[]],
): Sample {
  const raster = rasterMade({ width: WIDTH, height: HEIGHT, components, bits }, 7 * bits + components);
  const [data, filters] = coded(raster);
  return {
    name,
    description: { width: WIDTH, height: HEIGHT, components, bitsPerComponent: bits, filters },
    data,
    kept: `${kept} /BitsPerComponent ${bits}`,
    ...(components === 4 ? { space: 'cmyk' as const } : {}),
  };
}

const flate = (parms: ImageFilter['parms'] = {}): ImageFilter => ({ name: 'FlateDecode', parms });
const indexed = `/ColorSpace [/Indexed /DeviceRGB 15 <${Array.from({ length: 48 }, (_, i) => ((i * 53) % 256).toString(16).padStart(2, '0')).join('')}>]`;

function jpegSample(name: string, recipe: Partial<JpegRecipe>, kept: string): Sample {
  const sampling = recipe.sampling ?? [
    [2, 2],
    [1, 1],
    [1, 1],
  ];
  const data = jpegMade({
    width: WIDTH,
    height: HEIGHT,
    sampling,
    scans: [sampling.map((_, i) => i)],
    restartInterval: 3,
    hasWideQuantisation: false,
    adobeTransform: undefined,
    seed: 11,
    ...recipe,
  });
  const filters = [{ name: 'DCTDecode', parms: {} }];
  const components = sampling.length;
  return {
    name,
    description: { width: WIDTH, height: HEIGHT, components, bitsPerComponent: 8, filters },
    data,
    kept: `${kept} /BitsPerComponent 8`,
    ...(components === 4 ? { space: 'cmyk' as const } : {}),
  };
}

function packedAgain(sample: Sample): Sample {
  const filters = [flate(), ...sample.description.filters];
  return { ...sample, description: { ...sample.description, filters }, data: deflateSync(sample.data) };
}

const SAMPLES: readonly Sample[] = [
  sample('gray of 1 bit, Flate, Decode reversed', 1, 1, '/ColorSpace /DeviceGray /Decode [1 0]', (r) => [
    deflateSync(rasterBytes(r)),
    [flate()],
  ]),
  sample('an image mask', 1, 1, '/ImageMask true', (r) => [
    runLengthCoded(rasterBytes(r)),
    [{ name: 'RunLengthDecode', parms: {} }],
  ]),
  sample('gray of 2 bits, TIFF predictor', 1, 2, '/ColorSpace /DeviceGray', (r) => [
    deflateSync(tiffCoded(r)),
    [flate(predicted(2, 1, 2))],
  ]),
  sample('Indexed of 4 bits, LZW with late change', 1, 4, indexed, (r) => [
    lzwCoded(rasterBytes(r), 0),
    [{ name: 'LZWDecode', parms: { EarlyChange: 0 } }],
  ]),
  sample('Indexed with a color-key mask, LZW', 1, 4, `${indexed} /Mask [3 9]`, (r) => [
    lzwCoded(rasterBytes(r), 1),
    [{ name: 'LZWDecode', parms: {} }],
  ]),
  sample('RGB of 4 bits, PNG predictors', 3, 4, '/ColorSpace /DeviceRGB', (r) => [
    deflateSync(pngCoded(r, 5)),
    [flate(predicted(15, 3, 4))],
  ]),
  sample('RGB of 8 bits, LZW with TIFF predictor', 3, 8, '/ColorSpace /DeviceRGB', (r) => [
    lzwCoded(tiffCoded(r), 1),
    [{ name: 'LZWDecode', parms: predicted(2, 3, 8) }],
  ]),
  sample('RGB of 16 bits, PNG predictors', 3, 16, '/ColorSpace /DeviceRGB', (r) => [
    deflateSync(pngCoded(r, 6)),
    [flate(predicted(10, 3, 16))],
  ]),
  sample('CMYK of 8 bits, ASCII85 over Flate', 4, 8, '/ColorSpace /DeviceCMYK', (r) => [
    new TextEncoder().encode(ascii85Coded(deflateSync(rasterBytes(r)))),
    [{ name: 'ASCII85Decode', parms: {} }, flate()],
  ]),
  jpegSample('a JPEG with halved chroma', {}, '/ColorSpace /DeviceRGB'),
  packedAgain(jpegSample('a JPEG inside Flate', {}, '/ColorSpace /DeviceRGB')),
  jpegSample('a gray JPEG', { sampling: [[1, 1]] }, '/ColorSpace /DeviceGray'),
  jpegSample('an RGB JPEG by its Adobe marker', { adobeTransform: 0 }, '/ColorSpace /DeviceRGB'),
  jpegSample(
    'a YCCK JPEG, inverted',
    {
      adobeTransform: 2,
      sampling: [
        [2, 2],
        [1, 1],
        [1, 1],
        [2, 2],
      ],
    },
    '/ColorSpace /DeviceCMYK /Decode [1 0 1 0 1 0 1 0]',
  ),
];

async function form({ description, data }: Pick<Sample, 'description' | 'data'>): Promise<ImageForm> {
  const found = await imageForm(description, inPieces(data, 400), nodeFlate);
  if (!found.ok) throw new Error(found.problem.message);
  return found.value;
}

async function cropBytes(image: ImageForm, data: Uint8Array, crop: PixelWindow): Promise<Uint8Array> {
  const sink = new KeptBytes();
  const outcome = await cropImage(image, [crop], inPieces(data, 400), nodeFlate, [sink]);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return sink.bytes;
}

function wholeImage({ description, data, kept }: Pick<Sample, 'description' | 'data' | 'kept'>): PdfImage {
  const { width, height, filters } = description;
  const names = filters.map(({ name }) => `/${name}`).join(' ');
  const parms = filters.map((filter) => `<< ${pdfEntries(filter.parms)} >>`).join(' ');
  return {
    entries: `/Width ${width} /Height ${height} /Filter [${names}] /DecodeParms [${parms}] ${kept}`,
    data,
  };
}

/** Paints only the window, as a panel does, over a tint that shows where nothing is painted. */
function areaContent(placement: string): string {
  const bottom = HEIGHT - WINDOW.y - WINDOW.height;
  return `0.8 0.3 0.1 rg 0 0 ${WIDTH} ${HEIGHT} re f q ${WINDOW.x} ${bottom} ${WINDOW.width} ${WINDOW.height} re W n 0.1 0.5 0.9 rg ${WIDTH} 0 0 ${HEIGHT} 0 0 cm ${placement}/Image Do Q`;
}

describeWithTools(['mutool'], 'Cropped images, drawn by MuPDF', () => {
  for (const made of SAMPLES) {
    it(`look the same in the window, the other entries untouched: ${made.name}`, async () => {
      const image = await form(made);
      const [plan] = imageCropPlans([image], [WINDOW]);
      const [crop] = plan!.crops;
      expect(plan!.isWhole).toBe(false);
      const data = await cropBytes(image, made.data, crop!);
      const entries = `${pdfEntries(cropEntries(image, crop!))} ${made.kept}`;
      const placement = `${cropMatrix(crop!, made.description).join(' ')} cm `;
      const cropped = pdfMade(WIDTH, HEIGHT, areaContent(placement), { entries, data });
      const whole = pdfMade(WIDTH, HEIGHT, areaContent(''), wholeImage(made));
      const expected = pdfPixels(whole, made.space ?? 'rgb');
      expect(new Set(expected.subarray(-expected.length / 2)).size).toBeGreaterThan(3);
      expect(pdfPixels(cropped, made.space ?? 'rgb')).toEqual(expected);
    });
  }

  it('look the same with a soft mask of another size', async () => {
    const made = SAMPLES.find(({ name }) => name.startsWith('RGB of 4'))!;
    const doubled = rasterMade({ width: 2 * WIDTH, height: 3 * HEIGHT, components: 1, bits: 8 }, 77);
    const mask = {
      description: {
        width: doubled.width,
        height: doubled.height,
        components: 1,
        bitsPerComponent: 8,
        filters: [flate()],
      },
      data: deflateSync(rasterBytes(doubled)),
      kept: '/ColorSpace /DeviceGray /BitsPerComponent 8',
    };
    const [image, maskImage] = [await form(made), await form(mask)];
    const [plan] = imageCropPlans([image, maskImage], [WINDOW]);
    const [crop, maskCrop] = plan!.crops;
    const kept = `${made.kept} /SMask «mask»`;
    const cropped = pdfMade(
      WIDTH,
      HEIGHT,
      areaContent(`${cropMatrix(crop!, made.description).join(' ')} cm `),
      {
        entries: `${pdfEntries(cropEntries(image, crop!))} ${kept}`,
        data: await cropBytes(image, made.data, crop!),
      },
      {
        entries: `${pdfEntries(cropEntries(maskImage, maskCrop!))} ${mask.kept}`,
        data: await cropBytes(maskImage, mask.data, maskCrop!),
      },
    );
    const whole = pdfMade(WIDTH, HEIGHT, areaContent(''), wholeImage({ ...made, kept }), wholeImage(mask));
    expect(pdfPixels(cropped, 'rgb')).toEqual(pdfPixels(whole, 'rgb'));
  });
});
