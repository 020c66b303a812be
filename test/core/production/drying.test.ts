import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  clocksInTurn,
  DEFAULT_DRYING_RULES,
  type DryingOrder,
  DryingRules,
  dryingHours,
} from '../../../core/production/drying.ts';
import { INK_KINDS } from '../../../core/shop/ink-kind.ts';
import { localFromMinutes, minutesFromLocal } from '../../../core/shop/local-time.ts';
import {
  DEFAULT_WORKING_HOURS,
  nextWorkingMinute,
  WorkingHours,
  workEnd,
} from '../../../core/shop/working-hours.ts';

/** Of one print. */
function dryingClock(...[order, ...how]: [DryingOrder, WorkingHours, DryingRules?]) {
  const { laminated: _, ...clock } = clocksInTurn([order], ...how)[0]!;
  return clock;
}

const HOURS: WorkingHours = { ...DEFAULT_WORKING_HOURS, closed: ['2026-11-30'] };

/** Ends on Thursday afternoon; the Monday after is closed. */
const ORDER: DryingOrder = {
  ink: 'eco-solvent',
  coveragePercent: 180,
  printEnd: '2026-11-26T15:10',
  isLaminated: true,
  laminationMinutes: 50,
  restHours: 1,
  trimMinutes: 130,
  packMinutes: 25,
  transportHours: 2,
  promised: undefined,
};

describe('drying', () => {
  // Common practice, no source: 24 h at least, 48 h above about 200 to 250 %, up to 72 h for heavy coverage.
  it('PR8 solvent inks dry 24 h, longer for heavy coverage; cured inks 2 h', () => {
    expect(
      [0, 200, 201, 300, 301].map((coverage) => dryingHours('solvent', coverage, DEFAULT_DRYING_RULES)),
    ).toEqual([24, 24, 48, 48, 72]);
    expect(dryingHours('uv-cured', 390, DEFAULT_DRYING_RULES)).toBe(2);
    expect(dryingHours('water-based-resin', 105, DEFAULT_DRYING_RULES)).toBe(2);
  });

  it('PR8 coverage that was not measured counts as the heaviest', () => {
    expect(dryingHours('eco-solvent', undefined, DEFAULT_DRYING_RULES)).toBe(72);
  });

  it('PR8 more coverage never dries sooner, and the defaults are valid shop data', () => {
    expect(DryingRules.parse(DEFAULT_DRYING_RULES)).toEqual(DEFAULT_DRYING_RULES);
    const coverage = fc.double({ min: 0, max: 500, noNaN: true });
    fc.assert(
      fc.property(fc.constantFrom(...INK_KINDS), coverage, coverage, (ink, a, b) => {
        const [less, more] = [Math.min(a, b), Math.max(a, b)];
        expect(dryingHours(ink, less, DEFAULT_DRYING_RULES)).toBeLessThanOrEqual(
          dryingHours(ink, more, DEFAULT_DRYING_RULES),
        );
      }),
    );
  });
});

describe('the drying clock', () => {
  it('runs from the end of printing to the first hour of installation', () => {
    // By hand. Dry Fri 15:10. Laminate Fri 15:10–16:00, rest to 17:00; the shop closed at 16:30, Monday is closed.
    // Trim Tue 07:30–09:40, pack 09:40–10:05, two hours on the road: 12:05 is in the break, so 12:45.
    expect(dryingClock(ORDER, HOURS)).toEqual({
      dryingHours: 24,
      dry: '2026-11-27T15:10',
      laminate: '2026-11-27T15:10',
      trim: '2026-12-01T07:30',
      pack: '2026-12-01T09:40',
      install: '2026-12-01T12:45',
      findings: [],
    });
  });

  it('a print without laminate is trimmed when it is dry', () => {
    const clock = dryingClock({ ...ORDER, isLaminated: false, printEnd: '2026-11-24T03:20' }, HOURS);
    expect(clock).toMatchObject({ dry: '2026-11-25T03:20', laminate: undefined, trim: '2026-11-25T07:30' });
  });

  it('PR10 a promise before the earliest installation warns with how much too early it is, one at that minute does not', () => {
    expect(dryingClock({ ...ORDER, promised: '2026-12-01T12:45' }, HOURS).findings).toEqual([]);
    expect(
      dryingClock({ ...ORDER, promised: '2026-12-01T08:00', dateOrder: 'month-first' }, HOURS).findings,
    ).toMatchObject([
      {
        code: 'dry-promised-too-early',
        severity: 'warn',
        // Minutes from 8:00 to 12:45.
        figure: 285,
        message:
          'Installation is promised for Tue Dec 1, 8:00 AM, but with 24 h of drying it can begin on Tue Dec 1, 12:45 PM at the earliest.',
      },
    ]);
  });
});

describe('working hours', () => {
  it('work rests outside the shifts and takes exactly its minutes within them', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 40_000 }),
        fc.integer({ min: 0, max: 3000 }),
        (offset, minutes) => {
          const start = nextWorkingMinute(minutesFromLocal('2026-11-23T00:00') + offset, HOURS);
          const end = workEnd(start, minutes, HOURS);
          let worked = 0;
          for (let minute = start; minute < end; minute++)
            if (nextWorkingMinute(minute, HOURS) === minute) worked++;
          expect(worked).toBe(minutes);
        },
      ),
      { numRuns: 40 },
    );
  });

  it('work that fills a shift ends with it', () => {
    const start = minutesFromLocal('2026-11-25T07:30');
    expect(localFromMinutes(workEnd(start, 270, HOURS))).toBe('2026-11-25T12:00');
    expect(localFromMinutes(workEnd(start, 271, HOURS))).toBe('2026-11-25T12:46');
  });

  it('a calendar that makes no sense is refused', () => {
    const nobody = { week: Array.from({ length: 7 }, () => []), closed: [] };
    expect(WorkingHours.safeParse(HOURS).success).toBe(true);
    expect(WorkingHours.safeParse(nobody).error?.issues[0]?.message).toBe('enter at least one shift');
    const backwards = { ...HOURS, week: HOURS.week.with(2, [{ from: '16:00', to: '08:00' }]) };
    expect(WorkingHours.safeParse(backwards).success).toBe(false);
    const double = {
      ...HOURS,
      week: HOURS.week.with(2, [...HOURS.week[2]!, { from: '16:00', to: '18:00' }]),
    };
    expect(WorkingHours.safeParse(double).success).toBe(false);
    expect(() => nextWorkingMinute(0, nobody)).toThrow('No working hours');
  });
});

/**
 * Off the printer Mon 5:30, 5:40 and 6:00, dry two hours later. A laminated 7:30 to 8:20, rested 9:20, trimmed to 10:20,
 * packed to 10:30, there at 11:30. B, laminated after it, 8:20 to 8:50, is rested at 9:50 and waits for the hands until
 * 10:30: trimmed to 10:50, packed to 11:05, there at 12:05, and installed from 12:45 on. C is not laminated and is first.
 */
it('PR17 prints that are ready together share the laminator and the hands', () => {
  const order = {
    ...{ ink: 'uv-cured' as const, coveragePercent: 90, isLaminated: true, restHours: 1, transportHours: 1 },
    promised: undefined,
  };
  const a = {
    ...order,
    printEnd: '2026-11-23T05:30',
    laminationMinutes: 50,
    trimMinutes: 60,
    packMinutes: 10,
  };
  const b = {
    ...order,
    printEnd: '2026-11-23T05:40',
    laminationMinutes: 30,
    trimMinutes: 20,
    packMinutes: 15,
  };
  const c = {
    ...{ ...order, isLaminated: false, printEnd: '2026-11-23T06:00' },
    ...{ laminationMinutes: 0, trimMinutes: 10, packMinutes: 5 },
  };
  const clocks = clocksInTurn([b, c, a], DEFAULT_WORKING_HOURS);
  expect(
    clocks.map(({ laminate, laminated, trim, pack, install }) => [laminate, laminated, trim, pack, install]),
  ).toEqual([
    ['2026-11-23T08:20', '2026-11-23T08:50', '2026-11-23T10:30', '2026-11-23T10:50', '2026-11-23T12:45'],
    [undefined, undefined, '2026-11-23T08:00', '2026-11-23T08:10', '2026-11-23T09:15'],
    ['2026-11-23T07:30', '2026-11-23T08:20', '2026-11-23T09:20', '2026-11-23T10:20', '2026-11-23T11:30'],
  ]);
});
