import { describe, expect, it } from 'vitest';
import { type Lettering, letteringMeaning } from '../../../core/lettering/lettering.ts';
import {
  letteringCrossings,
  placesBetweenWords,
  type SeamLine,
} from '../../../core/lettering/lettering-crossing.ts';

/** “ALDER VALLEY” as two words of 900 and 1,100 mm with a space of 170 mm, capitals of 320 mm. */
const line = (more: Partial<Lettering> = {}): Lettering => ({
  id: 'text-1-2',
  rect: { x: 1000, y: 700, width: 2170, height: 410 },
  words: [
    { x: 1000, y: 700, width: 900, height: 410 },
    { x: 2070, y: 700, width: 1100, height: 410 },
  ],
  capHeightMm: 320,
  text: 'ALDER VALLEY',
  isSure: true,
  strokes: [{ x: 1180, y: 720, width: 62, height: 320 }],
  ...more,
});

const upright = (at: number, start = 0, end = 2600): SeamLine => ({
  direction: 'vertical',
  at,
  span: { start, end },
});
const level = (at: number, start = 0, end = 6000): SeamLine => ({
  direction: 'horizontal',
  at,
  span: { start, end },
});

describe('a seam through lettering', () => {
  it('PL8 large letters are noted, small ones warn', () => {
    expect(letteringCrossings([line()], upright(1500))).toMatchObject([{ reason: 'large', warns: false }]);
    const small = line({ capHeightMm: 149 });
    expect(letteringCrossings([small], upright(1500))).toMatchObject([{ reason: 'small', warns: true }]);
    expect(letteringCrossings([small], level(900))).toMatchObject([{ reason: 'small', warns: true }]);
  });

  it('PL8 between two words, beside the line and past the end of the seam nothing is cut', () => {
    for (const seam of [
      upright(1985),
      upright(999),
      upright(1500, 0, 700),
      level(1110),
      level(900, 1900, 2070),
    ]) {
      expect(letteringCrossings([line()], seam)).toEqual([]);
    }
  });

  it('PL8 along an upright stroke a seam warns, across it it does not', () => {
    expect(letteringCrossings([line()], upright(1200))).toMatchObject([{ reason: 'upright-stroke' }]);
    expect(letteringCrossings([line()], level(900))).toMatchObject([{ reason: 'large' }]);
  });

  it('PL9 what may be something else is noted, however small', () => {
    const { text: _, ...shapes } = line({ capHeightMm: 60, isSure: false });
    expect(letteringCrossings([shapes], upright(1500))).toMatchObject([{ reason: 'unsure', warns: false }]);
  });

  it('SP1 the higher the letters, the less a cut costs; one that warns costs all of it', () => {
    const share = (capHeightMm: number, at = 1500) =>
      letteringCrossings([line({ capHeightMm })], upright(at))[0]!.costShare;
    expect([share(90), share(150), share(300), share(1200)]).toEqual([1, 1, 0.5, 0.125]);
    expect(share(1200, 1200)).toBe(1);
  });

  it.each([
    ['555 010 4477', 'phone-number'],
    ['Call (503) 555-0188 today', 'phone-number'],
    ['1-800-READING', 'phone-number'],
    ['+49 30 901820', 'phone-number'],
    ['www.aldervalley.example', 'web-address'],
    ['aldervalleybooks.org/rides', 'web-address'],
    ['books@aldervalley.org', 'web-address'],
    ['USDOT 1234567', 'legal-marking'],
    ['US DOT# 88231', 'legal-marking'],
    ['MC-448211', 'legal-marking'],
    ['GVW 26,000 LB', 'legal-marking'],
    ['Operated by Alder Valley Freight', 'legal-marking'],
  ] as const)('PL8 “%s” is a %s at any height', (text, meaning) => {
    expect(letteringMeaning({ text })).toBe(meaning);
    expect(letteringCrossings([line({ text, capHeightMm: 700 })], upright(1500))).toMatchObject([
      { reason: meaning, warns: true, costShare: 1 },
    ]);
  });

  it.each([
    'ALDER VALLEY',
    'Since 1987',
    'Open 9 to 5, e.g. Monday',
    'Route 66 and 101',
    '2024 – 2026',
    'On 11/28/2026',
    '28.11.2026',
    'No.1 in town',
    'Mon.–Fri. 8.30',
    'Reading.Together',
  ])('PL8 “%s” says nothing of the kind', (text) => {
    expect(letteringMeaning({ text })).toBeUndefined();
  });
});

describe('a place without a word', () => {
  const range = { start: 400, end: 3600 };

  it('is the nearest: in a wide space off the letters, in a narrow one in its middle', () => {
    expect(placesBetweenWords([line()], upright(1890), range)).toEqual([1925, 975, 3195]);
    const close = line({ words: [line().words[0]!, { x: 1920, y: 700, width: 1250, height: 410 }] });
    expect(placesBetweenWords([close], upright(1890), range)[0]).toBe(1910);
  });

  it('looks at the words that the seam passes, and at no others', () => {
    const above = line({ id: 'text-1-9', words: [{ x: 1880, y: 100, width: 300, height: 90 }] });
    expect(placesBetweenWords([line(), above], upright(1890), range)).toEqual([975, 3195]);
    expect(placesBetweenWords([line(), above], upright(1890, 400, 2600), range)[0]).toBe(1925);
  });

  it('is none where words fill all that the seam may take', () => {
    expect(placesBetweenWords([line()], upright(1500), { start: 1100, end: 1800 })).toEqual([]);
  });
});
