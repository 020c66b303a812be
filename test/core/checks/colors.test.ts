import { describe, expect, it } from 'vitest';
import { checksOf, codesOf, findingOf, GROUND, pageInMm, pageScanOf } from './check-support.ts';

const TINT = { dict: '/FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [0 1 1 0]', data: '' };
const ICC = (components: number) => ({ dict: `/N ${components}`, data: 'a profile' });
const RESOURCES = `/ColorSpace << /Rgb [/ICCBased 31 0 R] /Cmyk [/ICCBased 32 0 R] /Cal [/CalRGB << /WhitePoint [0.95 1 1.09] >>] /Lab [/Lab << /WhitePoint [0.95 1 1.09] >>]
  /Red [/Separation /Signal#20Red /DeviceCMYK 30 0 R] /RedU [/Separation /signal-red#20U /DeviceCMYK 30 0 R] /RedRgb [/Separation /Signal#20Red /DeviceRGB 30 0 R]
  /Gold [/DeviceN [/Cyan /Gold#20Leaf] /DeviceCMYK 30 0 R] /black [/Separation /black /DeviceCMYK 30 0 R] /All [/Separation /All /DeviceCMYK 30 0 R] >>`;
const page = (content: string, more = {}) =>
  pageInMm(GROUND + content, {
    resources: RESOURCES,
    objects: { 30: TINT, 31: ICC(3), 32: ICC(4) },
    ...more,
  });
const fill = (operators: string, x = 120) => `${operators} ${x} 60 37 29 re f\n`;

describe('color spaces', () => {
  it('AC4 DeviceRGB without a profile warns, with its place', async () => {
    const { severity, message, where } = await findingOf(page(fill('0.9 0.2 0.1 rg')), 'color-rgb');
    expect(severity).toBe('warn');
    expect(message).toContain('one object in DeviceRGB without a profile');
    expect(where.area!.x).toBeCloseTo(700, 6);
    expect(where.area!.width).toBeCloseTo(370, 6);
  });

  it('AC4 inks, gray and CMYK profiles are expected', async () => {
    const codes = await codesOf(
      page(fill('/Cmyk cs 0.1 0.9 0.2 0 scn') + fill('0.4 g', 170) + fill('/Red cs 1 scn', 220)),
    );
    expect(codes.filter((code) => code.startsWith('color-'))).toEqual([]);
  });

  it('AC4 RGB with a profile, calibrated RGB and Lab are noted', async () => {
    expect((await findingOf(page(fill('/Rgb cs 0.1 0.9 0.2 scn')), 'color-rgb-icc')).severity).toBe('note');
    const calibrated = page(fill('/Cal cs 0.1 0.9 0.2 scn') + fill('/Lab cs 50 20 -30 scn', 170));
    expect((await findingOf(calibrated, 'color-calibrated')).message).toContain(
      '2 objects in CalRGB and Lab',
    );
  });

  it('AC4 a default space or an output intent gives DeviceRGB its profile', async () => {
    const withDefault = page(fill('0.9 0.2 0.1 rg'), {
      resources: '/ColorSpace << /DefaultRGB [/ICCBased 31 0 R] >>',
    });
    const withIntent = page(fill('0.9 0.2 0.1 rg'), {
      catalog:
        '/OutputIntents [<< /S /GTS_PDFX /OutputConditionIdentifier (sRGB) /DestOutputProfile 31 0 R >>]',
    });
    for (const pdf of [withDefault, withIntent]) {
      const codes = await codesOf(pdf);
      expect(codes).not.toContain('color-rgb');
      expect(codes).toContain('color-rgb-icc');
    }
  });

  it('AC4 what is painted beside the side does not count', async () => {
    expect(await codesOf(page('1 0 0 rg 2 180 30 9 re f'))).not.toContain('color-rgb');
  });
});

describe('spot inks', () => {
  it('spots are listed with what stands in for them and their pages', async () => {
    const pdf = page(fill('/Red cs 1 scn') + fill('/Gold cs 0.3 0.6 scn', 170));
    const { severity, message } = await findingOf(pdf, 'spots-used');
    expect(severity).toBe('note');
    expect(message).toContain(
      '2 spot inks: Signal Red (else DeviceCMYK, page 1) and Gold Leaf (else DeviceCMYK, page 1)',
    );
    expect((await pageScanOf(pdf)).spots).toMatchObject([
      { name: 'Signal Red', objects: 1 },
      { name: 'Gold Leaf', objects: 1 },
    ]);
    expect(await codesOf(page(fill('0 1 0 0 k')))).not.toContain('spots-used');
  });

  it('AC6 two spellings of one spot warn, as do two definitions and a spot that looks like a process ink', async () => {
    const alike = await findingOf(page(fill('/Red cs 1 scn') + fill('/RedU cs 1 scn', 170)), 'spot-alike');
    expect(alike.severity).toBe('warn');
    expect(alike.message).toContain('“Signal Red” and “signal-red U”');
    expect((await findingOf(page(fill('/black cs 1 scn')), 'spot-like-process')).message).toContain(
      'process ink Black',
    );
    const two = await findingOf(
      page(fill('/Red cs 1 scn') + fill('/RedRgb cs 1 scn', 170)),
      'spot-two-colors',
    );
    expect(two.message).toContain('DeviceCMYK 0, 100, 100, 0 % and DeviceRGB 0, 100');
  });

  it('AC7 the registration color warns on a side, and not in marks beside it', async () => {
    expect((await findingOf(page(fill('/All cs 1 scn')), 'color-registration')).severity).toBe('warn');
    const marks = await checksOf(page('/All CS 1 SCN 0.3 w 5 10 m 15 10 l S'));
    expect(marks.map(({ code }) => code)).not.toContain('color-registration');
  });
});
