import { describe, expect, it } from 'vitest';
import { MAX_FONT_UNITS } from '../../../core/checks/findings/large-lettering-findings.ts';
import type { OutputSize } from '../../../core/job/schema.ts';
import { rawPdf } from '../../support/raw-pdf.ts';
import { popplerPicture } from '../../support/tool-renderers.ts';
import { describeWithTools } from '../../support/tools.ts';
import { codesOf, findingOf, GROUND, jobOnPage, pageInMm, pageScanOf } from './check-support.ts';

const tint = (...full: number[]): string =>
  `<< /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [${full.join(' ')}] >>`;
const blue = (...full: number[]): string => `[/Separation /Signal#20Blue /DeviceCMYK ${tint(...full)}]`;

/** Two boxes on the side, each in a space of its own. */
const inTwo = (first: string, second: string): Uint8Array =>
  pageInMm(`${GROUND}/A cs 1 scn 120 60 37 29 re f /B cs 0.5 scn 180 60 37 29 re f`, {
    resources: `/ColorSpace << /A ${first} /B ${second} >>`,
  });

describe('one spot ink of two colors', () => {
  it('warns where both stand in the same space, and names both', async () => {
    const { severity, message } = await findingOf(
      inTwo(blue(1, 0.72, 0, 0.06), blue(0.85, 0.5, 0, 0)),
      'spot-two-colors',
    );
    expect(severity).toBe('warn');
    expect(message).toContain(
      '“Signal Blue” is defined in more than one way, by DeviceCMYK 100, 72, 0, 6 % and DeviceCMYK 85, 50, 0, 0 %',
    );
  });

  it('says nothing of one definition that was written twice, nor of what rounding makes of it', async () => {
    expect(await codesOf(inTwo(blue(1, 0.72, 0, 0.06), blue(1, 0.7216, 0, 0.0588)))).not.toContain(
      'spot-two-colors',
    );
  });

  it('finds them on two pages as well, and leaves calculated colors alone', async () => {
    const calculated = '[/Separation /Signal#20Blue /DeviceCMYK 30 0 R]';
    const pdf = pageInMm(`${GROUND}/A cs 1 scn 120 60 37 29 re f /B cs 1 scn 180 60 37 29 re f`, {
      resources: `/ColorSpace << /A ${calculated} /B ${blue(1, 0.72, 0, 0)} >>`,
      objects: {
        30: {
          dict: '/FunctionType 4 /Domain [0 1] /Range [0 1 0 1 0 1 0 1]',
          data: '{ dup 0.72 mul 0 0 }',
        },
      },
    });
    expect(await codesOf(pdf)).not.toContain('spot-two-colors');
  });
});

describe('names of spot inks', () => {
  const named = (name: string) =>
    pageInMm(`${GROUND}/A cs 1 scn 120 60 37 29 re f`, {
      resources: `/ColorSpace << /A [/Separation /${name} /DeviceCMYK ${tint(1, 0.4, 0, 0)}] >>`,
    });

  it('are read as UTF-8, escaped or not', async () => {
    for (const name of ['M#C3#BCller#20Blau', Buffer.from('Müller#20Blau').toString('latin1')]) {
      expect((await pageScanOf(named(name))).spots[0]!.name).toBe('Müller Blau');
      expect((await findingOf(named(name), 'spots-used')).message).toContain('one spot ink: Müller Blau (');
    }
  });

  it('are read as one byte a letter where they are no UTF-8', async () => {
    expect((await pageScanOf(named('M#FCller#20Blau'))).spots[0]!.name).toBe('Müller Blau');
  });
});

describe('what the content names and the file does not hold', () => {
  it('AC33 warns with each name, whatever it was to be', async () => {
    const pdf = pageInMm(
      `${GROUND}/Gone gs /Spot cs 1 scn 120 60 9 9 re f /Pattern cs /Tiles scn 130 60 9 9 re f /Fade sh /Photo Do /Photo Do BT /F7 12 Tf (text) Tj ET`,
      { resources: '/XObject << /Other 30 0 R >>' },
    );
    const { severity, message, figure } = await findingOf(pdf, 'page-resources-missing');
    expect([severity, figure]).toEqual(['warn', 6]);
    expect(message).toMatch(
      /^Page 1 uses the graphics state “Gone”, the color space “Spot”, the pattern “Tiles”, the blend “Fade”, the picture or form “Photo” and the font “F7”, which the file does not hold/,
    );
    expect((await pageScanOf(pdf)).missing).toContainEqual({ category: 'XObject', name: 'Photo', uses: 2 });
  });

  it('AC33 finds them inside forms, and says nothing of a page that has all', async () => {
    const form = { dict: '/Type /XObject /Subtype /Form /BBox [0 0 300 200]', data: '/Inner Do' };
    const within = pageInMm(`${GROUND}/Form Do`, {
      resources: '/XObject << /Form 30 0 R >>',
      objects: { 30: form },
    });
    expect((await findingOf(within, 'page-resources-missing')).message).toContain('“Inner”');
    const whole = pageInMm(`${GROUND}/DeviceRGB cs 1 0 0 sc 120 60 9 9 re f /Form Do`, {
      resources: '/XObject << /Form 30 0 R >>',
      objects: { 30: { ...form, data: '0 0 9 9 re f' } },
    });
    expect(await codesOf(whole)).not.toContain('page-resources-missing');
  });
});

describe('settings for a certain device', () => {
  const under = (state: string, more = '') =>
    pageInMm(`${GROUND}q /S gs ${more} 120 60 37 29 re f Q 180 60 37 29 re f`, {
      resources: `/ExtGState << /S << ${state} >> /Back << /TR /Identity /HT /Default >> >>`,
      objects: { 30: { dict: '/FunctionType 2 /Domain [0 1] /N 1.8 /C0 [0] /C1 [1]', data: '' } },
    });

  it('a transfer function warns with its place', async () => {
    for (const state of ['/TR 30 0 R', '/TR /Identity /TR2 30 0 R', '/TR [30 0 R 30 0 R 30 0 R 30 0 R]']) {
      const { severity, message, where, figure } = await findingOf(under(state), 'transfer-function');
      expect([severity, figure]).toEqual(['warn', 1]);
      expect(message).toContain('one object with a transfer function');
      expect(where.area!.x).toBeCloseTo(700, 6);
    }
  });

  it('a halftone of the file’s own is noted', async () => {
    const { severity, message } = await findingOf(
      under('/HT << /HalftoneType 1 /Frequency 60 /Angle 45 /SpotFunction /Round >>'),
      'halftone',
    );
    expect(severity).toBe('note');
    expect(message).toContain('one object with a halftone of the file’s own');
  });

  it('those of the device are nothing to speak of', async () => {
    for (const pdf of [
      under('/TR /Identity /HT /Default'),
      under('/TR2 /Default /TR 30 0 R'),
      under('/TR 30 0 R /HT << /HalftoneType 1 >>', '/Back gs'),
    ]) {
      const codes = await codesOf(pdf);
      expect(codes).not.toContain('transfer-function');
      expect(codes).not.toContain('halftone');
    }
  });
});

const HELVETICA = '<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica-Bold >>';

describe('very large live lettering', () => {
  /** At 1:10; capitals of 0.7 font sizes. */
  const lettered = (sizeMm: number) =>
    pageInMm(`${GROUND}q 1 0 0 -1 60 130 cm BT /F ${sizeMm} Tf (BOOKS) Tj ET Q`, {
      resources: '/Font << /F 30 0 R >>',
      objects: { 30: HELVETICA },
    });
  const CODE = 'lettering-too-large-to-view';
  const sized = (size: OutputSize) => ({ job: { output: { ...jobOnPage().output, size } } });

  it('warns at true size, with the least reduction that mends it', async () => {
    // 600 mm are 1,700.8 points.
    const found = await findingOf(lettered(60), CODE, sized({ kind: 'true-size' }));
    expect(found.severity).toBe('warn');
    expect(found.figure).toBeCloseTo(1700.79, 2);
    expect(found.message).toContain('“BOOKS”, with capitals about 420 mm high');
    expect(found.remedy).toContain('1:2 or more');
    expect(await codesOf(lettered(60), sized({ kind: 'reduction', factor: 2 }))).not.toContain(CODE);
    expect(await codesOf(lettered(50), sized({ kind: 'true-size' }))).not.toContain(CODE);
  });

  it('counts in the units of a panel that has larger ones', async () => {
    // A panel of 3 m needs none.
    expect(await codesOf(lettered(60), sized({ kind: 'user-unit' }))).toContain(CODE);
  });
});

describeWithTools(['pdftoppm'], 'the limit of large lettering', () => {
  const ink = (size: number): boolean => {
    const pdf = rawPdf({
      page: `/MediaBox [0 0 ${2 * size} ${size}]`,
      resources: '/Font << /F 20 0 R >>',
      content: `BT /F ${size} Tf 90 120 Td (AB) Tj ET`,
      objects: { 20: HELVETICA },
    });
    return popplerPicture(pdf, { ppi: 10 }).data.some((value) => value < 128);
  };

  it('is that of poppler', () => {
    expect(ink(MAX_FONT_UNITS)).toBe(true);
    expect(ink(MAX_FONT_UNITS * 1.02)).toBe(false);
  });
});
