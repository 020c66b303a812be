import { describe, expect, it } from 'vitest';
import { figureInField, figureLabel } from '../../../core/measure/figure-units.ts';
import type { PlanFigures } from '../../../core/seams/plan-figures.ts';
import { PLAN_AIMS } from '../../../core/seams/plan-objective.ts';
import type { SeamReason } from '../../../core/seams/seam-reasons.ts';
import { type CostCard, ESTIMATED_COST_CARD } from '../../../core/shop/cost-card.ts';
import { CARD_GROUPS, type CardField, cardFigure, cardWith } from '../../../renderer/layouts/card-fields.ts';
import { figureRows, isBestOf, rowsToShow } from '../../../renderer/layouts/figure-rows.ts';
import {
  brokenTexts,
  hidingText,
  jointText,
  nextBestText,
  offerName,
  seamMoneyParts,
  seamPlaceText,
  shapeFilmText,
} from '../../../renderer/layouts/plan-words.ts';
import { widthsFromText } from '../../../renderer/layouts/roll-widths.ts';
import { numberText } from '../../../renderer/parts/number-field.tsx';
import {
  areaText,
  metersText,
  moneyText,
  shareText,
  workText,
} from '../../../renderer/parts/quantity-text.ts';

const UNITS = { unit: 'mm', currency: 'EUR', printer: { feedErrorPercent: 0.2, rollWidthMm: 1524 } } as const;

describe('quantities', () => {
  it('are in the system of the job', () => {
    // NIST SP 811: 1 ft = 0.3048 m exactly, so 1 m = 3.2808 ft and 1 m² = 10.764 ft².
    expect([metersText(12.34, 'mm'), metersText(12.34, 'in')]).toEqual(['12.3 m', `40'\u00a06"`]);
    expect([areaText(21, 'mm'), areaText(21, 'in')]).toEqual(['21.0 m²', '226 ft²']);
  });

  it('are rounded to what an estimate bears', () => {
    expect([workText(119), workText(150), shareText(0.236)]).toEqual(['119 min', '2.5 h', '24 %']);
    expect([moneyText(3.456, 'EUR'), moneyText(1234.5, 'EUR'), moneyText(-0.002, 'EUR')]).toEqual([
      '3.46 EUR',
      '1235 EUR',
      '0.00 EUR',
    ]);
  });
});

const figures = (over: Partial<PlanFigures>): PlanFigures => ({
  panels: 3,
  seams: 2,
  seamMeters: { flat: 8.5, curve: 0, recess: 0, open: 1 },
  onlineMeters: { crease: 0, molding: 0, 'body-gap': 2.3 },
  visibleMeters: 6.2,
  letteringCrossed: 0,
  people: 3,
  longestFilm: 7360,
  shopTrims: 1,
  filmSquareMeters: 21.3,
  laminateSquareMeters: 21.3,
  wasteShare: 0.1,
  installMinutes: 204,
  matchingMinutes: 21,
  shopMinutes: 60,
  filmMoney: 298,
  laminateMoney: 192,
  laborMoney: 267,
  money: 757,
  movedSeams: 0,
  visibleWorth: 93,
  ...over,
});

describe('the table of figures', () => {
  const rows = figureRows(UNITS);

  it('holds all that plans are compared by', () => {
    const texts = rows.map((row) => [row.name, row.text(figures({}))]);
    expect(Object.fromEntries(texts)).toMatchObject({
      Panels: '3',
      'Longest panel, size on roll': '7360 mm',
      // 0.2 % of 7,360 mm.
      'Feed error over the longest panel': '14.7 mm',
      'People for the longest': '3',
      'Seams on flat': '8.5 m',
      'Lettering crossed': '0',
      'Shop trims': '1',
      Film: '21.3 m²',
      Waste: '10 %',
      Installing: '3.4 h',
      'Matching picture and lettering': '21 min',
      'In the shop': '60 min',
      'Money spent': '757 EUR',
      'Visible-seam penalty (not cash)': '93 EUR',
      Cost: '850 EUR',
    });
  });

  it('names for each estimate the figures of the card that it rests on', () => {
    const known = new Set(CARD_GROUPS.flatMap(({ fields }) => fields.map(({ path }) => path)));
    for (const row of rows.filter(({ isEstimate }) => isEstimate)) {
      expect(row.inputs.length, row.name).toBeGreaterThan(0);
      for (const input of row.inputs) expect(known).toContain(input);
    }
    for (const name of ['Film', 'Waste', 'Installing', 'In the shop', 'Cost']) {
      expect(rows.find((row) => row.name === name)?.isEstimate).toBe(true);
    }
  });

  it('leaves out grounds that no plan has', () => {
    const names = (plans: PlanFigures[]) => rowsToShow(rows, plans).map(({ name }) => name);
    expect(names([figures({})])).not.toContain('Seams in a recess');
    const inRecess = figures({ seamMeters: { flat: 1, curve: 0, recess: 0.7, open: 0 } });
    expect(names([figures({}), inRecess])).toContain('Seams in a recess');
  });

  it('marks the best of a row only where plans differ to the eye', () => {
    const row = (name: string) => rows.find((candidate) => candidate.name === name)!;
    const plans = [figures({ money: 757.2 }), figures({ money: 757.4, panels: 2 })];
    expect(plans.map((plan) => isBestOf(row('Panels'), plan, plans))).toEqual([false, true]);
    expect(plans.map((plan) => isBestOf(row('Cost'), plan, plans))).toEqual([false, false]);
  });
});

describe('the cost card as fields', () => {
  const fields = CARD_GROUPS.flatMap((group) => group.fields);

  it('shows every figure of the card once', () => {
    const paths = (branch: object, prefix = ''): string[] =>
      Object.entries(branch).flatMap(([key, value]) =>
        typeof value === 'number'
          ? [prefix + key]
          : typeof value === 'object'
            ? paths(value as object, `${prefix}${key}.`)
            : [],
      );
    expect(fields.map(({ path }) => path).toSorted()).toEqual(paths(ESTIMATED_COST_CARD).toSorted());
  });

  it('sets each figure and nothing else', () => {
    for (const [unit, field] of fields.flatMap(
      (each) =>
        [
          ['mm', each],
          ['in', each],
        ] as const,
    )) {
      const changed = cardWith(ESTIMATED_COST_CARD, field, 37, unit);
      if (typeof changed === 'string') throw new Error(changed);
      expect(cardFigure(changed, field, unit)).toBeCloseTo(37, 9);
      for (const other of fields.filter((candidate) => candidate !== field)) {
        expect(cardFigure(changed, other, unit)).toBe(cardFigure(ESTIMATED_COST_CARD, other, unit));
      }
    }
  });

  it('takes 2.50 a ft² in a job in inches, keeps it by the m², and shows 2.50 again', () => {
    const film = fields.find(({ path }) => path === 'filmPerSquareMeter')!;
    const card = cardWith(ESTIMATED_COST_CARD, film, 2.5, 'in');
    if (typeof card === 'string') throw new Error(card);
    // 1 ft² = 0.09290304 m² (NIST SP 811): 2.5 ÷ 0.09290304 = 26.909776.
    expect(card.filmPerSquareMeter).toBeCloseTo(26.909776, 6);
    expect(numberText(cardFigure(card, film, 'in'), 2)).toBe('2.50');
    expect(figureLabel(film.label, 'in')).toBe('Film, a ft²');
    expect(cardFigure(card, film, 'mm')).toBeCloseTo(26.909776, 6);
  });

  it('show what was converted with as many digits as a shop can use', () => {
    // 15 m² and 60 m an hour in feet, 1,500 mm in inches, 8 ml a m² by the square foot.
    expect([161.458656, 196.850394, 59.055118, 0.743224].map((value) => numberText(value))).toEqual([
      '161.46',
      '196.85',
      '59.055',
      '0.7432',
    ]);
    expect([1234.56, 45, 0, -0.2, 260].map((value) => numberText(value))).toEqual([
      '1234.56',
      '45',
      '0',
      '-0.2',
      '260',
    ]);
  });

  it('shows three digits of what was entered in the metric system, and what was typed as it was', () => {
    const figures = (card: CostCard, path: CardField['path']) =>
      numberText(cardFigure(card, fields.find((field) => field.path === path)!, 'in'));
    // 14 and 6 a m², 3 a meter, 3 m: by NIST SP 811 1.30064256 and 0.5574 a ft², 0.9144 a ft, 9.8425 ft.
    const paths = [
      'filmPerSquareMeter',
      'installMinutesPerSquareMeter',
      'seamMinutesPerMeter.flat',
      'twoPeopleFromMeters',
    ] as const;
    expect(paths.map((path) => figures(ESTIMATED_COST_CARD, path))).toEqual([
      '1.3',
      '0.557',
      '0.914',
      '9.84',
    ]);
    for (const path of paths) {
      for (const typed of [1.125, 12.75, 31.25, 0.0625]) {
        const card = cardWith(ESTIMATED_COST_CARD, fields.find((field) => field.path === path)!, typed, 'in');
        if (typeof card === 'string') throw new Error(card);
        expect(figures(card, path)).toBe(String(typed));
      }
    }
    // 1,500 mm of laminate, 400 m an hour.
    expect([figureInField(1500, 'mm', 'in'), figureInField(400, 'm', 'in')]).toEqual([59.1, 1312]);
  });

  it('refuses what cannot be meant, in a sentence', () => {
    const [money, share] = [fields.find(({ isShare }) => !isShare)!, fields.find(({ isShare }) => isShare)!];
    expect(cardWith(ESTIMATED_COST_CARD, money, -1, 'mm')).toBe('Enter a figure from 0 to 1000000.');
    expect(cardWith(ESTIMATED_COST_CARD, share, 101, 'in')).toBe('Enter a share from 0 to 100 %.');
  });
});

const reason = (over: Partial<SeamReason>): SeamReason => ({
  seam: {
    place: { axis: 'horizontal', at: 940, from: 0, to: 7200 },
    joint: { kind: 'lap', first: 20, second: 5, top: 'first' },
  },
  lineIds: ['belt'],
  onlineShare: { molding: 0.86 },
  hiddenShare: 0.774,
  isLocked: false,
  money: {
    laying: 21.6,
    picture: 8.25,
    lettering: 0,
    shopTrim: 0,
    openView: 25,
    lineSaved: -4,
    total: 50.85,
  },
  nextBest: { at: 965, extraMoney: 83.4 },
  ...over,
});

describe('why a seam lies there', () => {
  const side = {
    bodyLines: [
      {
        id: 'belt',
        name: 'Belt line',
        kind: 'molding' as const,
        direction: 'horizontal' as const,
        atMm: 940,
      },
    ],
    noSeamAreas: [{ id: 'k1', name: 'Title', rect: { xMm: 0, yMm: 0, widthMm: 10, heightMm: 10 } }],
    noFilmAreas: [],
  };

  it('is told with place, lap and hiding', () => {
    expect(seamPlaceText(reason({}).seam, 'mm')).toBe('Horizontal, 940 mm from the top');
    expect(jointText(reason({}).seam, 'mm')).toBe('25 mm printed overlap, upper part on top');
    expect(hidingText(reason({}), side)).toBe(
      'On the molding “Belt line” for 86 % of its length; 77 % hidden.',
    );
    expect(hidingText(reason({ lineIds: [], onlineShare: {} }), side)).toBe('On no line: in open view.');
  });

  it('is told to follow a line with shape, with what that takes in film', () => {
    const path = [
      { along: 0, across: 900 },
      { along: 1000, across: 960 },
    ];
    const { seam } = reason({});
    const followed = reason({
      seam: { ...seam, place: { axis: 'horizontal', at: 900, from: 0, to: 1000, path } },
      shapeFilmSquareMeters: 0.1234,
    });
    expect(seamPlaceText(followed.seam, 'mm')).toBe('Horizontal, 900 mm to 960 mm from the top');
    expect(hidingText(followed, side)).toBe(
      'Follows the molding “Belt line” for 86 % of its length; 77 % hidden.',
    );
    expect(shapeFilmText(followed, 'mm')).toBe('Its shape takes 0.12 m² more film than a straight seam.');
    // 0.1234 m² are 1.33 ft².
    expect(shapeFilmText(followed, 'in')).toBe('Its shape takes 1.3 ft² more film than a straight seam.');
    expect(shapeFilmText(reason({}), 'mm')).toBe('');
    expect(nextBestText(followed, UNITS)).toBe('Straight at 965 mm: 83 EUR more');
    // Square to a seam that rises 3 in 4, 25 mm are 20 mm.
    const steep = [path[0]!, { along: 1000, across: 1650 }];
    expect(jointText({ ...seam, place: { ...followed.seam.place, path: steep } }, 'mm')).toBe(
      '20 mm printed overlap, upper part on top',
    );
  });

  it('is told with the next best place and what that would cost', () => {
    expect(nextBestText(reason({}), UNITS)).toBe('At 965 mm: 83 EUR more');
    expect(nextBestText(reason({ nextBest: { at: 965, extraMoney: -2.5 } }), UNITS)).toBe(
      'At 965 mm: 2.50 EUR less',
    );
    expect(nextBestText(reason({ nextBest: undefined }), UNITS)).toBe('The limits leave no other place.');
    expect(nextBestText(reason({ isLocked: true }), UNITS)).toBe('Locked: it stays.');
  });

  it('is told item by item in money, without items of nothing', () => {
    expect(seamMoneyParts(reason({}), 'EUR')).toEqual([
      ['Installing it', '22 EUR'],
      ['Matching the picture', '8.25 EUR'],
      ['Visible-seam penalty (not cash)', '25 EUR'],
      ['Saved by ending on a line', '-4.00 EUR'],
    ]);
  });

  it('counts what the habit breaks', () => {
    const area = { x: 0, y: 0, width: 1, height: 1 } as const;
    const broken = [
      { limit: 'no-seam-area', itemId: 'k1', area },
      { limit: 'smallest-panel', by: 30, area },
      { limit: 'no-seam-area', itemId: 'k1', area },
      { limit: 'smallest-panel', by: 81, area },
    ] as const;
    expect(brokenTexts(broken, side, 'mm')).toEqual([
      '2 seams cut through “Title”.',
      '2 panels are smaller than the shop’s least panel, by up to 81 mm.',
    ]);
  });

  it('names a plan by all that it is best at', () => {
    expect(offerName({ id: 'lowest-cost', aims: ['lowest-cost', 'least-film'] })).toBe(
      'Lowest cost, least film',
    );
    expect(offerName({ id: 'lowest-cost', aims: PLAN_AIMS })).toBe('Lowest cost, and best in all else');
    expect(offerName({ id: 'equal-vertical', aims: [] })).toBe('Equal vertical panels');
  });
});

describe('roll widths as they are typed', () => {
  it('are read in any unit, each once', () => {
    expect(widthsFromText('1220 mm; 54in ; 1,37 m; 1220', 'mm')).toEqual({
      ok: true,
      value: [1220, 1371.6, 1370],
    });
    expect(widthsFromText(' ', 'mm')).toEqual({ ok: true, value: [] });
  });

  it('are refused with a sentence', () => {
    expect(widthsFromText('1220; wide', 'mm')).toMatchObject({ ok: false });
    expect(widthsFromText('1220; 5', 'mm')).toMatchObject({ ok: false });
    const eleven = Array.from({ length: 11 }, (_, index) => 1000 + index).join(';');
    expect(widthsFromText(eleven, 'mm')).toMatchObject({ ok: false, problem: { code: 'too-many-rolls' } });
  });
});
