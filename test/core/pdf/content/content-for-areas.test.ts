import fc from 'fast-check';
import { PDFName, PDFRef } from 'pdf-lib';
import { describe, expect, it } from 'vitest';
import { type AreaContent, contentForAreas } from '../../../../core/pdf/content/content-for-areas.ts';
import type { StoredStream } from '../../../../core/pdf/file/stored-stream.ts';
import type { SourceBox } from '../../../../core/pdf/page/page-space.ts';
import { pdfiumPicture } from '../../../support/pdfium.ts';
import { colorCount, type Picture, pictureCropped, pictureDifference } from '../../../support/picture.ts';
import { type RawObject, type RawStream, rawPdf } from '../../../support/raw-pdf.ts';
import { keptBytes, keptText, pageOf } from './content-support.ts';

const WIDTH = 240;
const HEIGHT = 160;

interface Art {
  readonly resources: Readonly<Record<string, Readonly<Record<string, string>>>>;
  readonly content: string;
  readonly objects: Readonly<Record<number, RawObject>>;
}

/** The art as a PDF, or what a window needs of it: shortened streams, and no resource that is not named. */
async function artPdf(art: Art, cut?: AreaContent): Promise<Uint8Array> {
  const used = cut?.page.names;
  const resources = Object.entries(art.resources).map(([category, entries]) => {
    const kept = Object.entries(entries).filter(([name]) => used === undefined || used.has(PDFName.of(name)));
    return `/${category} << ${kept.map(([name, value]) => `/${name} ${value}`).join(' ')} >>`;
  });
  const objects: Record<number, RawObject> = { ...art.objects };
  for (const [stream, form] of cut?.forms ?? []) {
    const number = (stream as StoredStream).ref.objectNumber;
    const { data, ...rest } = art.objects[number] as RawStream;
    objects[number] = { ...rest, data: keptBytes(form, data) };
  }
  const content = cut === undefined ? art.content : keptText(cut.page, art.content);
  return rawPdf({
    page: `/MediaBox [0 0 ${WIDTH} ${HEIGHT}]`,
    resources: resources.join(' '),
    content,
    objects,
  });
}

const cutFor = async (art: Art, ...windows: readonly SourceBox[]): Promise<AreaContent[]> =>
  contentForAreas(await pageOf(await artPdf(art)), windows);

/** A window of the page (y up) in a rendering at 72 ppi. */
const windowPicture = (picture: Picture, w: SourceBox): Picture =>
  pictureCropped(picture, { x: w.x0, y: HEIGHT - w.y1, width: w.x1 - w.x0, height: w.y1 - w.y0 });

const GRAY_IMAGE = {
  dict: '/Subtype /Image /Width 4 /Height 4 /BitsPerComponent 8 /ColorSpace /DeviceGray',
  data: Uint8Array.from({ length: 16 }, (_, i) => i * 13 + 20),
};

/** One of everything, spread over the page. */
const ART: Art = {
  resources: {
    XObject: { Far: '20 0 R', Near: '20 0 R', Form: '21 0 R', Twice: '22 0 R', Soft: '23 0 R' },
    Font: { F: '24 0 R', G: '25 0 R' },
    ExtGState: { Half: '<< /ca 0.5 /BM /Multiply >>', Mask: '<< /SMask << /S /Luminosity /G 26 0 R >> >>' },
    Pattern: { Tiles: '27 0 R', Fade: '<< /PatternType 2 /Shading 28 0 R >>', Far: '29 0 R' },
    Shading: { S: '28 0 R' },
    ColorSpace: { Spot: '[/Separation /Signal /DeviceRGB 30 0 R]' },
    Properties: { Note: '<< /Note (x) >>' },
  },
  content: `0.9 0.8 0.2 rg 2 2 236 156 re f
    q 30 0 0 20 5 130 cm /Far Do Q
    0 0.4 0.6 rg
    q 24 0 0 24 190 20 cm /Near Do Q
    /Pattern cs /Tiles scn 20 20 40 30 re f
    /Far scn 80 110 30 30 re f
    0.5 0 0.5 rg
    BT /F 14 Tf 10 90 Td (left) Tj 150 0 Td (right) Tj ET
    BT /G 12 Tf 12 70 Td (lower left) Tj 0 -13 Td (and on) ' ET
    BT /G 12 Tf 120 140 Td (top) Tj ET
    BT 150 120 Td (inherits its font) Tj ET
    q 60 60 40 40 re W n 1 0 0 1 50 50 cm /S sh Q
    q 1 0 0 1 120 20 cm /Form Do Q
    q 0.5 0 0 0.5 10 10 cm /Twice Do Q q 0.5 0 0 0.5 165 60 cm /Twice Do Q
    q /Half gs 0 1 0 rg 30 40 60 60 re f Q
    q /Mask gs /Soft Do Q
    /Note BMC 0 0 1 RG 5 w 100 5 m 140 30 l S EMC
    /Spot cs 0.7 scn 200 100 m 230 100 l 215 130 l h W f
    0 0 0 rg 205 105 25 20 re f
    q 16 0 0 8 60 146 cm BI /W 2 /H 1 /CS /RGB /BPC 8 ID \x10\x20\xe0\xe0\x20\x10 EI Q
    q q 0 1 1 rg 3 60 6 6 re f Q 1 0 1 rg 230 3 6 6 re f Q`,
  objects: {
    20: GRAY_IMAGE,
    21: {
      dict: '/Subtype /Form /BBox [0 0 100 60] /Resources << /XObject << /I 20 0 R >> >>',
      data: '1 0 0 rg 0 0 20 20 re f q 10 0 0 10 85 45 cm /I Do Q 0 0 1 rg 60 30 15 15 re f',
    },
    22: {
      dict: '/Subtype /Form /BBox [0 0 80 80] /Resources << /XObject << /I 20 0 R >> >>',
      data: '0 1 0 rg 5 5 10 10 re f 1 0 0 rg 60 60 20 20 re f q 10 0 0 10 40 40 cm /I Do Q',
    },
    23: {
      dict: '/Subtype /Form /BBox [0 0 240 160] /Group << /S /Transparency /K true >> /Resources << >>',
      data: '1 0 0 rg 100 60 40 40 re f 0 0 1 rg 20 100 40 20 re f',
    },
    24: '<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>',
    25: '<< /Type /Font /Subtype /Type1 /BaseFont /Times-Roman >>',
    26: {
      dict: '/Subtype /Form /BBox [0 0 240 160] /Group << /S /Transparency /CS /DeviceGray >> /Resources << >>',
      data: '0.6 g 0 0 240 160 re f 1 g 110 70 20 20 re f',
    },
    27: {
      dict: '/PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 8 8] /XStep 8 /YStep 8 /Resources << /XObject << /I 20 0 R >> >>',
      data: '0 0.5 0 rg 0 0 4 4 re f q 4 0 0 4 4 4 cm /I Do Q',
    },
    28: '<< /ShadingType 2 /ColorSpace /DeviceRGB /Coords [0 0 60 60] /Extend [true true] /Function 31 0 R >>',
    29: {
      dict: '/PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 8 8] /XStep 8 /YStep 8 /Resources << >>',
      data: '1 0 0 rg 0 0 3 8 re f',
    },
    30: { dict: '/FunctionType 2 /Domain [0 1] /N 1 /C0 [1 1 1] /C1 [0.8 0.1 0]', data: '' },
    31: { dict: '/FunctionType 2 /Domain [0 1] /N 1 /C0 [1 0 0] /C1 [0 0 1]', data: '' },
  },
};

function expectBox(box: SourceBox | 'whole' | undefined, expected: readonly number[]): void {
  if (box === undefined || box === 'whole') throw new Error(`a part was expected, not ${box}`);
  for (const [i, edge] of (['x0', 'y0', 'x1', 'y1'] as const).entries()) {
    expect(box[edge]).toBeCloseTo(expected[i]!, 9);
  }
}

const WINDOWS: readonly SourceBox[] = [
  { x0: 0, y0: 0, x1: 80, y1: 80 },
  { x0: 80, y0: 0, x1: 160, y1: 80 },
  { x0: 160, y0: 0, x1: 240, y1: 80 },
  { x0: 0, y0: 80, x1: 120, y1: 160 },
  { x0: 120, y0: 80, x1: 240, y1: 160 },
];

describe('leaving out', () => {
  it('what is left looks the same inside the window, by PDFium', async () => {
    const before = await pdfiumPicture(await artPdf(ART));
    const cuts = await cutFor(ART, ...WINDOWS);
    for (const [i, cut] of cuts.entries()) {
      const window = WINDOWS[i]!;
      expect(keptBytes(cut.page, ART.content).length).toBeLessThan(ART.content.length * 0.85);
      const expected = windowPicture(before, window);
      expect(colorCount(expected)).toBeGreaterThan(4);
      const after = windowPicture(await pdfiumPicture(await artPdf(ART, cut)), window);
      expect(pictureDifference(expected, after), `window ${i}`).toMatchObject({ differing: 0 });
    }
  });

  it('any window looks the same', async () => {
    const before = await pdfiumPicture(await artPdf(ART));
    const edge = (max: number) => fc.tuple(fc.nat(max - 12), fc.integer({ min: 10, max: 90 }));
    await fc.assert(
      fc.asyncProperty(edge(WIDTH), edge(HEIGHT), async ([x0, width], [y0, height]) => {
        const window = { x0, y0, x1: Math.min(WIDTH, x0 + width), y1: Math.min(HEIGHT, y0 + height) };
        const [cut] = await cutFor(ART, window);
        const after = await pdfiumPicture(await artPdf(ART, cut));
        expect(pictureDifference(windowPicture(before, window), windowPicture(after, window)).differing).toBe(
          0,
        );
      }),
      { numRuns: 40 },
    );
  });

  it('forms, images, patterns and fonts that do not show are not named any more', async () => {
    const [left, , right] = await cutFor(ART, ...WINDOWS);
    const names = (cut: AreaContent, category: string) => {
      const used = cut.page.names;
      return Object.keys(ART.resources[category]!)
        .filter((name) => used.has(PDFName.of(name)))
        .sort();
    };
    expect(names(left!, 'XObject')).toEqual(['Soft', 'Twice']);
    expect(names(left!, 'Font')).toEqual(['F', 'G']);
    expect(names(left!, 'Pattern')).toEqual(['Tiles']);
    expect(names(right!, 'XObject')).toEqual(['Form', 'Near', 'Soft', 'Twice']);
    expect(names(right!, 'Pattern')).toEqual([]);
    expect(names(right!, 'Shading')).toEqual([]);
  });

  it('a font or pattern that only far things use goes with the operator that sets it', async () => {
    const art: Art = {
      resources: { Font: { F: '24 0 R', G: '25 0 R' }, Pattern: { Tiles: '27 0 R', Far: '29 0 R' } },
      content: `BT /F 9 Tf 5 5 Td (far) Tj ET BT /G 9 Tf 200 100 Td (near) Tj ET BT 190 90 Td (near too) Tj ET
        /Pattern cs /Far scn 0 0 5 5 re f /Tiles scn 10 10 5 5 re f 200 100 5 5 re f`,
      objects: ART.objects,
    };
    const [cut] = await cutFor(art, { x0: 150, y0: 80, x1: 240, y1: 160 });
    const used = [...cut!.page.names].map((name) => name.decodeText());
    expect(used).toEqual(['G', 'Pattern', 'Tiles']);
    expect(keptText(cut!.page, art.content)).not.toMatch(/\/F |\/Far/);
  });

  it('a form placed twice keeps what either place shows', async () => {
    const [left, , right] = await cutFor(ART, ...WINDOWS);
    const form = (cut: AreaContent) =>
      [...cut.forms].find(([stream]) => (stream as StoredStream).ref === PDFRef.of(22))![1];
    const source = (ART.objects[22] as RawStream).data;
    const text = (cut: AreaContent) => keptText(form(cut), source);
    expect(form(left!).isWhole).toBe(true);
    expect(text(left!)).toBe(source);
    expect(text(right!)).toContain('5 5 10 10 re f');
    expect(text(right!)).not.toContain('60 60 20 20 re f');
  });

  it('colors, fonts and marked content that later operators rely on stay', async () => {
    const state: Art = {
      resources: { Font: { F: '24 0 R' }, ExtGState: { Half: '<< /ca 0.5 >>' } },
      content: `BT /F 9 Tf 3 Tc (far) Tj ET 0 1 0 rg /Half gs 2 w 1 0 0 1 100 0 cm -90 5 4 4 re f /Span BMC -80 5 4 4 re S EMC BT 40 20 Td (near) Tj ET`,
      objects: { 24: ART.objects[24]! },
    };
    const [cut] = await cutFor(state, { x0: 100, y0: 0, x1: 240, y1: 60 });
    const kept = keptText(cut!.page, state.content).replace(/\s+/g, ' ');
    expect(kept).toBe(
      'BT /F 9 Tf 3 Tc ET 0 1 0 rg /Half gs 2 w 1 0 0 1 100 0 cm /Span BMC EMC BT 40 20 Td (near) Tj ET',
    );
  });

  it('a color that nothing in the window is painted with goes with the operator that sets it', async () => {
    const near = '200 100 9 9 re';
    const far = '1 1 2 2 re';
    const cases: readonly (readonly [content: string, kept: string])[] = [
      [`1 g ${far} f 2 g ${near} f 3 g ${far} f`, `2 g ${near} f`],
      [`1 0 0 rg q ${far} f Q q ${near} f Q`, `1 0 0 rg q ${near} f Q`],
      [`/Spot cs 0.2 scn ${far} f 0.7 scn ${near} f`, `/Spot cs 0.7 scn ${near} f`],
      [`/Spot cs ${near} f 0.4 scn ${far} f`, `/Spot cs ${near} f`],
      [`0 0 0 1 k 0.3 sc ${near} f`, `0 0 0 1 k 0.3 sc ${near} f`],
      [`1 G 2 g ${near} S 3 G 4 g ${near} B`, `1 G ${near} S 3 G 4 g ${near} B`],
      [`1 g 2 G /Form Do 3 g ${far} f`, '1 g 2 G /Form Do'],
      [`1 g BI /W 1 /H 1 /IM true ID \x80 EI`, ''],
      [
        `1 g BT /F 9 Tf 5 5 Td (far) Tj ET 2 g BT 200 100 Td (x) Tj ET`,
        'BT /F 9 Tf 5 5 Td ET 2 g BT 200 100 Td (x) Tj ET',
      ],
    ];
    for (const [content, expected] of cases) {
      const art: Art = {
        resources: {
          ColorSpace: ART.resources.ColorSpace!,
          XObject: { Form: '35 0 R' },
          Font: { F: '24 0 R' },
        },
        content,
        objects: {
          ...ART.objects,
          35: { dict: '/Subtype /Form /BBox [150 80 240 160] /Resources << >>', data: `${near} f` },
        },
      };
      const [cut] = await cutFor(art, { x0: 150, y0: 80, x1: 240, y1: 160 });
      expect(keptText(cut!.page, content).replaceAll(/\s+/g, ' ').trim(), content).toBe(expected);
    }
  });

  it('what stays is the same in whatever pieces the content comes', async () => {
    const [, cut] = await cutFor(ART, ...WINDOWS);
    const whole = keptBytes(cut!.page, ART.content);
    for (const length of [1, 3, 17, 100]) {
      expect(keptBytes(cut!.page, ART.content, length)).toEqual(whole);
    }
  });

  it('unpaired saves, text in clips and broken content are left as they are', async () => {
    for (const content of [
      'q 0 0 5 5 re f',
      'BT q 7 Tr (x) Tj Q ET',
      'q BT /F 9 Tf (far) Tj Q ET',
      '/A BMC q EMC 0 0 5 5 re f Q',
      "BT /F 9 Tf 9 TL (far) ' 200 100 Td (near) Tj ET",
    ]) {
      const art: Art = { resources: { Font: { F: '24 0 R' } }, content, objects: { 24: ART.objects[24]! } };
      const [cut] = await cutFor(art, { x0: 150, y0: 80, x1: 240, y1: 160 });
      const kept = keptText(cut!.page, content);
      const operators = (text: string) => text.match(/\b(?:q|Q|BT|ET|BMC|EMC)\b|'/g)?.join(' ');
      expect(operators(kept)).toBe(operators(content));
    }
  });

  it('the part of an image that shows is told in its own unit square, over all its places', async () => {
    const art: Art = {
      resources: { XObject: { A: '20 0 R', B: '32 0 R', C: '33 0 R' }, Pattern: { P: '27 0 R' } },
      content: `q 100 0 0 50 50 20 cm /B Do Q q 0 100 -50 0 200 10 cm /C Do Q q 10 0 0 10 10 10 cm /A Do Q
        /Pattern cs /P scn 0 100 10 10 re f`,
      objects: { 20: GRAY_IMAGE, 27: ART.objects[27]!, 32: GRAY_IMAGE, 33: GRAY_IMAGE },
    };
    const windows = [
      { x0: 60, y0: 30, x1: 90, y1: 45 },
      { x0: 160, y0: 50, x1: 180, y1: 200 },
    ];
    const page = await pageOf(await artPdf(art));
    const [first, second] = await contentForAreas(page, windows, { slack: 0 });
    const part = (cut: AreaContent, number: number) =>
      [...cut.images].find(([stream]) => (stream as StoredStream).ref === PDFRef.of(number))?.[1].part;
    expectBox(part(first!, 32), [0.1, 0.2, 0.4, 0.5]);
    expect(part(first!, 33)).toBeUndefined();
    // Turned by a right angle: up the page is along its rows.
    expectBox(part(second!, 33), [0.4, 0.4, 1, 0.8]);
    // The pattern uses its image whole, wherever it is.
    expect(part(first!, 20)).toBe('whole');
  });

  it('many windows take one walk, in which each form is unpacked once', async () => {
    const page = await pageOf(await artPdf(ART));
    let unpacked = 0;
    const objects = new Proxy(page.objects, {
      get: (file, key) => {
        if (key === 'streamDecoded') unpacked += 1;
        const value: unknown = Reflect.get(file, key, file);
        return typeof value === 'function' ? value.bind(file) : value;
      },
    });
    await contentForAreas({ ...page, objects }, WINDOWS);
    const forThree = unpacked;
    unpacked = 0;
    await contentForAreas(
      { ...page, objects },
      Array.from({ length: 90 }, (_, i) => WINDOWS[i % 3]!),
    );
    expect(forThree).toBeGreaterThan(0);
    expect(unpacked).toBe(forThree);
  });

  it('a picture in a pattern of a form elsewhere is still cropped where it shows itself', async () => {
    const art: Art = {
      resources: { XObject: { A: '20 0 R', Far: '34 0 R' } },
      content: 'q 100 0 0 50 0 0 cm /A Do Q q 1 0 0 1 200 100 cm /Far Do Q',
      objects: {
        20: GRAY_IMAGE,
        27: ART.objects[27]!,
        34: {
          dict: '/Subtype /Form /BBox [0 0 20 20] /Resources << /Pattern << /P 27 0 R >> >>',
          data: Buffer.from('/Pattern cs /P scn 0 0 20 20 re f'),
        },
      },
    };
    const near = { x0: 10, y0: 10, x1: 50, y1: 40 };
    const page = await pageOf(await artPdf(art));
    const [alone] = await contentForAreas(page, [near]);
    const [together] = await contentForAreas(page, [near, { x0: 190, y0: 90, x1: 240, y1: 160 }]);
    const part = (cut: AreaContent | undefined) => [...cut!.images.values()].map((need) => need.part);
    expect(part(together)).toEqual(part(alone));
    expect(part(together)).not.toContain('whole');
  });

  it('many windows at once give what each gives alone', async () => {
    const many = Array.from({ length: 65 }, (_, i) => ({
      x0: (i * 7) % 200,
      y0: (i * 5) % 120,
      x1: ((i * 7) % 200) + 20,
      y1: ((i * 5) % 120) + 15,
    }));
    const together = await cutFor(ART, ...many);
    for (const i of [0, 29, 30, 31, 64]) {
      const [alone] = await cutFor(ART, many[i]!);
      const brief = ({ page, forms }: AreaContent) =>
        [[undefined, page] as const, ...forms].map(([stream, { gone, images, names, isWhole }]) => [
          (stream as StoredStream | undefined)?.ref.objectNumber,
          isWhole,
          [...gone()],
          images,
          [...names],
        ]);
      expect(brief(together[i]!)).toEqual(brief(alone!));
    }
  });
});
