import { describe, expect, it } from 'vitest';
import { type JointShape, jointFromGap, jointFromLap, jointTrims } from '../../../core/seams/plan-side.ts';
import {
  gapsMisused,
  isSeamAllowed,
  noFilmAreasGrazed,
  noSeamAreaCut,
} from '../../../core/seams/seam-limits.ts';
import { seamCost, seamParts } from '../../../core/seams/seam-parts.ts';
import { costCardSchema, ESTIMATED_COST_CARD } from '../../../core/shop/cost-card.ts';
import { area, BODY_LAP, bodyLine, lettering, planSide, SHIFT_LAP } from '../../support/plan-sides.ts';

describe('what a seam meets', () => {
  const side = planSide({
    width: 5000,
    height: 2100,
    ground: [
      { ...area('dish', 900, 100, 700, 400), kind: 'recess' },
      { ...area('shoulder', 800, 300, 900, 600), kind: 'curve' },
    ],
    noFilmAreas: [{ ...area('window', 1000, 1300, 800, 450), margin: 20 }],
    lettering: [lettering('name', 1100, 950, 300, 120), lettering('phone', 2100, 950, 300, 120)],
    lines: [
      bodyLine({ kind: 'crease', axis: 'vertical', at: 1240, from: 0, to: 700 }),
      bodyLine({ kind: 'molding', axis: 'vertical', at: 1240, from: 500, to: 1500 }),
    ],
  });

  it('SP1 counts each millimeter of ground and line once, the harder ground and the better line first', () => {
    const parts = seamParts(side, { axis: 'vertical', at: 1240, from: 0, to: 2100 });
    // 100–500 recess, 500–900 curve, 1,300–1,750 window, the rest flat.
    expect(parts.ground.recess).toBeCloseTo(0.4, 12);
    expect(parts.ground.curve).toBeCloseTo(0.4, 12);
    expect(parts.ground.open).toBeCloseTo(0.45, 12);
    expect(parts.ground.flat).toBeCloseTo(0.85, 12);
    // The crease to 500, the molding from there; nothing is hidden in the window.
    expect(parts.online.crease).toBeCloseTo(0.5, 12);
    expect(parts.online.molding).toBeCloseTo(0.8, 12);
    expect(parts.lettering).toBe(1);
  });

  it('SP1 prices ground, trim, lettering and lines by the card', () => {
    const parts = seamParts(side, { axis: 'vertical', at: 1240, from: 0, to: 2100 });
    const cost = seamCost(side, jointFromLap(BODY_LAP, 'vertical', 'right'), parts);
    expect(cost.installMinutes).toBeCloseTo(0.85 * 3 + 0.4 * 6 + 0.4 * 15 + 25 - 0.8 * 4, 9);
    expect(cost.shopMinutes).toBeCloseTo(1.65 * 1, 9);
    expect(cost.visibleMeters).toBeCloseTo(1.65 - 0.5 * 0.6 - 0.8 * 0.9, 9);
  });

  it('SP1 a horizontal seam meets the same things the other way round', () => {
    const parts = seamParts(side, { axis: 'horizontal', at: 1000, from: 500, to: 5000 });
    expect(parts.lettering).toBe(2);
    expect(parts.ground).toEqual({ flat: 4.5, curve: 0, recess: 0, open: 0 });
    expect(parts.online).toEqual({ crease: 0, molding: 0, 'body-gap': 0 });
  });
});

describe('joints', () => {
  /** Upper over lower, front over rear; laps of 25 mm, 90 mm to shift. Common practice, no source. */
  it('SP2 the upper part and the part nearer the front lie on top', () => {
    expect(jointFromLap(BODY_LAP, 'horizontal', 'right').top).toBe('first');
    expect(jointFromLap(BODY_LAP, 'horizontal', 'left').top).toBe('first');
    expect(jointFromLap(BODY_LAP, 'vertical', 'left').top).toBe('first');
    expect(jointFromLap(BODY_LAP, 'vertical', 'right').top).toBe('second');
    expect(jointFromLap(SHIFT_LAP, 'vertical', 'right')).toEqual({
      kind: 'lap',
      first: 25,
      second: 65,
      top: 'second',
    });
    expect(jointFromLap(SHIFT_LAP, 'vertical', 'left')).toEqual({
      kind: 'lap',
      first: 65,
      second: 25,
      top: 'first',
    });
  });

  it('SP2 spare image is trimmed on the vehicle, none means the shop, a butt means two edges', () => {
    const side = planSide({ width: 3000, height: 1700 });
    const parts = seamParts(side, { axis: 'vertical', at: 1310, from: 0, to: 1700 });
    const [body, shift] = [BODY_LAP, SHIFT_LAP].map((lap) => jointFromLap(lap, 'vertical', 'right'));
    const butt = jointFromLap({ name: 'butt', under: 0, over: 0 }, 'vertical', 'right');
    expect(
      seamCost(side, shift!, parts).installMinutes - seamCost(side, body!, parts).installMinutes,
    ).toBeCloseTo(1.7 * 1.5, 9);
    const shopMinutes = (joint: JointShape) => seamCost(side, joint, parts).shopMinutes;
    expect([body!, shift!, butt].map(shopMinutes)).toEqual([1.7, 0, 3.4]);
    const trims = (joint: JointShape, border = 20) => Object.values(jointTrims(joint, border));
    // The right part lies on top, nearer to the front; the part beneath is not trimmed.
    expect(trims(body!)).toEqual([0, 1]);
    expect(trims(shift!)).toEqual([0, 0]);
    expect(trims(butt)).toEqual([1, 1]);
    expect(trims(jointFromGap(side, 'vertical'))).toEqual([0, 0]);
    expect(trims(jointFromGap({ ...side, gapAllowance: 0 }, 'vertical'))).toEqual([1, 1]);
    expect(trims(butt, 0)).toEqual([0, 0]);
  });
});

describe('where a seam may be', () => {
  const vertical = (at: number, from = 0, to = 2000) => ({ axis: 'vertical' as const, at, from, to });

  it('SP3 keeps clear areas whole, also within the reach of a shift lap', () => {
    const side = planSide({ width: 4000, height: 2000, noSeamAreas: [area('logo', 1500, 300, 600, 200)] });
    const body = jointFromLap(BODY_LAP, 'vertical', 'right');
    expect(noSeamAreaCut(side, vertical(1501), body).map(({ id }) => id)).toEqual(['logo']);
    expect(noSeamAreaCut(side, vertical(1500), body)).toEqual([]);
    expect(noSeamAreaCut(side, vertical(2100), body)).toEqual([]);
    expect(noSeamAreaCut(side, vertical(1800, 500, 2000), body)).toEqual([]);
    // The right part lies on top with 65 mm to spare to the left: its edge may end up there.
    const shift = jointFromLap(SHIFT_LAP, 'vertical', 'right');
    expect(noSeamAreaCut(side, vertical(2164), shift)).toHaveLength(1);
    expect(noSeamAreaCut(side, vertical(2165), shift)).toEqual([]);
    expect(noSeamAreaCut(side, vertical(1500), shift)).toEqual([]);
  });

  it('SP4 keeps off the frame of an opening, but may cross it', () => {
    const side = planSide({
      width: 4000,
      height: 2000,
      noFilmAreas: [{ ...area('window', 1000, 400, 800, 500), margin: 20 }],
    });
    const grazed = (at: number) => noFilmAreasGrazed(side, vertical(at)).length;
    expect([980, 981, 1000, 1019, 1020, 1400, 1780, 1781, 1820].map(grazed)).toEqual([
      0, 1, 1, 1, 0, 0, 0, 1, 0,
    ]);
    expect(noFilmAreasGrazed(side, vertical(1000, 900, 2000))).toEqual([]);
  });

  it('SP4 lets a break lie on a gap and keeps laps off it', () => {
    const gap = bodyLine({ kind: 'body-gap', axis: 'vertical', at: 1300, from: 0, to: 1400 });
    const side = planSide({ width: 4000, height: 2000, lines: [gap] });
    const lap = jointFromLap(BODY_LAP, 'vertical', 'right');
    expect(gapsMisused(side, vertical(1300), lap)).toEqual([gap]);
    expect(gapsMisused(side, vertical(1314), lap)).toEqual([gap]);
    expect(isSeamAllowed(side, vertical(1315), lap)).toBe(true);
    expect(isSeamAllowed(side, vertical(1300, 1400, 2000), lap)).toBe(true);
    expect(isSeamAllowed(side, vertical(1300, 0, 1400), jointFromGap(side, 'vertical'))).toBe(true);
  });
});

describe('the cost card', () => {
  it('is complete when empty, and says that it is estimated', () => {
    expect(ESTIMATED_COST_CARD.isEstimate).toBe(true);
    const own = costCardSchema.parse({
      isEstimate: false,
      laborPerHour: 47,
      seamMinutesPerMeter: { curve: 8 },
    });
    expect(own.isEstimate).toBe(false);
    expect(own.seamMinutesPerMeter).toEqual({ flat: 3, curve: 8, recess: 15, gap: 3 });
    expect(costCardSchema.safeParse({ laborPerHour: -1 }).success).toBe(false);
    expect(costCardSchema.safeParse({ laborPerHour: Number.NaN }).success).toBe(false);
    expect(costCardSchema.safeParse({ hidingShare: { crease: 1.2 } }).success).toBe(false);
    expect(costCardSchema.safeParse({ laborPerHuor: 50 }).success).toBe(false);
  });
});
