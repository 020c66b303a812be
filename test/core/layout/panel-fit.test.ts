import { describe, expect, it } from 'vitest';
import { DEFAULT_PRINTER } from '../../../core/job/defaults.ts';
import { longestPrintOnFilm, panelFit, printerPrintWidth } from '../../../core/layout/panel-fit.ts';

// 1524 mm roll (60 in, recomputed), margins 10 and 13: 1501 mm to print on.
const printer = {
  ...DEFAULT_PRINTER,
  rollWidthMm: 1524,
  marginLeftMm: 10,
  marginRightMm: 13,
  longestPrintMm: 5200,
};

describe('panel fit', () => {
  it('FIT1 takes the side margins off the roll, and the shorter of roll and longest print', () => {
    expect(printerPrintWidth(printer)).toBe(1501);
    expect(longestPrintOnFilm(printer)).toBe(5200);
    expect(longestPrintOnFilm({ ...printer, rollLengthMm: 4100 })).toBe(4100);
  });

  it('FIT1 counts the length that is sent: a feed that prints short leaves less film for one print', () => {
    // 5148 mm of film on a feed 1 % short is sent as 5148 ÷ 0.99 = 5200 mm.
    expect(longestPrintOnFilm({ ...printer, feedErrorPercent: -1 })).toBeCloseTo(5148, 9);
    expect(longestPrintOnFilm({ ...printer, feedErrorPercent: 2 })).toBeCloseTo(5304, 9);
  });

  it('FIT2 lays the short way across and the long way along', () => {
    const upright = panelFit({ width: 1340, height: 2310 }, printer);
    expect(upright).toMatchObject({
      acrossMm: 1340,
      alongMm: 2310,
      isTurned: false,
      widthLeftMm: 161,
      lengthLeftMm: 2890,
    });
    const lying = panelFit({ width: 2310, height: 1340 }, printer);
    expect(lying).toMatchObject({ acrossMm: 1340, alongMm: 2310, isTurned: true, widthLeftMm: 161 });
  });

  it('FIT2 fits exactly, and not with a millimeter more', () => {
    expect(panelFit({ width: 1501, height: 2310 }, printer).isTooWide).toBe(false);
    const wider = panelFit({ width: 1502, height: 2310 }, printer);
    expect(wider).toMatchObject({ isTooWide: true, widthLeftMm: -1, isTooLong: false });
  });

  it('FIT2 says so when the long way is too long', () => {
    expect(panelFit({ width: 800, height: 5300 }, printer)).toMatchObject({
      isTooLong: true,
      lengthLeftMm: -100,
      isTooWide: false,
    });
  });

  it('FIT2 puts the long way across where only that fits', () => {
    const short = { ...printer, longestPrintMm: 1200 };
    expect(panelFit({ width: 1100, height: 1400 }, short)).toMatchObject({
      acrossMm: 1400,
      alongMm: 1100,
      isTurned: true,
      isTooLong: false,
    });
    expect(panelFit({ width: 1300, height: 1400 }, short)).toMatchObject({ isTooLong: true });
  });
});
