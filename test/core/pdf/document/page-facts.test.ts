import { execFileSync } from 'node:child_process';
import { describe, expect, it } from 'vitest';
import { effectivePpi, pageImages } from '../../../../core/pdf/content/page-images.ts';
import { pageInks } from '../../../../core/pdf/content/page-inks.ts';
import { rawPdf } from '../../../support/raw-pdf.ts';
import { withPdfFile } from '../../../support/tool-renderers.ts';
import { describeWithTools } from '../../../support/tools.ts';
import { pageOf, seenOn } from '../content/content-support.ts';

const image = (width: number, height: number, more = '') => ({
  dict: `/Type /XObject /Subtype /Image /Width ${width} /Height ${height} /BitsPerComponent 8 /ColorSpace /DeviceGray ${more}`,
  data: new Uint8Array(width * height).fill(99),
});

describe('resolution of images', () => {
  it('pixels × 72 ÷ (length of the column × UserUnit) ÷ enlargement', () => {
    // 1:10 art at 720 ppi is 72 ppi finished.
    expect(effectivePpi({ width: 1440, height: 720 }, [144, 0, 0, 72, 5, 6], 1, 10)).toEqual({
      ppiX: 72,
      ppiY: 72,
    });
    // Turned by a third of a right angle, UserUnit 2.5.
    const turned = effectivePpi({ width: 300, height: 500 }, [86.60254, 50, -60, 103.923, 0, 0], 2.5, 4);
    expect(turned.ppiX).toBeCloseTo((300 * 72) / 100 / 2.5 / 4, 4);
    expect(turned.ppiY).toBeCloseTo((500 * 72) / 120 / 2.5 / 4, 4);
  });

  const PLACED = rawPdf({
    page: '/MediaBox [0 0 300 200] /UserUnit 2',
    resources: '/XObject << /A 20 0 R /B 21 0 R /F 22 0 R /Off 23 0 R >> /Pattern << /P 24 0 R >>',
    content:
      'q 90 0 0 30 11 13 cm /A Do Q q 30 17.32 -8 14 200 100 cm /B Do Q q 1 0 0 1 40 90 cm /F Do Q q 5 0 0 5 400 7 cm /A Do Q /Pattern cs /P scn 250 150 40 40 re f',
    objects: {
      20: image(60, 10),
      21: image(13, 7, '/SMask 25 0 R'),
      22: {
        dict: '/Subtype /Form /BBox [0 0 99 99] /Matrix [0.5 0 0 0.5 3 4] /Resources << /XObject << /A 20 0 R >> >>',
        data: 'q 0 24 -36 0 60 0 cm /A Do Q',
      },
      23: image(3, 5),
      24: {
        dict: '/PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 9 9] /XStep 9 /YStep 9 /Matrix [2 0 0 2 0 0] /Resources << /XObject << /C 26 0 R >> >>',
        data: 'q 4 0 0 3 0 0 cm /C Do Q',
      },
      25: image(26, 28),
      26: image(2, 3),
    },
  });

  it('every placement that shows is found, in forms and patterns too', async () => {
    const found = await pageImages(await pageOf(PLACED), 10);
    const brief = found.map(({ image: { width }, within, ppiX, ppiY }) => [
      width,
      within,
      ppiX.toFixed(3),
      ppiY.toFixed(3),
    ]);
    expect(brief).toEqual([
      [60, 'page', ((60 * 72) / 90 / 20).toFixed(3), ((10 * 72) / 30 / 20).toFixed(3)],
      [
        13,
        'page',
        ((13 * 72) / Math.hypot(30, 17.32) / 20).toFixed(3),
        ((7 * 72) / Math.hypot(8, 14) / 20).toFixed(3),
      ],
      [60, 'form', ((60 * 72) / 12 / 20).toFixed(3), ((10 * 72) / 18 / 20).toFixed(3)],
      [2, 'pattern', ((2 * 72) / 8 / 20).toFixed(3), ((3 * 72) / 6 / 20).toFixed(3)],
    ]);
    expect(found[1]!.image.softMask).toEqual({ width: 26, height: 28 });
    // 11 of 300 units from the left at UserUnit 2, 25.4 ÷ 72 mm each; y down.
    expect(found[0]!.drawn.x).toBeCloseTo((11 * 2 * 25.4) / 72, 9);
    expect(found[0]!.drawn.y).toBeCloseTo(((200 - 13 - 30) * 2 * 25.4) / 72, 9);
    expect(found[3]!.drawn.width).toBeCloseTo((40 * 2 * 25.4) / 72, 9);
  });

  describeWithTools(['pdftoppm'], 'beside pdfimages of Poppler', () => {
    it('its list of images gives the same resolutions', async () => {
      const listed = withPdfFile(PLACED, (path) =>
        execFileSync('pdfimages', ['-list', path], { encoding: 'utf8' }),
      );
      const rows = listed
        .split('\n')
        .slice(2, -1)
        .map((line) => line.trim().split(/\s+/));
      const theirs = rows
        .filter((row) => row[2] === 'image' && row[3] !== '2')
        .map((row) => [Number(row[3]), Number(row[12]), Number(row[13])]);
      // Poppler lists what is clipped away, too, and does not know UserUnit.
      const ours = (await pageImages(await pageOf(PLACED), 1)).filter(({ within }) => within !== 'pattern');
      for (const {
        image: { width },
        ppiX,
        ppiY,
      } of ours) {
        expect(theirs).toContainEqual([width, Math.round(ppiX * 2), Math.round(ppiY * 2)]);
      }
      expect(ours.length).toBe(3);
    });
  });
});

const INKS = rawPdf({
  page: '/MediaBox [0 0 100 80]',
  catalog: '/OCProperties << /OCGs [40 0 R 41 0 R] /D << /OFF [41 0 R] >> >>',
  resources: `
    /ColorSpace << /Red 20 0 R /Duo [/DeviceN [/Cyan /Gold#20Leaf /None] /DeviceCMYK 30 0 R] /Icc [/ICCBased 31 0 R]
      /Ix [/Indexed 20 0 R 1 <00ff>] /L [/Lab << /WhitePoint [0.9 1 0.8] >>] /PR [/Pattern 20 0 R] >>
    /ExtGState << /Over << /OP true /op false /OPM 1 >> /Both << /OP true /ca 0.5 /CA 0.25 /BM /Multiply >> >>
    /Shading << /S << /ShadingType 2 /ColorSpace [/Separation /Varnish /DeviceGray 30 0 R] /Coords [0 0 1 1] /Function 30 0 R >> >>
    /Pattern << /Cells 32 0 R /Blank 33 0 R >>
    /XObject << /Picture 34 0 R /Stencil 35 0 R >>
    /Properties << /Off 41 0 R >>`,
  content: `0.5 g 1 2 10 5 re f
    /Red cs 1 scn 20 10 30 20 re f
    /Over gs /Duo CS 1 0.5 0 SCN 3 w 60 10 m 90 10 l S
    /Icc cs 0.1 0.2 0.3 scn 5 40 4 4 re f
    q 10 0 0 10 70 40 cm /Picture Do Q
    q 60 60 10 10 re W n /S sh Q
    /Pattern cs /Cells scn 5 50 8 8 re f
    /PR cs 0.7 /Blank scn 20 50 8 8 re f
    /Pattern cs /Cells scn 35 50 8 8 re f
    /L cs 50 10 10 sc q 6 0 0 6 85 70 cm /Stencil Do Q
    /OC /Off BDC 0 1 0 rg 1 1 5 5 re f EMC
    0 0 1 rg 500 500 5 5 re f`,
  objects: {
    20: '[/Separation /Signal#20Red /DeviceCMYK 30 0 R]',
    30: { dict: '/FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 1 1 0]', data: '' },
    31: { dict: '/N 3', data: 'not read' },
    32: {
      dict: '/PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 4 4] /XStep 4 /YStep 4 /Resources << /ColorSpace << /Z [/Separation /Zinc /DeviceGray 30 0 R] >> >>',
      data: '/Z cs 1 scn 0 0 2 2 re f',
    },
    33: {
      dict: '/PatternType 1 /PaintType 2 /TilingType 1 /BBox [0 0 4 4] /XStep 4 /YStep 4 /Resources << >>',
      data: '0 0 2 2 re f',
    },
    34: { dict: '/Subtype /Image /Width 2 /Height 1 /BitsPerComponent 8 /ColorSpace /Ix', data: '\x00\x01' },
    35: { dict: '/Subtype /Image /Width 8 /Height 1 /ImageMask true', data: '\x55' },
    40: '<< /Type /OCG /Name (on) >>',
    41: '<< /Type /OCG /Name (off) >>',
  },
});

describe('inks and color spaces', () => {
  it('every space that shows is listed by kind, spots by name and place', async () => {
    const { spaces, spots, unknown } = await pageInks(await pageOf(INKS));
    expect(spaces.map(({ label, objects }) => [label, objects])).toEqual([
      ['DeviceGray', 1],
      ['Separation Signal Red', 2],
      ['DeviceN Cyan + Gold Leaf + None', 1],
      ['ICC (3 components)', 1],
      ['Indexed, Separation Signal Red', 1],
      ['Separation Varnish', 1],
      ['Separation Zinc', 2],
      ['Lab', 1],
    ]);
    expect(spots.map(({ name, objects }) => [name, objects])).toEqual([
      ['Signal Red', 3],
      ['Gold Leaf', 1],
      ['Varnish', 1],
      ['Zinc', 2],
    ]);
    expect(unknown).toBe(0);
    const mm = 25.4 / 72;
    const gold = spots[1]!;
    expect(gold.isOverprinted).toBe(true);
    expect(gold.area.x).toBeCloseTo(58.5 * mm, 9);
    expect(spots[0]!.isOverprinted).toBe(false);
    // The varnish shows in its clip only; the zinc wherever its pattern is used.
    expect(spots[2]!.area.width).toBeCloseTo(10 * mm, 9);
    expect(spots[3]!.area.x).toBeCloseTo(5 * mm, 9);
    expect(spots[3]!.area.width).toBeCloseTo(38 * mm, 9);
  });

  it('overprint, alpha and blend mode are those that the graphics state dictionary sets', async () => {
    const pdf = rawPdf({
      page: '/MediaBox [0 0 9 9]',
      resources:
        '/ExtGState << /A << /OP true /op false /OPM 1 >> /B << /OP true /ca 0.5 /CA 0.25 /BM [/Multiply /Normal] >> /C << /SMask << /S /Alpha /G 20 0 R >> >> /D << /SMask /None /BM /Normal >> >>',
      content:
        '1 1 2 2 re f /A gs q 1 1 2 2 re f /B gs 1 1 2 2 re f /C gs 1 1 2 2 re f /D gs 1 1 2 2 re f Q 1 1 2 2 re f',
      objects: {
        20: {
          dict: '/Subtype /Form /BBox [0 0 4 4] /Group << /S /Transparency >> /Resources << >>',
          data: '0 0 4 4 re f',
        },
      },
    });
    const seen = await seenOn(await pageOf(pdf), { entersSoftMasks: true });
    const brief = seen.map((one) =>
      [one.within, ...one.overprint, ...one.alpha, one.blendMode, one.hasSoftMask].join(' '),
    );
    expect(brief).toEqual([
      'page false false 0 1 1 Normal false',
      'page false true 1 1 1 Normal false',
      'page true true 1 0.5 0.25 Multiply false',
      'soft-mask false false 0 1 1 Normal false',
      'page true true 1 0.5 0.25 Multiply true',
      'page true true 1 0.5 0.25 Normal false',
      'page false true 1 1 1 Normal false',
    ]);
  });
});

describe('layers', () => {
  it('what layers hide as the file opens is told apart: groups, memberships, expressions, XObjects', async () => {
    const at = (i: number) => `${i} 0 4 4 re f`;
    const layered = (config: string): Uint8Array =>
      rawPdf({
        page: '/MediaBox [0 0 100 80]',
        catalog: `/OCProperties << /OCGs [40 0 R 41 0 R] /D << ${config} >> >>`,
        resources: `/Properties << /A 40 0 R /B 41 0 R /Any << /Type /OCMD /OCGs [40 0 R 41 0 R] >> /All << /Type /OCMD /P /AllOn /OCGs [40 0 R 41 0 R] >>
          /AnyOff << /Type /OCMD /P /AnyOff /OCGs 41 0 R >> /Not << /Type /OCMD /VE [/And [/Not 41 0 R] [/Or 40 0 R 41 0 R]] >> >>
          /XObject << /F 20 0 R >>`,
        content: `${at(0)} /OC /A BDC ${at(1)} /OC /B BDC ${at(2)} /Span BMC ${at(3)} EMC EMC ${at(4)} EMC
          /OC /Any BDC ${at(5)} EMC /OC /All BDC ${at(6)} EMC /OC /AnyOff BDC ${at(7)} EMC /OC /Not BDC ${at(8)} EMC EMC EMC ${at(9)} /F Do`,
        objects: {
          20: { dict: '/Subtype /Form /BBox [0 0 99 99] /OC 41 0 R /Resources << >>', data: at(10) },
          40: '<< /Type /OCG /Name (on) >>',
          41: '<< /Type /OCG /Name (off) >>',
        },
      });
    const visible = async (config: string) =>
      (await seenOn(await pageOf(layered(config))))
        .filter((one) => one.kind === 'path' && one.isVisible)
        .map((one) => one.bounds.x0);
    expect(await visible('/OFF [41 0 R]')).toEqual([0, 1, 4, 5, 7, 8, 9]);
    expect(await visible('/BaseState /OFF /ON [40 0 R]')).toEqual([0, 1, 4, 5, 7, 8, 9]);
    expect(await visible('')).toEqual([0, 1, 2, 3, 4, 5, 6, 9, 10]);
    expect(await visible('/BaseState /OFF')).toEqual([0, 7, 9]);
  });
});
