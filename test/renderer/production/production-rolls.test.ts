import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { rollPlanCheck } from '../../../core/rolls/roll-check.ts';
import { rollPlan } from '../../../core/rolls/roll-plan.ts';
import {
  DEFAULT_ROLL_RULES,
  type PackItem,
  type RollPlacement,
  type RollStock,
} from '../../../core/shop/rolls.ts';
import { planVerdict } from '../../../renderer/production/plan-verdict.ts';
import {
  placementAtPoint,
  rollAtHeight,
  rollsDrawing,
  rollsShown,
} from '../../../renderer/production/roll-drawing.ts';
import {
  placementOnFilm,
  placementSnapped,
  placementText,
  placementTurned,
} from '../../../renderer/production/roll-placement.ts';
import { breakable } from '../../support/breakable.ts';

const roll = (id: string, over: Partial<RollStock> = {}): RollStock => ({
  id,
  label: `Roll ${id}`,
  widthMm: 1524,
  leftMarginMm: 12,
  rightMarginMm: 8,
  usableLengthMm: 20_000,
  leadInMm: 210,
  tailMm: 190,
  ...over,
});

const item = (panelId: string, widthMm: number, lengthMm: number): PackItem => ({
  panelId,
  sideId: 'left',
  label: panelId.toUpperCase(),
  widthMm,
  lengthMm,
  mayTurn: true,
  installOrder: 1,
});

const rules = { ...DEFAULT_ROLL_RULES, gapMm: 15 };
const place = (panelId: string, xMm: number, yMm: number, turned = false): RollPlacement => ({
  panelId,
  rollId: 'a',
  xMm,
  yMm,
  turned,
});

describe('rolls in pixels', () => {
  const rolls = [roll('a'), roll('b'), roll('c')];
  const items = [item('p1', 900, 2000), item('p2', 500, 1800)];
  const placements = [place('p1', 12, 210), place('p2', 927, 210)];
  const { uses } = rollPlanCheck(items, rolls, rules, placements);
  const drawing = rollsDrawing({ rolls: rolls.slice(0, 2), uses, items, placements }, 0.1, 'mm');

  it('lie on their side and are not mirrored: the start on the left, the left edge at the bottom', () => {
    const { film, panels, idle } = drawing.rolls[0]!;
    expect(film).toMatchObject({ x: 0, height: 152.4 });
    const [first, second] = panels.map(({ box }) => box);
    expect(first).toMatchObject({ x: 21, width: 200, height: 90 });
    // p1 begins 12 mm from the left edge, so its lower edge is 1.2 px above the film's.
    expect(first!.y + first!.height).toBeCloseTo(film.y + film.height - 1.2, 9);
    expect(second!.y).toBeLessThan(first!.y);
    // Lead-in, two margins, tail.
    expect(idle.map(({ width }) => Math.round(width))).toEqual(
      [21, film.width, film.width, 19].map(Math.round),
    );
  });

  it('show where the knife goes: nothing to cut across one band, one cut along between its panels', () => {
    const { cuts, film } = drawing.rolls[0]!;
    // The middle of the gap from 912 to 927 mm.
    expect(cuts).toBe(`M21 ${film.y + (1524 - 919.5) * 0.1}h200`);
  });

  it('are as many as carry panels, and a free one to drag to', () => {
    const ids = (areEntered: boolean) => rollsShown(rolls, uses, areEntered).map(({ id }) => id);
    expect(ids(false)).toEqual(['a', 'b']);
    expect(ids(true)).toEqual(['a', 'b', 'c']);
  });

  it('take a panel back to where it lies, from any place and scale', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 600 }),
        fc.integer({ min: 0, max: 15_000 }),
        fc.boolean(),
        fc.double({ min: 0.02, max: 0.6, noNaN: true }),
        (xMm, yMm, turned, pxPerMm) => {
          const at = [place('p1', xMm, yMm, turned)];
          const drawn = rollsDrawing(
            { rolls: rolls.slice(0, 2), uses, items, placements: at },
            pxPerMm,
            'mm',
          );
          const on = drawn.rolls[0]!;
          const { box } = on.panels[0]!;
          const back = placementAtPoint(drawn, on, box, { across: turned ? 2000 : 900 });
          expect(back.xMm).toBeCloseTo(xMm, 6);
          expect(back.yMm).toBeCloseTo(yMm, 6);
        },
      ),
    );
  });

  it('find the roll under the pointer, or the nearest', () => {
    const [first, second] = drawing.rolls;
    expect(rollAtHeight(drawing, first!.film.y + 5)?.roll.id).toBe('a');
    expect(rollAtHeight(drawing, second!.film.y + 5)?.roll.id).toBe('b');
    expect(rollAtHeight(drawing, -400)?.roll.id).toBe('a');
    expect(rollAtHeight(drawing, 9999)?.roll.id).toBe('b');
  });
});

describe('a panel in hand', () => {
  const context = {
    item: item('p2', 500, 1800),
    roll: roll('a'),
    rules,
    others: [{ item: item('p1', 900, 2000), place: place('p1', 12, 210) }],
  };

  it('stays between the margins and behind the lead-in', () => {
    expect(placementOnFilm(place('p2', -300, 3), context)).toMatchObject({ xMm: 12, yMm: 210 });
    // 1524 − 8 − 500
    expect(placementOnFilm(place('p2', 1400, 900), context)).toMatchObject({ xMm: 1016, yMm: 900 });
  });

  it('is drawn to margin, neighbor and gap within reach, each direction by itself', () => {
    expect(placementSnapped(place('p2', 20, 2240), context, 30)).toMatchObject({ xMm: 12, yMm: 2225 });
    expect(placementSnapped(place('p2', 931, 204), context, 30)).toMatchObject({ xMm: 927, yMm: 210 });
    expect(placementSnapped(place('p2', 700, 2240), context, 30)).toMatchObject({ xMm: 700, yMm: 2225 });
    expect(placementSnapped(place('p2', 700, 3000), context, 30)).toMatchObject({ xMm: 700, yMm: 3000 });
  });

  it('drawn to a gap is a place that the check has nothing against', () => {
    const snapped = placementSnapped(place('p2', 931, 204), context, 30);
    const items = [context.others[0]!.item, context.item];
    const check = rollPlanCheck(items, [context.roll], rules, [context.others[0]!.place, snapped]);
    expect(check.findings.filter(({ severity }) => severity === 'stop')).toEqual([]);
    const closer = { ...snapped, xMm: snapped.xMm - 1 };
    const codes = rollPlanCheck(items, [context.roll], rules, [context.others[0]!.place, closer]).findings;
    expect(codes.map(({ code }) => code)).toContain('roll-gap');
  });

  it('turns about its corner and is then kept on the film', () => {
    expect(placementTurned(place('p2', 1000, 500), context)).toMatchObject({
      turned: true,
      xMm: 12,
      yMm: 500,
    });
  });

  it('is told by its place', () => {
    expect(placementText(place('p2', 927, 210, true), 'mm')).toBe(
      '210 mm from the start, 927 mm from the left edge, turned',
    );
    expect(breakable(placementText(place('p2', 25.4, 254), 'in'))).toBe(
      '10 in from the start, 1 in from the left edge',
    );
  });
});

describe('how good a plan is', () => {
  const one = [roll('a')];
  const verdict = (over: Partial<Parameters<typeof planVerdict>[0]>, rolls = one) =>
    planVerdict(
      {
        filmUsedMm: 12_900,
        filmAreaMm2: 12_900 * 1524,
        bound: { lengthMm: 12_300, areaMm2: 12_300 * 1524 },
        distancePercent: 4.878,
        isShortest: false,
        unplacedPanelIds: [],
        ...over,
      },
      rolls,
      'mm',
    );

  it('is told with the bound, and no more is claimed than the bound proves', () => {
    expect(verdict({})).toBe(
      '12.9 m of film. Any nesting within these rules needs at least 12.3 m; this one is 4.9 % above that bound, and the least possible lies between.',
    );
    expect(verdict({ isShortest: true })).toBe('12.9 m of film. No nesting within these rules uses less.');
  });

  it('counts area where rolls differ in width, for lengths do not compare', () => {
    expect(verdict({ isShortest: true }, [roll('a'), roll('b', { widthMm: 1220 })])).toMatch(
      /^19\.7 m² of film/,
    );
  });

  it('says what was left out', () => {
    expect(verdict({ isShortest: true, unplacedPanelIds: ['p9'] })).toMatch(
      /1 panel is not nested and not counted\.$/,
    );
  });

  it('agrees with a plan that can be worked out by hand', () => {
    // Two panels of 700 side by side: 210 + 1800 + 190 mm of film, and no shorter plan exists.
    const plan = rollPlan([item('p1', 700, 1800), item('p2', 700, 1800)], one, {
      ...rules,
      printOrder: 'any',
    });
    expect(planVerdict(plan, one, 'mm')).toBe('2.2 m of film. No nesting within these rules uses less.');
  });
});
