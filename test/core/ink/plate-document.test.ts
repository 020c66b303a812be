import { describe, expect, it } from 'vitest';
import { writePlates } from '../../../core/ink/plate-document.ts';
import { PLATE_PASSES } from '../../../core/ink/plate-spaces.ts';
import { flateCodec } from '../../../main/cut/flate.ts';
import { opened } from '../../support/panel-check.ts';
import { pdfiumPicture } from '../../support/pdfium.ts';
import type { Picture } from '../../support/picture.ts';
import { type RawPage, rawPdf } from '../../support/raw-pdf.ts';
import { mupdfInkPicture, withPdfFile } from '../../support/tool-renderers.ts';
import { describeWithTools, runTool } from '../../support/tools.ts';
import { TRAP_PAGES } from '../../support/trap-pages.ts';
import { codestreamMade, enumerated, jp2Made } from '../pdf/images/jpeg2000-made.ts';

type Inks = readonly [cyan: number, magenta: number, yellow: number, black: number];

async function inkFiles(pdf: Uint8Array): Promise<Uint8Array[]> {
  const artwork = await opened(pdf);
  const files: Uint8Array[] = [];
  for (const pass of PLATE_PASSES) {
    const parts: Uint8Array[] = [];
    const output = { write: (bytes: Uint8Array) => void parts.push(bytes.slice()), rewind: () => undefined };
    await writePlates(artwork, 1, pass, output, { flate: flateCodec() });
    files.push(new Uint8Array(Buffer.concat(parts)));
  }
  return files;
}

/** Mean of a channel in percent of full. */
function mean({ data, width, height }: Picture, channel: number): number {
  let sum = 0;
  for (let at = channel; at < data.length; at += 4) sum += data[at]!;
  return (100 * sum) / (255 * width * height);
}

/** Mean ink of a page, plate by plate, in percent. */
async function inksOf(pdf: Uint8Array): Promise<Inks> {
  const [three, black] = await Promise.all((await inkFiles(pdf)).map((file) => pdfiumPicture(file)));
  return [100 - mean(three!, 0), 100 - mean(three!, 1), 100 - mean(three!, 2), 100 - mean(black!, 0)];
}

const BOX = '/MediaBox [0 0 210 130]';
const cmykRow = (...pixels: readonly Inks[]): string =>
  pixels.flatMap((inks) => inks.map((ink) => String.fromCharCode(ink))).join('');
const tint = (c0: string, c1: string) => `<< /FunctionType 2 /Domain [0 1] /N 1 /C0 [${c0}] /C1 [${c1}] >>`;

const BLEND_MODES = [
  ...['Multiply', 'Screen', 'Overlay', 'Darken', 'Lighten', 'ColorDodge', 'ColorBurn', 'HardLight'],
  ...['SoftLight', 'Difference', 'Exclusion', 'Hue', 'Saturation', 'Color', 'Luminosity'],
];
/** Half of it on the empty page, half on another color, a strip for each mode. */
const blendPage = (group: string, below: string, above: string): RawPage => ({
  page: `/MediaBox [0 0 150 60] ${group}`,
  resources: `/ExtGState << ${BLEND_MODES.map((mode) => `/${mode} << /BM /${mode} >>`).join(' ')} >>`,
  content: [
    `${below} 0 0 150 30 re f ${above}`,
    ...BLEND_MODES.map((mode, i) => `/${mode} gs ${10 * i} 0 10 60 re f`),
  ].join('\n'),
});

/** Pages with only process and spot colors, so that no renderer's color conversion matters. */
const INK_PAGES: readonly { readonly name: string; readonly page: RawPage }[] = [
  {
    name: 'flat colors, and black as gray',
    page: {
      page: BOX,
      content: '0.4 0.3 0.2 0.15 k 0 0 131 130 re f 0.7 g 131 11 60 97 re f 1 0 0 0.5 K 7 w 9 9 m 200 99 l S',
    },
  },
  {
    name: 'a picture, upright and inverted, and one of a palette',
    page: {
      page: BOX,
      resources: '/XObject << /A 20 0 R /B 21 0 R /C 22 0 R >>',
      content: 'q 83 0 0 70 7 9 cm /A Do Q q 71 0 0 51 101 13 cm /B Do Q q 61 0 0 37 29 83 cm /C Do Q',
      objects: {
        20: {
          dict: '/Type /XObject /Subtype /Image /Width 2 /Height 1 /ColorSpace /DeviceCMYK /BitsPerComponent 8',
          data: cmykRow([255, 30, 80, 10], [20, 240, 0, 130]),
        },
        21: {
          dict: '/Type /XObject /Subtype /Image /Width 2 /Height 1 /ColorSpace /DeviceCMYK /BitsPerComponent 8 /Decode [1 0 1 0 1 0 1 0]',
          data: cmykRow([200, 30, 80, 250], [20, 240, 255, 190]),
        },
        22: {
          dict: '/Type /XObject /Subtype /Image /Width 2 /Height 1 /ColorSpace [/Indexed /DeviceCMYK 1 <FF205010 00F08020>] /BitsPerComponent 8',
          data: '\x00\x01',
        },
      },
    },
  },
  {
    name: 'spot inks by every kind of tint transform',
    page: {
      page: BOX,
      resources: `/ColorSpace << /S [/Separation /Leaf /DeviceCMYK ${tint('0 0 0 0', '0.8 0.1 0.6 0.3')}] /D [/DeviceN [/Leaf /Rust] /DeviceCMYK 20 0 R] /T [/Separation /Moss /DeviceCMYK 21 0 R] /J [/Separation /Clay /DeviceCMYK << /FunctionType 3 /Domain [0 1] /Bounds [0.5] /Encode [0 1 0 1] /Functions [${tint('0 0 0 0', '0 0.5 0.7 0')} ${tint('0 0.5 0.7 0', '0.2 1 0.7 0.4')}] >>] /B [/Separation /Black /DeviceCMYK ${tint('0 0 0 0', '0 0 0 1')}] >>`,
      content:
        '/S cs 0.7 scn 0 0 61 130 re f /D cs 0.5 0.8 scn 61 0 43 130 re f /T cs 0.35 scn 104 0 37 130 re f /J cs 0.75 scn 141 0 31 90 re f /B cs 0.6 scn 172 0 29 70 re f',
      objects: {
        20: {
          dict: '/FunctionType 4 /Domain [0 1 0 1] /Range [0 1 0 1 0 1 0 1]',
          data: '{ dup 0.9 mul exch 0.2 mul 3 -1 roll dup 0.6 mul exch 2 mul }',
        },
        21: {
          dict: '/FunctionType 0 /Domain [0 1] /Range [0 1 0 1 0 1 0 1] /Size [3] /BitsPerSample 8 /Decode [0 1 0 1 0 1 0 0.5]',
          data: cmykRow([0, 0, 0, 0], [120, 20, 200, 60], [250, 40, 255, 255]),
        },
      },
    },
  },
  {
    name: 'shading patterns without black, with nothing else, and with as much black all over',
    page: {
      page: BOX,
      resources: `/Pattern << ${[
        ['Sky', '/DeviceCMYK', '1 0 0.2 0', '0 0.8 0.4 0'],
        ['Shade', '/DeviceCMYK', '0 0 0 0.7', '0 0 0 0.1'],
        ['Even', '/DeviceCMYK', '0.9 0 0 0.35', '0 0.6 0 0.35'],
      ]
        .map(
          ([name, space, c0, c1]) =>
            `/${name} << /PatternType 2 /Matrix [0.5 0.1 0 -0.7 20 100] /Shading << /ShadingType 2 /ColorSpace ${space} /Coords [0 0 300 0] /Extend [true true] /Function << /FunctionType 3 /Domain [0 1] /Bounds [0.4] /Encode [0 1 0 1] /Functions [${tint(c0!, c1!)} ${tint(c1!, c0!)}] >> >> >>`,
        )
        .join(' ')} >>`,
      content:
        '0.2 0.1 0.4 0.5 k 0 0 210 130 re f /Pattern cs /Sky scn 10 10 m 90 20 l 70 120 l f /Shade scn 100 5 47 60 re f /Even scn 120 50 60 71 re f',
    },
  },
  {
    name: 'a shading, a pattern and colors inside a form',
    page: {
      page: BOX,
      resources:
        '/Shading << /Sh << /ShadingType 2 /ColorSpace /DeviceCMYK /Coords [0 0 90 0] /Extend [true true] /Function << /FunctionType 2 /Domain [0 1] /N 1 /C0 [1 0 0.2 0] /C1 [0 0.8 0.4 0.6] >> >> >> /Pattern << /P 20 0 R >> /XObject << /F 21 0 R >>',
      content: 'q 0 0 90 130 re W n /Sh sh Q /Pattern cs /P scn 97 7 53 111 re f /F Do',
      objects: {
        20: {
          dict: '/Type /Pattern /PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 10 10] /XStep 10 /YStep 10 /Resources << >>',
          data: '0 0 5 10 re f 0.3 1 0 0 k 5 0 5 7 re f',
        },
        21: {
          dict: '/Type /XObject /Subtype /Form /BBox [0 0 210 130]',
          data: '/DeviceCMYK cs 160 20 11 90 re f 0.2 0.9 0.1 0.4 sc 171 20 23 90 re f',
        },
      },
    },
  },
  {
    name: 'multiplied and half transparent in a CMYK group',
    page: {
      page: `${BOX} /Group << /S /Transparency /CS /DeviceCMYK /I true >>`,
      resources: '/ExtGState << /M << /BM /Multiply >> /H << /ca 0.4 /BM /Normal >> >>',
      content:
        '0.6 0 0.3 0.1 k 11 13 111 90 re f /M gs 0 0.7 0.4 0.2 k 51 33 100 70 re f /H gs 1 0.2 0 0.5 k 91 5 100 60 re f',
    },
  },
  ...['', '/Group << /S /Transparency /CS /DeviceCMYK /I true >>'].map((group) => ({
    name: `every blend mode, on the empty page too, ${group ? 'in a CMYK group' : 'without a group'}`,
    page: blendPage(group, '0.6 0.1 0.3 0.2 k', '0.2 0.7 0.4 0.1 k'),
  })),
  {
    name: 'black and a spot ink that overprint',
    page: {
      page: BOX,
      resources: `/ExtGState << /O << /OP true /op true /OPM 1 >> /N << /OP false /op false >> >> /ColorSpace << /S [/Separation /Black /DeviceCMYK ${tint('0 0 0 0', '0 0 0 1')}] >>`,
      content:
        '0.7 0.4 0 0 k 11 13 111 90 re f /O gs 0 0 0 1 k 31 23 60 40 re f /S cs 0.5 scn 31 73 130 20 re f /N gs 0 0 0.9 0 k 71 33 100 20 re f',
    },
  },
];

describe('inks of a page', () => {
  // Total area coverage: the tone value sum of ISO 12647-1 (term from memory).
  it('40/30/20/15 is 105 %, whatever says it', async () => {
    const colors = [
      '0.4 0.3 0.2 0.15 k',
      '/DeviceCMYK cs 0.4 0.3 0.2 0.15 sc',
      '/I cs 0.4 0.3 0.2 0.15 scn',
      '/S cs 1 scn',
    ];
    for (const color of colors) {
      const inks = await inksOf(
        rawPdf({
          page: BOX,
          resources: `/ColorSpace << /I [/ICCBased 20 0 R] /S [/Separation /Leaf /DeviceCMYK ${tint('0 0 0 0', '0.4 0.3 0.2 0.15')}] >>`,
          content: `${color} 0 0 210 130 re f`,
          objects: { 20: { dict: '/N 4 /Alternate /DeviceCMYK', data: 'no profile' } },
        }),
      );
      for (const [at, expected] of [40, 30, 20, 15].entries()) {
        expect(Math.abs(inks[at]! - expected)).toBeLessThan(0.3);
      }
      expect(Math.abs(inks.reduce((sum, ink) => sum + ink, 0) - 105)).toBeLessThan(0.6);
    }
  });

  it('registration is full ink on every plate, and white is none', async () => {
    const registration = rawPdf({
      page: BOX,
      resources: `/ColorSpace << /R [/Separation /All /DeviceCMYK ${tint('0 0 0 0', '1 1 1 1')}] >>`,
      content: '/R cs 1 scn 0 0 210 130 re f',
    });
    expect(await inksOf(registration)).toEqual([100, 100, 100, 100]);
    expect(await inksOf(rawPdf({ page: BOX, content: '1 1 1 rg 0 0 210 130 re f' }))).toEqual([0, 0, 0, 0]);
  });

  it('the ink None is none, and alone leaves what lies there', async () => {
    const none = (count: number): Uint8Array =>
      rawPdf({
        page: BOX,
        resources: `/ColorSpace << /N [/DeviceN [${'/None '.repeat(count)}] /DeviceCMYK 20 0 R] >>`,
        content: `0.4 0.3 0.2 0.1 k 0 0 105 130 re f /N cs ${'0.9 '.repeat(count)}scn 0 0 210 130 re f`,
        objects: {
          20: {
            dict: `/FunctionType 4 /Domain [${'0 1 '.repeat(count)}] /Range [0 1 0 1 0 1 0 1]`,
            data: `{ ${'pop '.repeat(count)}1 1 1 1 }`,
          },
        },
      });
    expect((await inksOf(none(1))).map((ink) => Math.round(ink))).toEqual([20, 15, 10, 5]);
    expect(await inksOf(none(2))).toEqual([0, 0, 0, 0]);
  });

  it('a dozen inks are picked from', async () => {
    const names = Array.from(
      { length: 12 },
      (_, i) => ({ 3: '/Cyan', 8: '/Black', 11: '/Yellow' })[i] ?? '/None',
    );
    const values = names.map((_, i) => ({ 3: 0.4, 8: 0.15, 11: 0.2 })[i] ?? 0.9);
    const pdf = rawPdf({
      page: BOX,
      resources: `/ColorSpace << /M [/DeviceN [${names.join(' ')}] /DeviceCMYK 20 0 R] >>`,
      content: `/M cs ${values.join(' ')} scn 0 0 210 130 re f`,
      objects: {
        20: {
          dict: `/FunctionType 4 /Domain [${'0 1 '.repeat(12)}] /Range [0 1 0 1 0 1 0 1]`,
          data: `{ ${'pop '.repeat(12)}0.4 0 0.2 0.15 }`,
        },
      },
    });
    expect((await inksOf(pdf)).map((ink) => Math.round(ink))).toEqual([40, 0, 20, 15]);
  });

  it('red, green and blue count as their complements without black', async () => {
    const inks = await inksOf(rawPdf({ page: BOX, content: '0.2 0.6 1 rg 0 0 210 130 re f' }));
    expect(inks.map((ink) => Math.round(ink))).toEqual([80, 40, 0, 0]);
  });
});

describe('inks of blended colors', () => {
  it('light that is blended as light gives no black, whatever the mode', async () => {
    const group = '/Group << /S /Transparency /CS /DeviceRGB /I true >>';
    const inks = await inksOf(rawPdf(blendPage(group, '0.3 0.8 0.6 rg', '0.7 0.4 0.9 rg')));
    expect(inks[3]).toBe(0);
    // Differences of light: 0.4, 0.4 and 0.3, of which the complements are ink.
    const difference = rawPdf({
      page: `/MediaBox [0 0 30 20] ${group}`,
      resources: '/ExtGState << /M << /BM [/Difference /Normal] >> >>',
      content: '0.3 0.8 0.6 rg 0 0 30 20 re f /M gs 0.7 0.4 0.9 rg 0 0 30 20 re f',
    });
    expect((await inksOf(difference)).map((ink) => Math.round(ink))).toEqual([60, 60, 70, 0]);
  });

  it('gray that is blended as gray gives black alone, in a form too', async () => {
    const gray = rawPdf({
      page: '/MediaBox [0 0 30 20]',
      resources: '/XObject << /F 20 0 R >>',
      content: '/F Do',
      objects: {
        20: {
          dict: '/Subtype /Form /BBox [0 0 30 20] /Group << /S /Transparency /CS /DeviceGray /I true >> /Resources << /ExtGState << /M << /BM /Difference >> >> >>',
          data: '0.3 g 0 0 30 20 re f /M gs 0.9 g 0 0 30 20 re f',
        },
      },
    });
    // |0.3 − 0.9| of light.
    expect((await inksOf(gray)).map((ink) => Math.round(ink))).toEqual([0, 0, 0, 40]);
  });
});

describe('inks of JPEG 2000 that brings its own colors', () => {
  // Samples of 128, in the dictionary no word of colors.
  const withPicture = (data: Uint8Array, more = '') =>
    rawPdf({
      page: '/MediaBox [0 0 40 30]',
      resources: '/XObject << /I 20 0 R >>',
      content: 'q 40 0 0 30 0 0 cm /I Do Q',
      objects: {
        20: {
          dict: `/Type /XObject /Subtype /Image /Width 40 /Height 30 /Filter /JPXDecode ${more}`,
          data,
        },
      },
    });
  const HALF = 50;
  const KINDS: readonly (readonly [string, Uint8Array, Inks])[] = [
    ['four inks', jp2Made(40, 30, 4, [enumerated(12)]), [HALF, HALF, HALF, HALF]],
    ['a codestream of four channels', codestreamMade(40, 30, 4), [HALF, HALF, HALF, HALF]],
    ['gray', jp2Made(40, 30, 1, [enumerated(17)]), [0, 0, 0, HALF]],
    ['red, green and blue', jp2Made(40, 30, 3, [enumerated(16)]), [HALF, HALF, HALF, 0]],
  ];
  it.each(KINDS)('are those of its header: %s', async (_, data, expected) => {
    const inks = await inksOf(withPicture(data));
    for (const at of [0, 1, 2, 3]) expect(Math.abs(inks[at]! - expected[at]!)).toBeLessThan(0.5);
  });

  it('are those of the dictionary where it names a space', async () => {
    const inks = await inksOf(withPicture(jp2Made(40, 30, 3, [enumerated(16)]), '/ColorSpace /DeviceRGB'));
    expect(inks.map((ink) => Math.round(ink))).toEqual([HALF, HALF, HALF, 0]);
  });
});

describeWithTools(['gs'], 'inks by Ghostscript', () => {
  for (const { name, page } of INK_PAGES) {
    // Overprinted objects keep the larger ink here, which is what these pages ask for.
    it(`${name}: every plate as the device ink_cov has it`, async () => {
      const pdf = rawPdf(page);
      const inks = await inksOf(pdf);
      const told = withPdfFile(pdf, (path) =>
        runTool('gs', [
          ...['-q', '-dNOPAUSE', '-dBATCH', '-dSAFER', '-sDEVICE=ink_cov', '-r288', '-sOutputFile=-', path],
        ]),
      );
      const expected = told.toString().trim().split(/\s+/).slice(0, 4).map(Number);
      expect(expected.reduce((sum, ink) => sum + ink, 0)).toBeGreaterThan(20);
      for (const at of [0, 1, 2, 3]) expect(Math.abs(inks[at]! - expected[at]!)).toBeLessThan(1);
    });
  }
});

/** By MuPDF, red, green and blue become four inks with all common gray as black; here they become three. */
describeWithTools(['mutool'], 'inks by MuPDF', () => {
  // MuPDF draws annotations, and loses a clip whose path a pattern fills.
  const unfit = /annotations|a clip by a path that a pattern fills/;
  for (const { name, clause, pdf } of TRAP_PAGES.filter((page) => !unfit.test(page.name))) {
    it(`${name} (ISO 32000-1, ${clause}): each ink together with black`, async () => {
      const inks = await inksOf(pdf);
      const told = mupdfInkPicture(pdf);
      const expected = [0, 1, 2, 3].map((channel) => mean(told, channel));
      for (const at of [0, 1, 2]) {
        expect(Math.abs(inks[at]! + inks[3] - expected[at]! - expected[3]!)).toBeLessThan(2);
      }
    });
  }
});

describeWithTools(['qpdf'], 'files of inks', () => {
  it('are sound PDFs', async () => {
    const { pdf } = TRAP_PAGES.find(({ name }) => name === 'Separation and DeviceN color')!;
    for (const file of await inkFiles(pdf)) {
      const told = withPdfFile(file, (path) => runTool('qpdf', ['--check', path]));
      expect(told.toString()).toContain('No syntax or stream encoding errors');
    }
  });
});
