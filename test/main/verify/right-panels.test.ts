/** Right panels that a verification could take for wrong ones: each is cut from a page made for it, and verified. */
import { deflateSync } from 'node:zlib';
import { afterEach, describe, expect, it } from 'vitest';
import type { Region } from '../../../core/job/schema.ts';
import { random } from '../../core/pdf/images/jpeg-made.ts';
import { jpeg2000Encoded, wavySamples } from '../../support/jpeg2000-encoded.ts';
import { type RawPage, rawPdf } from '../../support/raw-pdf.ts';
import { smallJob } from '../../support/small-job.ts';
import { WrittenOutput } from './damaged-output.ts';
import { plantedArtwork } from './planted-art.ts';

const MEDIA = '/MediaBox [0 0 907.0866 396.8504]';
const GROUND = '0.1 0.2 0 0 k 0 0 908 397 re f';
/** On either side of the seam, at 0.43 of the side. */
const TWO_CLIPS = (painted: string) =>
  `${GROUND} q 40 0 150 397 re W n ${painted} Q q 650 0 150 397 re W n ${painted} Q`;

let output: WrittenOutput | undefined;
afterEach(() => {
  output?.remove();
  output = undefined;
});

async function faultsOf(page: RawPage | Uint8Array, layout?: Region): Promise<string[]> {
  const artwork = page instanceof Uint8Array ? page : rawPdf({ page: MEDIA, ...page });
  output = await WrittenOutput.made(artwork, layout && { sides: [{ ...smallJob().sides[0]!, layout }] });
  const { faults } = await output.copy().verified();
  return faults.map(({ code, message }) => `${code}: ${message}`);
}

const gray = (columns: number, rows: number, level: (x: number, y: number) => number): Uint8Array => {
  const data = new Uint8Array(columns * rows);
  for (let i = 0; i < data.length; i++) data[i] = level(i % columns, Math.floor(i / columns));
  return deflateSync(data);
};
const image = (columns: number, rows: number, data: Uint8Array, more = '') => ({
  dict: `/Type /XObject /Subtype /Image /Width ${columns} /Height ${rows} /ColorSpace /DeviceGray /BitsPerComponent 8 /Filter /FlateDecode ${more}`,
  data,
});

const PAGES: Readonly<Record<string, RawPage>> = {
  'operators that no standard knows, called as methods of objects are': {
    content: `${GROUND} constructor toString valueOf 1 0 0 rg 40 40 500 200 re f`,
  },
  'the same rectangle under two clips': { content: TWO_CLIPS('1 0 0 rg 0 0 907 397 re f') },
  'the same group under two clips': {
    content: TWO_CLIPS('/Group Do'),
    resources: '/XObject << /Group 20 0 R >>',
    objects: {
      20: {
        dict: '/Type /XObject /Subtype /Form /BBox [-32768 -32768 32768 32768] /Group << /S /Transparency >> /Resources << >>',
        data: '1 0 0 rg 0 100 907 200 re f',
      },
    },
  },
  'the same picture under two clips': {
    content: TWO_CLIPS('907 0 0 397 0 0 cm /Picture Do'),
    resources: '/XObject << /Picture 20 0 R >>',
    objects: {
      20: image(
        60,
        40,
        gray(60, 40, (x, y) => 3 * x + 2 * y),
      ),
    },
  },
  'the same large picture three times': {
    content: `${GROUND} q 300 0 0 90 10 20 cm /Picture Do Q q 300 0 0 90 300 140 cm /Picture Do Q q 300 0 0 90 590 260 cm /Picture Do Q`,
    resources: '/XObject << /Picture 20 0 R >>',
    objects: {
      20: image(
        1500,
        450,
        gray(1500, 450, (x, y) => (x * 7 + y * 13) % 251),
      ),
    },
  },
  'strings without a letter': {
    content: `0.9 g 0 0 908 397 re f 0 g BT /F 40 Tf 20 300 Td () Tj (LEFT) Tj 700 -200 Td () Tj [ -300 ] TJ (RIGHT) Tj ET 10 10 20 20 re f 870 370 20 20 re f`,
    resources: '/Font << /F << /Type /Font /Subtype /Type1 /BaseFont /Helvetica-Bold >> >>',
  },
  'lettering in a font that is not there': {
    content: `${GROUND} BT /Gone 40 Tf 20 300 Td (text in a font that is not there) Tj ET 1 0 0 rg 800 20 30 30 re f`,
    resources: '/Font << >>',
  },
  'lettering that nobody can measure': {
    content: `${GROUND} BT /F 20 Tf 350 200 Td (ABCABCABCABC) Tj ET 0 0 1 rg 20 20 30 30 re f`,
    resources:
      '/Font << /F << /Type /Font /Subtype /Type0 /Encoding /Gone-H /BaseFont /Gone /DescendantFonts [<< /Type /Font /Subtype /CIDFontType0 /BaseFont /Gone >>] >> >>',
  },
  'a radial ramp over the seam': {
    content: `${GROUND} /Pattern cs /Ramp scn 0 0 908 397 re f`,
    resources: '/Pattern << /Ramp 20 0 R >>',
    objects: {
      20: '<< /PatternType 2 /Matrix [1.3 0.2 -0.1 0.8 30 20] /Shading << /ShadingType 3 /ColorSpace /DeviceRGB /Coords [300 180 9 350 200 260] /Extend [true true] /Function << /FunctionType 2 /Domain [0 1] /N 1 /C0 [1 0.9 0] /C1 [0.3 0 0.6] >> >> >>',
    },
  },
  'a group under a soft mask over the seam': {
    content: `${GROUND} q /Masked gs /Group Do Q`,
    resources:
      '/ExtGState << /Masked << /SMask << /S /Luminosity /G 20 0 R >> >> >> /XObject << /Group 21 0 R >>',
    objects: {
      20: {
        dict: '/Type /XObject /Subtype /Form /BBox [0 0 908 397] /Group << /S /Transparency /CS /DeviceGray >> /Resources << /XObject << /Mask 22 0 R >> >>',
        data: 'q 700 0 0 300 100 50 cm /Mask Do Q',
      },
      21: {
        dict: '/Type /XObject /Subtype /Form /BBox [0 0 908 397] /Group << /S /Transparency /I true >> /Resources << >>',
        data: '1 0 0 rg 80 30 760 340 re f 0 0.4 0.9 rg 200 90 500 210 re f',
      },
      22: image(
        32,
        24,
        gray(32, 24, (x, y) => 120 + 100 * Math.sin(x / 3) * Math.cos(y / 4)),
      ),
    },
  },
  'thousands of small objects': {
    content: `${GROUND} ${Array.from({ length: 6000 }, (_, i) => `${(i % 10) / 10} 0.4 ${(i % 7) / 7} rg ${(i * 37) % 905} ${(i * 53) % 393} 1.5 1.5 re f`).join(' ')}`,
  },
  'a pattern that fills and clips': {
    content: `${GROUND} q /Pattern cs /Tiles scn 250 375 m 890 110 l 400 50 l W f q 600 0 0 300 150 70 cm /Picture Do Q Q`,
    resources: '/Pattern << /Tiles 20 0 R >> /XObject << /Picture 21 0 R >>',
    objects: {
      20: {
        dict: '/Type /Pattern /PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 40 30] /XStep 46.42 /YStep 38.45 /Matrix [0.82 -0.01 -0.02 1.1 20.46 42.57] /Resources << >>',
        data: '1 0 0 rg 0 0 20 15 re f 0 .6 .2 rg 20 15 20 15 re f',
      },
      21: image(
        60,
        40,
        gray(60, 40, (x, y) => 2 * x + 3 * y),
      ),
    },
  },
};

/** Books on a shelf, with lines between them that are thinner than a pixel of the verification, and some grain. */
function thinLines(): Uint8Array {
  const [columns, rows] = [5000, 420];
  const chance = random(52);
  const spines = Array.from({ length: columns }, () => 0);
  for (let x = 0; x < columns; x += 12 + Math.floor(40 * chance())) {
    const level = 90 + Math.floor(150 * chance());
    spines.fill(level, x);
    spines.fill(20, x, x + 2);
  }
  const data = gray(columns, rows, (x) => spines[x]! + Math.floor(10 * chance()));
  return rawPdf({
    page: MEDIA,
    content: `${GROUND} q 907.1 0 0 120 0 30 cm /Picture Do Q`,
    resources: '/XObject << /Picture 20 0 R >>',
    objects: { 20: image(columns, rows, data) },
  });
}

describe('right panels', () => {
  it('are verified with a part of a picture in JPEG 2000, and a sample of it that is another is found', async () => {
    const [width, height] = [700, 300];
    const samples = wavySamples(width, height, 3);
    const data = await jpeg2000Encoded({ width, height, channels: 3, samples });
    const dict = `/Type /XObject /Subtype /Image /Width ${width} /Height ${height} /ColorSpace /DeviceRGB /Filter /JPXDecode`;
    const page: RawPage = {
      content: `${GROUND} q 860 0 0 370 20 10 cm /Picture Do Q`,
      resources: '/XObject << /Picture 20 0 R >>',
      objects: { 20: { dict, data } },
    };
    expect(await faultsOf(page)).toEqual([]);
    const notes = output!.manifest.panels.flatMap((panel) => panel.notes);
    expect(notes.filter((note) => note.includes('cropped as samples'))).toHaveLength(2);
    const copy = output!.copy();
    await copy.edit(1, (parts) => parts.changeSample());
    const { faults } = await copy.verified();
    expect(faults.map(({ code }) => code)).toContain('samples-changed');
  });

  it('are verified with a mask in JPEG 2000 over a picture in it, and over one that is packed by Flate', async () => {
    const [width, height] = [700, 300];
    const coded = (channels: number) =>
      jpeg2000Encoded({ width, height, channels, samples: wavySamples(width, height, channels) });
    const dict = (more: string) => `/Type /XObject /Subtype /Image /Width ${width} /Height ${height} ${more}`;
    const page: RawPage = {
      content: `${GROUND} q 860 0 0 170 20 10 cm /Coded Do Q q 860 0 0 170 20 200 cm /Packed Do Q`,
      resources: '/XObject << /Coded 20 0 R /Packed 21 0 R >>',
      objects: {
        20: { dict: dict('/ColorSpace /DeviceRGB /Filter /JPXDecode /SMask 22 0 R'), data: await coded(3) },
        21: image(width, height, deflateSync(wavySamples(width, height, 1)), '/SMask 22 0 R'),
        22: { dict: dict('/ColorSpace /DeviceGray /Filter /JPXDecode'), data: await coded(1) },
      },
    };
    expect(await faultsOf(page)).toEqual([]);
    const notes = output!.manifest.panels.flatMap((panel) => panel.notes);
    expect(notes.join()).not.toContain('whole');
  });

  it.each(Object.entries(PAGES))('are verified: %s', async (_, page) => {
    expect(await faultsOf(page)).toEqual([]);
  });

  it('are verified with a picture that is wider than renderers can draw', async () => {
    // A side of 16 m at 75 pixels per inch has as many.
    const columns = 47_700;
    const data = gray(columns, 64, (x, y) => (x >> 5) + y);
    const page: RawPage = {
      content: `${GROUND} q 908 0 0 200 0 100 cm /Picture Do Q 0 0 0 1 k 100 20 700 40 re f`,
      resources: '/XObject << /Picture 20 0 R >>',
      objects: { 20: image(columns, 64, data) },
    };
    expect(await faultsOf(page)).toEqual([]);
  });

  it('are verified one by one, as a reprint is', async () => {
    output = await WrittenOutput.made(plantedArtwork());
    const copy = output.copy();
    const [first, second] = copy.manifest.panels.splice(0, 2) as [
      (typeof copy.manifest.panels)[0],
      (typeof copy.manifest.panels)[0],
    ];
    for (const panel of [first, second]) {
      copy.manifest.panels.splice(0, 2, panel);
      const only = await copy.verified(new Set([panel.panelId]));
      expect(only.faults.filter(({ code }) => code !== 'panel-unlisted')).toEqual([]);
    }
  });

  it.each([
    ['everything that a panel can lose', plantedArtwork],
    ['a picture of thin lines', thinLines],
  ])('are verified at a tenth of their size: %s', async (_, artwork) => {
    output = await WrittenOutput.made(artwork(), {
      output: { ...smallJob().output, size: { kind: 'reduction', factor: 10 } },
    });
    expect((await output.copy().verified()).faults).toEqual([]);
  });
});
