import type { PixelRect } from './picture.ts';
import { type RawPage, rawPdf } from './raw-pdf.ts';

/** One page that a careless cut gets wrong, and the reason. */
export interface TrapPage {
  readonly name: string;
  /** Where ISO 32000-1 says how it must look. */
  readonly clause: string;
  readonly pdf: Uint8Array;
  /** Windows in pixels at 72 per drawn inch, page as shown. */
  readonly windows: readonly PixelRect[];
  /** Renderers that cannot judge this page, because they paint the same thing otherwise at another place. */
  readonly unfit?: readonly RendererName[];
  /** Pixels along the edge of the window to be left out, 1 unless stated. */
  readonly edge?: number;
}

export type RendererName = 'pdfium' | 'poppler' | 'ghostscript' | 'mupdf';

/** An upright page of 210 × 130 units, unless turned: odd sizes and places, so that no two coincide. */
const WIDE: readonly PixelRect[] = [
  { x: 0, y: 0, width: 210, height: 130 },
  { x: 31, y: 17, width: 97, height: 71 },
  { x: 128, y: 52, width: 82, height: 78 },
];
const TALL: readonly PixelRect[] = [
  { x: 0, y: 0, width: 130, height: 210 },
  { x: 17, y: 31, width: 71, height: 97 },
];
const MEDIA = '/MediaBox [0 0 210 130]';

/** A cell of 13 × 17 with a corner that shows which way is up, moved by its own matrix. */
const tiling = (matrix: string) => ({
  dict: `/Type /Pattern /PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 13 17] /XStep 13 /YStep 17 /Matrix [${matrix}] /Resources << >>`,
  data: '0.9 0.2 0.1 rg 0 0 6 9 re f 0.1 0.3 0.8 rg 7 11 5 5 re f 0 0.6 0.2 rg 9 1 3 7 re f',
});
const AXIAL =
  '<< /ShadingType 2 /ColorSpace /DeviceRGB /Coords [12 9 190 101] /Extend [true true] /Function << /FunctionType 2 /Domain [0 1] /N 1.4 /C0 [1 0.1 0] /C1 [0 0.3 0.9] >> >>';
const RADIAL =
  '<< /ShadingType 3 /ColorSpace /DeviceRGB /Coords [60 60 7 140 70 55] /Extend [false true] /Function << /FunctionType 2 /Domain [0 1] /N 1 /C0 [1 0.9 0] /C1 [0.4 0 0.5] >> >>';
const AXIAL_PATTERN = `<< /Type /Pattern /PatternType 2 /Matrix [0.9 0.1 -0.2 0.8 4 7] /Shading ${AXIAL} >>`;

const PATTERNS: RawPage = {
  resources: `/Pattern << /Tiles 20 0 R /Fade 21 0 R >> /Shading << /Ball ${RADIAL} >>`,
  content:
    '/Pattern cs /Tiles scn 5 5 120 115 re f /Fade scn 90 20 115 60 re f q 130 80 70 45 re W n /Ball sh Q /Pattern CS /Fade SCN 6 w 20 20 m 190 110 l S',
  objects: { 20: tiling('1 0 0 1 3 5'), 21: AXIAL_PATTERN },
};

const patternsWith = (page: string, more: Partial<RawPage> = {}): Uint8Array =>
  rawPdf({ ...PATTERNS, page, ...more });

const moved = (content: string, x: number, y: number): string => `1 0 0 1 ${x} ${y} cm ${content}`;

/** Poppler lays turned tiles from the edge of the clip, so they move with the window. */
const POPPLER_TURNED_TILES: readonly RendererName[] = ['poppler'];

/** Each letter is a filled path; `d0` glyphs bring their own color. */
const TYPE3 = (resources: string): string =>
  `<< /Type /Font /Subtype /Type3 /FontBBox [0 0 800 900] /FontMatrix [0.001 0 0 0.001 0 0] /FirstChar 65 /LastChar 66 /Widths [820 640] /Encoding << /Type /Encoding /Differences [65 /flag /block] >> /CharProcs << /flag 22 0 R /block 23 0 R >> ${resources} >>`;
const TYPE3_GLYPHS = {
  22: { data: '820 0 d0 0.8 0.1 0.1 rg 0 0 300 700 re f 0.1 0.2 0.7 rg 300 400 450 300 re f' },
  23: { data: '640 0 d0 q /Dim gs 0 0.5 0.3 rg 40 0 500 800 re f Q' },
};

export const TRAP_PAGES: readonly TrapPage[] = [
  { name: 'patterns and shadings', clause: '8.7.2', pdf: patternsWith(MEDIA), windows: WIDE },
  {
    name: 'a tiling pattern turned and stretched by its own matrix',
    clause: '8.7.3.1',
    pdf: patternsWith(MEDIA, { objects: { 20: tiling('1.3 0.2 -0.1 1.1 3 5'), 21: AXIAL_PATTERN } }),
    windows: WIDE,
    // These set each cell on whole pixels, and so by up to half a pixel elsewhere when the page is moved.
    unfit: ['pdfium', 'poppler', 'mupdf'],
  },
  ...[90, 180, 270, -90].map((turn) => ({
    name: `patterns on a page turned by ${turn}`,
    clause: 'Table 30, Rotate',
    pdf: patternsWith(`${MEDIA} /Rotate ${turn}`),
    windows: turn % 180 === 0 ? WIDE : TALL,
    unfit: POPPLER_TURNED_TILES,
  })),
  {
    name: 'patterns under UserUnit 2',
    clause: 'Table 30, UserUnit',
    pdf: patternsWith(`${MEDIA} /UserUnit 2`),
    windows: [
      { x: 0, y: 0, width: 420, height: 260 },
      { x: 62, y: 34, width: 195, height: 143 },
    ],
  },
  {
    name: 'a CropBox away from the origin, corners swapped',
    clause: '14.11.2; 7.9.5',
    pdf: patternsWith('/MediaBox [230 -20 -30 150] /CropBox [190 121 20 10]'),
    windows: [
      { x: 0, y: 0, width: 170, height: 111 },
      { x: 23, y: 14, width: 88, height: 67 },
    ],
  },
  {
    name: 'a MediaBox with a negative origin on a turned page',
    clause: '14.11.2; Table 30, Rotate',
    pdf: patternsWith('/MediaBox [-40 -25 170 105] /Rotate 270', {
      content: moved(String(PATTERNS.content), -33, -21),
    }),
    windows: TALL,
    unfit: POPPLER_TURNED_TILES,
  },
  {
    name: 'everything inherited from the page tree',
    clause: 'Table 29; 7.7.3.4',
    pdf: rawPdf({
      pages: `${MEDIA} /CropBox [0 0 130 130] /Rotate 90 /Resources << ${PATTERNS.resources} >>`,
      page: '/CropBox [0 0 210 130]',
      content: PATTERNS.content!,
      objects: PATTERNS.objects!,
    }),
    windows: TALL,
    unfit: POPPLER_TURNED_TILES,
  },
  {
    name: 'content streams split between tokens',
    clause: '7.8.2',
    pdf: rawPdf({
      page: MEDIA,
      content: [
        '0.2 0.4',
        '0.9 rg 15 15 90',
        '80 re',
        'f q 1 0 0 1 60',
        '30 cm 0.9 0.5 0 rg 0 0 80 70 re f Q',
        '0 G 3 w 5 9 m 190 120 l S',
      ],
    }),
    windows: WIDE,
  },
  {
    name: 'blend mode Difference in a CMYK page group',
    clause: '11.6.6; 11.4.7',
    pdf: rawPdf({
      page: `${MEDIA} /Group << /Type /Group /S /Transparency /CS /DeviceCMYK >>`,
      resources: '/ExtGState << /Diff << /Type /ExtGState /BM /Difference /ca 0.85 >> >>',
      content:
        '0.8 0.1 0.3 0.1 k 10 12 130 90 re f /Diff gs 0.1 0.7 0.2 0 k 60 40 140 80 re f 0 0.2 0.9 0.3 k 30 5 70 60 re f',
    }),
    windows: WIDE,
  },
  {
    name: 'a knockout group and blending without a page group',
    clause: '11.4.6',
    pdf: rawPdf({
      page: MEDIA,
      resources: '/ExtGState << /Half << /ca 0.5 /BM /Multiply >> >> /XObject << /Knock 20 0 R >>',
      content: '0.9 0.8 0.2 rg 0 0 150 100 re f /Half gs /Knock Do 0.1 0.6 0.9 rg 90 30 100 80 re f',
      objects: {
        20: {
          dict: '/Type /XObject /Subtype /Form /BBox [10 10 140 120] /Group << /S /Transparency /K true >> /Resources << /ExtGState << /Part << /ca 0.6 >> >> >>',
          data: '/Part gs 1 0 0 rg 20 20 60 60 re f 0 0 1 rg 50 40 70 70 re f',
        },
      },
    }),
    windows: WIDE,
  },
  {
    name: 'a layer that is off by default',
    clause: '8.11.4.3',
    pdf: rawPdf({
      page: MEDIA,
      catalog:
        '/OCProperties << /OCGs [20 0 R 21 0 R] /D << /Name (Default) /BaseState /ON /OFF [21 0 R] /Order [20 0 R 21 0 R] >> >>',
      resources: '/Properties << /Shown 20 0 R /Hidden 21 0 R >> /XObject << /Guide 22 0 R >>',
      content:
        '/OC /Shown BDC 0.1 0.5 0.2 rg 10 10 90 70 re f EMC /OC /Hidden BDC 1 0 0 rg 0 0 210 130 re f EMC /Guide Do 0 0 1 rg 120 60 50 50 re f',
      objects: {
        20: '<< /Type /OCG /Name (Art) >>',
        21: '<< /Type /OCG /Name (Guides) >>',
        22: {
          dict: '/Type /XObject /Subtype /Form /BBox [0 0 210 130] /OC 21 0 R',
          data: '1 0 1 rg 30 30 150 60 re f',
        },
      },
    }),
    windows: WIDE,
  },
  {
    name: 'layers of which all are off but one',
    clause: 'Table 101, BaseState',
    pdf: rawPdf({
      page: MEDIA,
      catalog: '/OCProperties << /OCGs [20 0 R 21 0 R] /D << /BaseState /OFF /ON [20 0 R] >> >>',
      resources: '/Properties << /Shown 20 0 R /Hidden 21 0 R >>',
      content:
        '/OC /Shown BDC 0.1 0.5 0.2 rg 10 10 190 70 re f EMC /OC /Hidden BDC 1 0 0 rg 40 0 170 130 re f EMC',
      objects: { 20: '<< /Type /OCG /Name (Art) >>', 21: '<< /Type /OCG /Name (Guides) >>' },
    }),
    windows: WIDE,
  },
  {
    name: 'a luminosity soft mask set by the page',
    clause: '11.6.5.2',
    pdf: rawPdf({
      page: MEDIA,
      resources:
        '/ExtGState << /Fade << /SMask << /Type /Mask /S /Luminosity /G 20 0 R /BC [0] >> >> /Clear << /SMask /None >> >>',
      content:
        '0.9 0.9 0.3 rg 0 0 210 40 re f q 1 0 0 1 6 4 cm /Fade gs 0.8 0 0.2 rg 0 0 180 110 re f Q /Clear gs 0 0.3 0 rg 5 100 40 20 re f',
      objects: {
        20: {
          dict: '/Type /XObject /Subtype /Form /BBox [0 0 210 130] /Group << /S /Transparency /CS /DeviceGray >> /Resources << /Shading << /Ramp << /ShadingType 2 /ColorSpace /DeviceGray /Coords [10 0 180 60] /Extend [true true] /Function << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0.05] /C1 [0.95] >> >> >> >>',
          data: '/Ramp sh',
        },
      },
    }),
    windows: WIDE,
  },
  {
    name: 'overprint of inks and of a spot color',
    clause: '8.6.7',
    pdf: rawPdf({
      page: MEDIA,
      resources:
        '/ExtGState << /Over << /OP true /op true /OPM 1 >> /Knock << /OP false /op false >> >> /ColorSpace << /Red [/Separation /Brick#20Red /DeviceCMYK 20 0 R] >>',
      content:
        '0.9 0.1 0 0 k 10 10 110 90 re f /Over gs 0 0 0.8 0 k 50 30 120 60 re f /Red cs 0.7 scn 80 5 60 110 re f /Knock gs 0 0.6 0 0 k 20 60 160 20 re f',
      objects: { 20: '<< /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0.1 0.85 0.9 0.05] >>' },
    }),
    windows: WIDE,
  },
  {
    name: 'Separation and DeviceN color',
    clause: '8.6.6.4; 8.6.6.5',
    pdf: rawPdf({
      page: MEDIA,
      resources:
        '/ColorSpace << /Spot [/Separation /Library#20Green /DeviceCMYK 20 0 R] /Two [/DeviceN [/Library#20Green /Black] /DeviceCMYK 21 0 R << /Subtype /DeviceN >>] /All [/Separation /All /DeviceCMYK 20 0 R] >>',
      content:
        '/Spot cs 0.8 scn 10 10 90 80 re f /Two cs 0.6 0.3 scn 70 40 100 80 re f /All CS 1 SCN 2 w 4 4 200 120 re S 0.3 scn',
      objects: {
        20: '<< /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0.9 0.1 0.8 0.1] >>',
        21: {
          dict: '/FunctionType 4 /Domain [0 1 0 1] /Range [0 1 0 1 0 1 0 1]',
          data: '{ exch dup 0.9 mul exch dup 0.1 mul exch 0.8 mul 4 -1 roll }',
        },
      },
    }),
    windows: WIDE,
  },
  {
    name: 'a restore too many',
    clause: '8.4.2',
    pdf: rawPdf({
      page: MEDIA,
      content: '0.8 0.2 0.1 rg 1 0 0 1 10 6 cm Q 0 0 80 60 re f EMC q 0.1 0.2 0.8 rg 60 30 90 70 re f Q',
    }),
    windows: WIDE,
    // Not allowed, so readers may differ: these two undo the page's own set-up, and then lose the page.
    unfit: ['poppler', 'ghostscript'],
  },
  {
    name: 'saves and marked content that never end',
    clause: '8.4.2; 14.6',
    pdf: rawPdf({
      page: MEDIA,
      resources: '/Properties << /Note << /Kind (a tag) >> >>',
      content:
        '0.8 0.2 0.1 rg q 1 0 0 1 10 6 cm 0 0 80 60 re f q 0.1 0.2 0.8 rg /Span /Note BDC 60 30 90 70 re f q 1 0 0 1 30 40 cm',
    }),
    windows: WIDE,
  },
  {
    name: 'Type 3 fonts with and without resources of their own',
    clause: '9.6.5, Table 112',
    pdf: rawPdf({
      page: MEDIA,
      resources: '/Font << /Own 20 0 R /Borrowed 21 0 R >> /ExtGState << /Dim << /ca 0.4 >> >>',
      content: 'BT /Own 60 Tf 12 60 Td (AB) Tj ET BT /Borrowed 48 Tf 70 14 Td (BA) Tj ET',
      objects: {
        20: TYPE3('/Resources << /ExtGState << /Dim << /ca 0.7 >> >> >>'),
        21: TYPE3(''),
        ...TYPE3_GLYPHS,
      },
    }),
    windows: WIDE,
  },
  {
    name: 'a form that borrows the resources of the page',
    clause: '8.10.1, Table 95',
    pdf: rawPdf({
      page: MEDIA,
      resources:
        '/XObject << /Badge 20 0 R >> /ColorSpace << /Green [/Indexed /DeviceRGB 1 <0a5f2fe0c020>] >>',
      content: 'q 1.5 0.2 -0.1 1.2 20 8 cm /Badge Do Q',
      objects: {
        20: {
          dict: '/Type /XObject /Subtype /Form /BBox [0 0 100 80]',
          data: '/Green cs 0 sc 0 0 70 60 re f 1 sc 30 20 50 50 re f',
        },
      },
    }),
    windows: WIDE,
  },
  {
    name: 'default color spaces',
    clause: '8.6.5.6',
    pdf: rawPdf({
      page: MEDIA,
      resources:
        '/ColorSpace << /DefaultRGB [/CalRGB << /WhitePoint [0.9505 1 1.089] /Gamma [2.6 1.2 1.8] /Matrix [0.4124 0.2126 0.0193 0.3576 0.7152 0.1192 0.1805 0.0722 0.9505] >>] >>',
      content: '0.4 0.6 0.2 rg 10 10 110 70 re f 0.7 0.3 0.5 rg 70 40 120 80 re f',
    }),
    windows: WIDE,
  },
  {
    name: 'an inline image whose data look like its end, and an image drawn large',
    clause: '8.9.7; 8.9.5',
    pdf: rawPdf({
      page: MEDIA,
      resources: '/XObject << /Photo 20 0 R >>',
      content:
        'q 90 0 0 70 8 12 cm BI /W 4 /H 3 /CS /RGB /BPC 8 ID \x10\x20 EI \x90\xf0\x30EI \xff\x01\x40\x80\xc0\xa0\x50 EI\x07\x99\x10\x77\xee\x33\x22\x11\x00\xf1\xd2\xb3\x64 EI Q q 95 0 0 88 108 25 cm /Photo Do Q',
      objects: {
        20: {
          dict: '/Type /XObject /Subtype /Image /Width 48 /Height 44 /ColorSpace /DeviceCMYK /BitsPerComponent 8 /Interpolate true',
          data: Uint8Array.from(
            { length: 48 * 44 * 4 },
            (_, index) => (index * 53 + (index >> 7) * 7 + 11) % 251,
          ),
        },
      },
    }),
    windows: WIDE,
    // Half a source pixel: at a clip PDFium interpolates without the neighbor beyond it.
    edge: 2,
  },
  {
    name: 'text in a standard font with every fill and stroke mode',
    clause: '9.3.6',
    pdf: rawPdf({
      page: MEDIA,
      resources: '/Font << /F 20 0 R >>',
      content:
        'BT /F 34 Tf 1 w 0.1 0.4 0.7 rg 0.8 0 0 RG 6 90 Td (Alder) Tj 1 Tr 0 -36 Td (County) Tj 2 Tr 60 -30 Td (Library) Tj ET q BT /F 60 Tf 7 Tr 100 60 Td (Go) Tj ET 0 0.6 0.2 rg 90 50 110 30 re f Q',
      objects: { 20: '<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica-Bold >>' },
    }),
    windows: WIDE,
  },
  {
    // Some renderers lose such a clip, and paint what the others hide.
    name: 'a clip by a path that a pattern fills, over a picture and a rectangle',
    clause: '8.5.4',
    pdf: rawPdf({
      page: MEDIA,
      resources: '/Pattern << /Tiles 20 0 R >> /XObject << /Photo 21 0 R >>',
      content:
        '/Pattern cs /Tiles scn 90 100 m 200 40 l 110 12 l W f q 120 0 0 90 40 25 cm /Photo Do Q 0.1 0.5 0.3 rg 8 8 30 90 re f',
      objects: {
        20: tiling('1 0 0 1 3 5'),
        21: {
          // A pixel to a point, in squares of ten: resampling has nothing to choose.
          dict: '/Type /XObject /Subtype /Image /Width 120 /Height 90 /ColorSpace /DeviceCMYK /BitsPerComponent 16',
          data: Uint8Array.from({ length: 120 * 90 * 8 }, (_, index) => {
            const [column, row] = [Math.floor(index / 80) % 12, Math.floor(index / 9600)];
            return (column * 53 + row * 101 + ((index >> 1) % 4) * 70) & 127;
          }),
        },
      },
    }),
    windows: WIDE,
    // It makes tones of 16 bits that differ by two levels from place to place.
    unfit: ['pdfium'],
    edge: 2,
  },
  {
    name: 'annotations, which are not artwork',
    clause: '12.5',
    pdf: rawPdf({
      page: `${MEDIA} /Annots [20 0 R]`,
      content: '0.2 0.5 0.7 rg 20 20 120 80 re f',
      objects: {
        20: '<< /Type /Annot /Subtype /Square /Rect [60 30 190 110] /C [1 0 0] /IC [1 1 0] /F 4 /AP << /N 21 0 R >> >>',
        21: {
          dict: '/Type /XObject /Subtype /Form /BBox [0 0 130 80]',
          data: '1 1 0 rg 0 0 130 80 re f',
        },
      },
    }),
    windows: WIDE,
    // Its command cannot leave annotations out.
    unfit: ['mupdf'],
  },
];
