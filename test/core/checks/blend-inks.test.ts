/** The heaviest ink of blends, against what MuPDF draws of them in CMYK. */
import { describe, expect, it } from 'vitest';
import type { RawObject } from '../../support/raw-pdf.ts';
import { describeWithTools } from '../../support/tools.ts';
import { pdfPixels } from '../pdf/images/pdf-made.ts';
import { codesOf, findingOf, GROUND, pageInMm, pageScanOf } from './check-support.ts';

const FN = (c0: string, c1: string, more = '/N 1') =>
  `<< /FunctionType 2 /Domain [0 1] /C0 [${c0}] /C1 [${c1}] ${more} >>`;
const AXIAL = (fn: string, space = '/DeviceCMYK') =>
  `<< /ShadingType 2 /ColorSpace ${space} /Coords [130 0 190 0] /Function ${fn} /Extend [true true] >>`;
const LIGHT = '0.1 0 0.2 0';
const DARK = '0.9 0.8 0.7 0.85';
const STITCHED = `<< /FunctionType 3 /Domain [0 1] /Bounds [0.37] /Encode [0 1 1 0]
  /Functions [${FN(LIGHT, '0.8 0.9 0.6 0.7', '/N 1.7')} ${FN('0.1 0.2 0 0', '0.8 0.9 0.6 0.7')}] >>`;
/** Four samples of four inks in bytes; the third is the heaviest. */
const SAMPLES: RawObject = {
  dict: '/FunctionType 0 /Domain [0 1] /Size [4] /BitsPerSample 8 /Range [0 1 0 1 0 1 0 1]',
  data: Uint8Array.from([20, 0, 30, 0, 90, 90, 80, 30, 230, 210, 190, 180, 10, 0, 0, 0]),
};
/** A corner of a mesh: 16-bit places within 130…190 by 70…95 mm, four inks of 8 bits. */
const corner = (x: number, y: number, ...inks: readonly number[]): number[] => [
  ...[(x - 130) / 60, (y - 70) / 25].flatMap((share) => {
    const value = Math.round(share * 65535);
    return [value >> 8, value & 255];
  }),
  ...inks,
];
const MESH =
  '/ColorSpace /DeviceCMYK /BitsPerCoordinate 16 /BitsPerComponent 8 /Decode [130 190 70 95 0 1 0 1 0 1 0 1]';
const HEAVY = [220, 230, 200, 190];
const triangles: RawObject = {
  dict: `/ShadingType 4 /BitsPerFlag 8 ${MESH}`,
  data: Uint8Array.from([
    ...[0, ...corner(130, 70, 10, 0, 0, 0)],
    ...[0, ...corner(190, 70, 20, 30, 0, 0)],
    ...[0, ...corner(160, 95, ...HEAVY)],
  ]),
};
const lattice: RawObject = {
  dict: `/ShadingType 5 /VerticesPerRow 2 ${MESH}`,
  data: Uint8Array.from([
    ...corner(130, 70, 10, 0, 0, 0),
    ...corner(190, 70, ...HEAVY),
    ...corner(130, 95, 0, 9, 0, 0),
    ...corner(190, 95, 0, 0, 9, 0),
  ]),
};
/** A patch whose twelve places lie around a rectangle, then four colors. */
function patch(kind: 6 | 7): RawObject {
  const [x0, x1, x2, x3] = [130, 150, 170, 190];
  const [y0, y1, y2, y3] = [70, 78, 86, 95];
  const rim = [
    ...[
      [x0, y0],
      [x0, y1],
      [x0, y2],
      [x0, y3],
      [x1, y3],
      [x2, y3],
    ],
    ...[
      [x3, y3],
      [x3, y2],
      [x3, y1],
      [x3, y0],
      [x2, y0],
      [x1, y0],
    ],
  ];
  const inner =
    kind === 7
      ? [
          [x1, y1],
          [x1, y2],
          [x2, y2],
          [x2, y1],
        ]
      : [];
  const places = [...rim, ...inner].flatMap(([x, y]) => corner(x!, y!));
  const colors = [[10, 0, 0, 0], [0, 20, 0, 0], HEAVY, [0, 0, 30, 0]].flat();
  return {
    dict: `/ShadingType ${kind} /BitsPerFlag 8 ${MESH}`,
    data: Uint8Array.from([0, ...places, ...colors]),
  };
}

/** A page with the blend in a rectangle of 60 × 25 mm. */
const page = (shading: RawObject, objects: Readonly<Record<number, RawObject>> = {}, paint = '/Sh sh') =>
  pageInMm(`${GROUND}q 130 70 60 25 re W n ${paint} Q`, {
    resources: '/Shading << /Sh 40 0 R >> /Pattern << /P << /PatternType 2 /Shading 40 0 R >> >>',
    objects: { 40: shading, 41: SAMPLES, ...objects },
  });

describeWithTools(['mutool'], 'blends', () => {
  const KINDS: readonly (readonly [string, RawObject])[] = [
    ['between two colors', AXIAL(FN(LIGHT, DARK))],
    ['stitched of two, heaviest in the middle', AXIAL(STITCHED)],
    ['from a table', AXIAL('41 0 R')],
    [
      'of one function an ink',
      AXIAL(`[${FN('0.1', '0.9')} ${FN('0', '0.8')} ${FN('0.9', '0')} ${FN('0.2', '0.95')}]`),
    ],
    [
      'round',
      `<< /ShadingType 3 /ColorSpace /DeviceCMYK /Coords [160 82 0 160 82 33] /Function ${FN(DARK, LIGHT)} >>`,
    ],
    ['in triangles', triangles],
    ['in a lattice', lattice],
    ['in a Coons patch', patch(6)],
    ['in a tensor patch', patch(7)],
  ];
  it.each(KINDS)('AC12 are as heavy as they are drawn: %s', async (_, shading) => {
    const pdf = page(shading);
    const { blends, blendsUncounted } = await pageScanOf(pdf);
    expect(blendsUncounted).toBe(0);
    expect(blends).toHaveLength(1);
    expect(blends[0]!.area.width).toBeCloseTo(60, 3);
    const pam = pdfPixels(pdf, 'cmyk');
    const head = Buffer.from(pam.subarray(0, 200)).indexOf('ENDHDR\n') + 7;
    let most = 0;
    for (let at = head; at + 3 < pam.length; at += 4) {
      most = Math.max(most, pam[at]! + pam[at + 1]! + pam[at + 2]! + pam[at + 3]!);
    }
    expect(most).toBeGreaterThan(200);
    // The heaviest place may be a point that no pixel shows whole.
    expect(blends[0]!.percent - most / 2.55).toBeGreaterThan(-2);
    expect(blends[0]!.percent - most / 2.55).toBeLessThan(12);
  });
});

describe('what the checks say of blends', () => {
  it('AC12 a blend above the limit warns with its heaviest sum and place, painted or as a pattern', async () => {
    for (const paint of [
      '/Sh sh',
      '/Pattern cs /P scn 0 0 400 200 re f',
      '/Pattern CS /P SCN 9 w 0 80 m 400 80 l S',
    ]) {
      const { message, figure, severity } = await findingOf(
        page(AXIAL(FN(LIGHT, DARK)), {}, paint),
        'ink-heavy',
      );
      expect(severity).toBe('warn');
      expect(figure).toBeCloseTo(325, 6);
      expect(message).toContain('A blend, at its heaviest, on side LH asks for 325 % ink');
      expect(message).toContain('800 mm from the left');
    }
  });

  it('AC12 light blends, and blends of light, say nothing', async () => {
    const rgb = `<< /ShadingType 2 /ColorSpace /DeviceRGB /Coords [130 0 190 0] /Function ${FN('0 0 0', '1 1 1')} >>`;
    for (const shading of [AXIAL(FN(LIGHT, '0.5 0.5 0.5 0.5')), rgb]) {
      const codes = await codesOf(page(shading));
      expect(codes.filter((code) => code.startsWith('ink-'))).toEqual([]);
    }
  });

  it('AC12 a blend whose colors are calculated, or damaged, is named', async () => {
    const calculated = page(AXIAL('42 0 R'), {
      42: {
        dict: '/FunctionType 4 /Domain [0 1] /Range [0 1 0 1 0 1 0 1]',
        data: '{ dup dup dup }',
      },
    });
    const { severity, message } = await findingOf(calculated, 'ink-blend-uncounted');
    expect(severity).toBe('note');
    expect(message).toContain('The ink of one blend on page 1 was not added up');
    const circle = page(AXIAL('43 0 R'), {
      43: '<< /FunctionType 3 /Domain [0 1] /Bounds [] /Encode [0 1] /Functions [43 0 R] >>',
    });
    expect(await codesOf(circle)).toContain('ink-blend-uncounted');
    const empty = { dict: `/ShadingType 7 /BitsPerFlag 8 ${MESH}`, data: '' };
    expect(await codesOf(page(empty))).toContain('ink-blend-uncounted');
  });
});
