import { deflateSync } from 'node:zlib';
import { jpegMade } from '../core/pdf/images/jpeg-made.ts';
import { pngCoded, type Raster, rasterBytes, rasterMade } from '../core/pdf/images/raster-made.ts';
import { type RawObject, type RawStream, rawPdf } from './raw-pdf.ts';

/** A page whose pictures are placed, coded or masked in a way that a careless crop gets wrong; made when asked for. */
export interface PicturePage {
  readonly name: string;
  readonly pdf: Uint8Array;
}

/** What the pictures show, two pixels a point over all of the page, with masks for them. */
interface Motif {
  readonly photo: Raster;
  /** Of half the size, gray. */
  readonly cover: Raster;
  /** Of one bit. */
  readonly dots: Raster;
  /** Of four bits. */
  readonly indexes: Raster;
}

const PHOTO = { width: 600, height: 400, components: 3, bits: 8 };
const COVER = { width: 300, height: 200, components: 1, bits: 8 };
const DOTS = { width: 600, height: 400, components: 1, bits: 1 };
const INDEXES = { width: 600, height: 400, components: 1, bits: 4 };

/** Every pixel unlike its neighbors: the least shift shows. */
const grain = once(
  (): Motif => ({
    photo: rasterMade(PHOTO, 11),
    cover: rasterMade(COVER, 8),
    dots: rasterMade(DOTS, 6),
    indexes: rasterMade(INDEXES, 4),
  }),
);

/** As most pictures are. Some renderers stretch a picture by up to a pixel, which then shows at edges only. */
const smooth = once(
  (): Motif => ({
    photo: raster(PHOTO, (x, y, c) => 127 + 60 * Math.sin(x / 37 + c) + 60 * Math.cos(y / 23 + c)),
    cover: raster(COVER, (x, y) => 127 + 100 * Math.sin(x / 31) * Math.cos(y / 19)),
    dots: raster(DOTS, (x, y) => (Math.hypot((x % 80) - 40, (y % 80) - 40) < 25 ? 1 : 0)),
    indexes: raster(INDEXES, (x, y) => Math.floor(x / 70 + y / 90) % 16),
  }),
);

function once<T>(make: () => T): () => T {
  let made: { readonly value: T } | undefined;
  return () => {
    made ??= { value: make() };
    return made.value;
  };
}

function raster(
  shape: Omit<Raster, 'samples'>,
  value: (x: number, y: number, component: number) => number,
): Raster {
  const { width, height, components } = shape;
  const samples = Array.from({ length: width * height * components }, (_, i) => {
    const pixel = Math.floor(i / components);
    return Math.round(value(pixel % width, Math.floor(pixel / width), i % components));
  });
  return { ...shape, samples };
}

const image = ({ width, height, bits }: Raster, more: string, data: Uint8Array): RawStream => ({
  dict: `/Type /XObject /Subtype /Image /Width ${width} /Height ${height} /BitsPerComponent ${bits} /Filter /FlateDecode ${more}`,
  data: deflateSync(data),
});

const rgb = (picture: Raster, more = ''): RawStream =>
  image(picture, `/ColorSpace /DeviceRGB ${more}`, rasterBytes(picture));
const stencil = (picture: Raster): RawStream => image(picture, '/ImageMask true', rasterBytes(picture));

function jpeg(width: number, height: number, components: 1 | 3 | 4, more = ''): RawStream {
  const space = { 1: 'Gray', 3: 'RGB', 4: 'CMYK' }[components];
  const all = Array.from({ length: components }, (_, i) => i);
  const data = jpegMade({
    width,
    height,
    sampling: all.map((i) => (i === 0 && components === 3 ? [2, 2] : [1, 1])),
    scans: [all],
    restartInterval: 0,
    hasWideQuantisation: false,
    adobeTransform: components === 4 ? 0 : undefined,
    seed: components,
  });
  return {
    dict: `/Type /XObject /Subtype /Image /Width ${width} /Height ${height} /ColorSpace /Device${space} /BitsPerComponent 8 /Filter /DCTDecode ${more}`,
    data,
  };
}

function page(
  name: string,
  content: string,
  objects: () => Readonly<Record<number, RawObject>>,
  more: { readonly forms?: string; readonly resources?: string } = {},
): PicturePage {
  const resources = `/XObject << /Photo 20 0 R ${more.forms ?? ''} >> ${more.resources ?? ''}`;
  const pdf = once(() => rawPdf({ page: '/MediaBox [0 0 300 200]', content, resources, objects: objects() }));
  return {
    name,
    get pdf() {
      return pdf();
    },
  };
}

const PLACED = 'q 300 0 0 200 0 0 cm /Photo Do Q';
const ON_GREEN = `0 0.6 0.4 rg 0 0 300 200 re f ${PLACED}`;
const form = (more: string, data: string): RawStream => ({
  dict: `/Type /XObject /Subtype /Form ${more}`,
  data,
});

const picturePages = (motif: () => Motif): readonly PicturePage[] => [
  page('coded by PNG filters', PLACED, () => ({
    20: image(
      motif().photo,
      '/ColorSpace /DeviceRGB /DecodeParms << /Predictor 15 /Colors 3 /BitsPerComponent 8 /Columns 600 >>',
      pngCoded(motif().photo, 3),
    ),
  })),
  page('mirrored', `-1 0 0 -1 300 200 cm ${PLACED}`, () => ({ 20: rgb(motif().photo) })),
  page('turned by a quarter', 'q 0 -200 300 0 0 200 cm /Photo Do Q', () => ({ 20: rgb(motif().photo) })),
  page('with a soft mask of half the size', ON_GREEN, () => ({
    20: rgb(motif().photo, '/SMask 21 0 R'),
    21: image(motif().cover, '/ColorSpace /DeviceGray', rasterBytes(motif().cover)),
  })),
  page('with a stencil for a mask', ON_GREEN, () => ({
    20: rgb(motif().photo, '/Mask 21 0 R'),
    21: stencil(motif().dots),
  })),
  page('with color keys for a mask, and Decode turned over', ON_GREEN, () => ({
    20: rgb(motif().photo, '/Mask [0 90 20 250 0 255] /Decode [1 0 0 1 1 0]'),
  })),
  page(
    'a stencil in the color of a pattern',
    `/Pattern cs /Tiles scn ${PLACED}`,
    () => ({
      20: stencil(motif().dots),
      23: {
        dict: '/Type /Pattern /PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 14 18] /XStep 14 /YStep 18 /Resources << >>',
        data: '0.9 0.2 0.1 rg 0 0 6 9 re f 0.1 0.3 0.8 rg 7 11 5 5 re f',
      },
    }),
    { resources: '/Pattern << /Tiles 23 0 R >>' },
  ),
  page('of indexed color in four bits', PLACED, () => ({
    20: image(
      motif().indexes,
      '/ColorSpace [/Indexed /DeviceRGB 15 <102030405060708090a0b0c0d0e0f00102132435465768798a9bacbdcedfe0f1122334455667788998877665544332211>]',
      rasterBytes(motif().indexes),
    ),
  })),
  page(
    "under the page's own soft mask, multiplied",
    `0 0.6 0.4 rg 0 0 300 200 re f /G gs ${PLACED}`,
    () => ({
      20: rgb(motif().photo),
      23: '<< /Type /ExtGState /BM /Multiply /ca 0.8 /SMask << /S /Luminosity /G 24 0 R >> >>',
      24: form(
        '/BBox [0 0 300 200] /Group << /S /Transparency /CS /DeviceGray >> /Resources << /Shading << /Fade << /ShadingType 2 /ColorSpace /DeviceGray /Coords [0 0 300 0] /Function << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0.2] /C1 [1] >> >> >> >>',
        '/Fade sh',
      ),
    }),
    { resources: '/ExtGState << /G 23 0 R >>' },
  ),
  page(
    'in nested forms, and in one without resources',
    '/Outer Do q 1 0 0 1 20 0 cm /Lent Do Q',
    () => ({
      20: rgb(motif().photo),
      22: form(
        '/BBox [0 0 400 300] /Matrix [1 0 0 1 -6 0] /Resources << /XObject << /Inner 23 0 R >> >>',
        'q 1 0 0 1 10 4 cm /Inner Do Q',
      ),
      23: form(
        '/BBox [0 0 300 120] /Resources << /XObject << /P 20 0 R >> >>',
        'q 300 0 0 200 0 0 cm /P Do Q',
      ),
      24: form('/BBox [0 0 150 200]', 'q 300 0 0 200 0 0 cm /Photo Do Q'),
    }),
    { forms: '/Outer 22 0 R /Lent 24 0 R' },
  ),
  page(
    'twice in a knockout group',
    '/Group Do',
    () => ({
      20: rgb(motif().photo),
      23: form(
        '/BBox [0 0 300 200] /Group << /S /Transparency /K true /I true /CS /DeviceRGB >> /Resources << /XObject << /P 20 0 R >> /ExtGState << /Half << /ca 0.5 >> >> >>',
        '/Half gs q 300 0 0 200 0 0 cm /P Do Q q 300 0 0 200 30 20 cm /P Do Q',
      ),
    }),
    { forms: '/Group 23 0 R' },
  ),
];

/** Pictures whose pixel edges fall on whole points: crop and whole look alike to the pixel. */
export const EXACT_PAGES: readonly PicturePage[] = [
  ...picturePages(grain),
  page('a JPEG with halved chroma', PLACED, () => ({ 20: jpeg(600, 400, 3) })),
  page('a JPEG of four inks with a gray JPEG for a soft mask', ON_GREEN, () => ({
    20: jpeg(600, 400, 4, '/SMask 21 0 R'),
    21: jpeg(600, 400, 1),
  })),
];

/** Pictures of which crop and whole may differ by the way an edge is drawn, with some whose pixels lie anywhere. */
export const SMOOTH_PAGES: readonly PicturePage[] = [
  ...picturePages(smooth),
  page('turned by 30 degrees and sheared', 'q 220 120 -90 140 100 -20 cm /Photo Do Q', () => ({
    20: rgb(smooth().photo),
  })),
  page('in two sizes', `${PLACED} q 140.3 0 0 90.7 85.1 48.9 cm /Photo Do Q`, () => ({
    20: rgb(smooth().photo),
  })),
];
