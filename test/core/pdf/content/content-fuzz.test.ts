import fc from 'fast-check';
import { expect, it } from 'vitest';
import { contentForAreas } from '../../../../core/pdf/content/content-for-areas.ts';
import { pageImages } from '../../../../core/pdf/content/page-images.ts';
import { pageInks } from '../../../../core/pdf/content/page-inks.ts';
import { pageLettering } from '../../../../core/pdf/content/page-lettering.ts';
import { rawPdf } from '../../../support/raw-pdf.ts';
import { keptBytes, pageOf, seenOn } from './content-support.ts';

const OPERATORS =
  'q Q cm w J j M d gs m l c v y h re W W* n f F f* S s B B* b b* G g RG rg K k CS cs SC SCN sc scn BT ET Tc Tw Tz TL Tr Ts Tf Td TD Tm T* Tj TJ \' " Do sh BMC BDC EMC MP DP BX EX d0 d1 ri i QQ xyz'.split(
    ' ',
  );
const OPERANDS = [
  ...[
    '0',
    '1',
    '-3.5',
    '120',
    '99999999999999999999999',
    '1e400',
    '(text)',
    '<feff>',
    '[(a) -200 <62>]',
    'true',
    'null',
  ],
  ...[
    '/F',
    '/T',
    '/X',
    '/Y',
    '/I',
    '/P',
    '/H',
    '/G',
    '/M',
    '/C',
    '/OC',
    '/None',
    '<< /A [1 (x)] >>',
    '<<',
    ']',
    'BI /W 1 /H 1 /CS /G ID x EI',
  ],
];

/** Everything that a name can lead to, some of it leading back to itself. */
const RESOURCES = `/Font << /F << /Subtype /Type1 /BaseFont /Helvetica >> /T 20 0 R >> /XObject << /X 21 0 R /Y 22 0 R /I 23 0 R >>
  /Pattern << /P 24 0 R /H << /PatternType 2 /Shading 25 0 R >> >> /Shading << /H 25 0 R >> /ExtGState << /G << /SMask << /S /Alpha /G 21 0 R >> /Font [20 0 R 7] /LW 3 >> >>
  /ColorSpace << /C [/Indexed [/Separation /Spot /DeviceCMYK 26 0 R] 1 (ab)] /M [/Pattern /DeviceRGB] >> /Properties << /M << /Type /OCMD /VE [/And [/Not]] >> >>`;
const OBJECTS = {
  20: `<< /Subtype /Type3 /FontMatrix [0.1 0 0 0.1 0 0] /FontBBox [0 0 0 0] /FirstChar 97 /LastChar 122 /Widths [5 6] /Encoding << /Differences [97 /a /b] >> /CharProcs << /a 27 0 R /b 28 0 R >> >>`,
  21: {
    dict: `/Subtype /Form /BBox [0 0 50 40] /Matrix [1 0 0 1 0 0] /Resources << ${RESOURCES} >>`,
    data: '/Y Do BT /T 5 Tf (ab) Tj ET /P scn',
  },
  22: { dict: '/Subtype /Form /BBox [9 9 0 0]', data: '/X Do /Pattern cs /P scn 0 0 9 9 re B' },
  23: { dict: '/Subtype /Image /Width 2 /Height 2 /ColorSpace /C /SMask 23 0 R', data: 'abcd' },
  24: {
    dict: `/PatternType 1 /PaintType 1 /BBox [0 0 5 5] /XStep 5 /YStep 5 /Resources << ${RESOURCES} >>`,
    data: '/Pattern cs /P scn 0 0 3 3 re f /X Do',
  },
  25: '<< /ShadingType 2 /ColorSpace /DeviceRGB /Coords [0 0 1 1] >>',
  26: { dict: '/FunctionType 4 /Domain [0 1] /Range [0 1]', data: '{}' },
  27: { data: '5 0 0 0 4 4 d1 0 0 4 4 re f BT /T 3 Tf (b) Tj ET' },
  28: { data: '6 0 d0 /I Do' },
};

it('any operators with any operands are walked to an end, whatever they name', {
  timeout: 120_000,
}, async () => {
  const operation = fc.tuple(
    fc.array(fc.constantFrom(...OPERANDS), { maxLength: 6 }),
    fc.constantFrom(...OPERATORS),
  );
  await fc.assert(
    fc.asyncProperty(fc.array(operation, { maxLength: 25 }), async (operations) => {
      const content = operations.map(([operands, operator]) => [...operands, operator].join(' ')).join('\n');
      const pdf = rawPdf({ page: '/MediaBox [0 0 90 70]', resources: RESOURCES, content, objects: OBJECTS });
      const page = await pageOf(pdf);
      const seen = await seenOn(page, { entersGlyphs: true, entersPatterns: true, entersSoftMasks: true });
      for (const { range } of seen.filter((one) => one.within === 'page')) {
        expect(range[1]).toBeGreaterThan(range[0]);
        expect(range[1]).toBeLessThanOrEqual(content.length);
      }
      await pageImages(page, 3);
      await pageInks(page);
      await pageLettering(page);
      const [cut] = await contentForAreas(page, [{ x0: 1000, y0: 1000, x1: 1001, y1: 1001 }]);
      expect(keptBytes(cut!.page, content).length).toBeLessThanOrEqual(content.length);
    }),
    { numRuns: 150 },
  );
});
