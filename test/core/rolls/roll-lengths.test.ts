import { describe, expect, it } from 'vitest';
import { cutLines, printStrips } from '../../../core/rolls/print-strips.ts';
import { rollPlanCheck } from '../../../core/rolls/roll-check.ts';
import {
  feedCompensationFromError,
  rollPrintLength,
  rollPrintWidth,
  sentLength,
  wastePercent,
} from '../../../core/rolls/roll-lengths.ts';
import { rollPlan } from '../../../core/rolls/roll-plan.ts';
import { panelOf, rollOf, rulesOf } from '../../support/roll-plan-cases.ts';

const MM_PER_YARD = 914.4; // exact, International Yard and Pound Agreement 1959

describe('lengths on a roll', () => {
  it('a trade size is not a true width: 54 in is 1,371.6 mm, 60 in 1,524 mm, 50 yd 45.72 m, 25 yd 22.86 m', () => {
    expect(54 * 25.4).toBeCloseTo(1371.6, 9);
    expect(60 * 25.4).toBeCloseTo(1524, 9);
    const roll = rollOf({ usableLengthMm: 50 * MM_PER_YARD });
    expect(rollPrintWidth(roll)).toBeCloseTo(1371.6 - 9 - 13, 9);
    expect(rollPrintLength(roll)).toBeCloseTo(45_720 - 210 - 170, 9);
    expect(rollPrintLength(rollOf({ usableLengthMm: 25 * MM_PER_YARD }))).toBeCloseTo(22_860 - 380, 9);
  });

  it('a roll shorter than its own lead-in and tail prints nothing', () => {
    expect(rollPrintLength(rollOf({ usableLengthMm: 300 }))).toBe(0);
    expect(rollPrintWidth(rollOf({ widthMm: 20 }))).toBe(0);
  });

  it('a printer that prints 0.2 % long is sent 0.1996 % less, and the film used stays the true length', () => {
    const percent = feedCompensationFromError(0.2);
    expect(percent).toBeCloseTo(-0.1996, 4);
    const sent = sentLength(2500, rulesOf({ feedCompensationPercent: percent }));
    expect(sent * 1.002).toBeCloseTo(2500, 9);
    const items = [panelOf(1, 1100, 2500)];
    const used = (feedCompensationPercent: number): number =>
      rollPlan(items, [rollOf()], rulesOf({ feedCompensationPercent })).filmUsedMm;
    expect(used(0.4)).toBe(used(-0.3));
  });

  it('the longest print limits what is sent', () => {
    const rules = rulesOf({ longestPrintMm: 2503, feedCompensationPercent: 0.2 });
    const plan = rollPlan([panelOf(1, 1100, 2500)], [rollOf()], rules);
    expect(plan.findings.map((finding) => [finding.code, finding.message])).toEqual([
      [
        'roll-panel-over-longest-print',
        "LH-01 is sent 2505 mm long; the printer's longest print is 2503 mm.",
      ],
    ]);
    expect(rollPlan([panelOf(1, 1100, 2497)], [rollOf()], rules).unplacedPanelIds).toEqual([]);
  });

  it('used length, film used and waste are counted from the start of the roll to the end of the tail', () => {
    // By hand: bands of 2,000 and 900 mm with a gap of 15, lead-in 210, tail 170.
    const items = [panelOf(1, 700, 2000), panelOf(2, 600, 1300), panelOf(3, 1100, 900)];
    const { uses, filmUsedMm, filmAreaMm2 } = rollPlan(items, [rollOf()], rulesOf());
    expect(filmUsedMm).toBe(210 + 2000 + 15 + 900 + 170);
    expect(filmAreaMm2).toBeCloseTo(3295 * 1371.6, 6);
    const panels = 700 * 2000 + 600 * 1300 + 1100 * 900;
    expect(uses[0]!.wastePercent).toBeCloseTo(100 * (1 - panels / (1371.6 * 3295)), 9);
    expect(wastePercent(0, 1371.6, 0)).toBe(0);
  });

  it('strips join bands up to the longest print, and cuts run through the middle of the gaps', () => {
    const items = [
      panelOf(1, 500, 2000),
      panelOf(2, 610, 1900),
      panelOf(3, 1300, 1500),
      panelOf(4, 1290, 1400),
    ];
    const rules = rulesOf({ longestPrintMm: 3600 });
    const place = (panelId: string, xMm: number, yMm: number) => ({
      panelId,
      rollId: 'roll-a',
      xMm,
      yMm,
      turned: false,
    });
    const placements = [
      place('lh-1', 9, 210),
      place('lh-2', 529, 210),
      place('lh-3', 9, 2230),
      place('lh-4', 9, 3745),
    ];
    const { uses, findings } = rollPlanCheck(items, [rollOf()], rules, placements);
    expect(findings).toEqual([]);
    const strips = printStrips(uses[0]!, rules);
    expect(strips.map((strip) => [strip.startMm, strip.endMm, strip.bands.length])).toEqual([
      [210, 3730, 2],
      [3745, 5145, 1],
    ]);
    // A page of 3,500 mm, where the longest print allowed 3,600.
    const byPage = printStrips(uses[0]!, rules, 3500);
    expect(byPage.map((strip) => [strip.startMm, strip.endMm])).toEqual([
      [210, 2210],
      [2230, 5145],
    ]);
    expect(cutLines(uses[0]!.bands, 1371.6)).toEqual({
      acrossAtMm: [2220, 3737.5],
      withinBands: [{ way: 'lengthwise', atMm: 519, fromMm: 210, toMm: 2210, spaceMm: 20 }],
    });
  });

  it('numbers the cuts of a band that takes both ways, piece by piece', () => {
    // A tall panel, beside it one before two narrow ones.
    const items = [
      panelOf(1, 500, 2000),
      panelOf(2, 820, 900),
      panelOf(3, 300, 1060),
      panelOf(4, 430, 1040),
      panelOf(5, 1300, 700),
    ];
    const place = (panelId: string, xMm: number, yMm: number) => ({
      panelId,
      rollId: 'roll-a',
      xMm,
      yMm,
      turned: false,
    });
    const placements = [
      place('lh-1', 9, 210),
      place('lh-2', 529, 210),
      place('lh-3', 529, 1130),
      place('lh-4', 849, 1130),
      place('lh-5', 9, 2230),
    ];
    const { uses, findings } = rollPlanCheck(items, [rollOf()], rulesOf(), placements);
    expect(findings).toEqual([]);
    expect(cutLines(uses[0]!.bands, 1371.6)).toEqual({
      acrossAtMm: [2220],
      withinBands: [
        { way: 'lengthwise', atMm: 519, fromMm: 210, toMm: 2210, spaceMm: 20, number: 1 },
        { way: 'across', atMm: 1120, fromMm: 519, toMm: 1371.6, spaceMm: 20, number: 2 },
        { way: 'lengthwise', atMm: 839, fromMm: 1120, toMm: 2210, spaceMm: 20, number: 3 },
      ],
    });
  });
});
