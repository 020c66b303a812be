/**
 * How long prints dry before they are laminated, and when a job is ready.
 *
 * ```ts
 * dryingHours('solvent', 240, DEFAULT_DRYING_RULES); // → 48
 * dryingHours('uv-cured', 240, DEFAULT_DRYING_RULES); // → 2
 * ```
 */
import { z } from 'zod';
import { Finding } from '../findings/finding.ts';
import { itemAt } from '../measure/present.ts';
import { listSchema } from '../measure/schemas.ts';
import type { DateOrder } from '../shop/date-order.ts';
import { InkKind } from '../shop/ink-kind.ts';
import { LocalDateTime } from '../shop/local-date-time.ts';
import { localFromMinutes, localTimeText, MINUTES_PER_HOUR, minutesFromLocal } from '../shop/local-time.ts';
import { nextWorkingMinute, type WorkingHours, workEnd } from '../shop/working-hours.ts';

/** Hours of drying before lamination, from a coverage on. */
const DryingStep = z.strictObject({
  /** Total area coverage above which this step holds, in percent; 0 for the first step. */
  aboveCoveragePercent: z.number().min(0).max(1000),
  hours: z.number().min(0).max(1000),
});

/** Steps by rising coverage, for each kind of ink. */
export const DryingRules = z.record(InkKind, z.array(DryingStep).min(1));
export type DryingRules = z.infer<typeof DryingRules>;

const GASSING_INK = [
  { aboveCoveragePercent: 0, hours: 24 },
  { aboveCoveragePercent: 200, hours: 48 },
  { aboveCoveragePercent: 300, hours: 72 },
];
/** Ready at once or after one to two hours: the longer figure, because touch-dry is not dry. */
const CURED_INK = [{ aboveCoveragePercent: 0, hours: 2 }];

/** Common practice, no source; the data sheets of ink and film win. */
export const DEFAULT_DRYING_RULES: DryingRules = {
  solvent: GASSING_INK,
  'eco-solvent': GASSING_INK,
  'uv-cured': CURED_INK,
  'water-based-resin': CURED_INK,
};

/**
 * Hours of drying for the heaviest coverage on the job (the worst window of any panel), in percent. Where it has
 * not been measured, the longest drying holds.
 * Keeps PR8.
 */
export function dryingHours(ink: InkKind, coveragePercent: number | undefined, rules: DryingRules): number {
  const coverage = coveragePercent ?? Number.POSITIVE_INFINITY;
  return rules[ink]
    .filter((step) => step.aboveCoveragePercent === 0 || coverage > step.aboveCoveragePercent)
    .reduce((hours, step) => Math.max(hours, step.hours), 0);
}

/** How long the work takes, in working minutes, and what has to rest, in hours by the clock. */
export interface ProductionTimes {
  readonly laminationMinutes: number;
  /** Rest between lamination and trimming, as the laminate's data sheet asks. */
  readonly restHours: number;
  readonly trimMinutes: number;
  readonly packMinutes: number;
  readonly transportHours: number;
}

export interface DryingOrder extends ProductionTimes {
  readonly ink: InkKind;
  /** Worst windowed coverage of any panel; undefined where it has not been measured. */
  readonly coveragePercent: number | undefined;
  /** When the last panel comes off the printer: local date and time. */
  readonly printEnd: string;
  readonly isLaminated: boolean;
  /** Lamination waits for it; undefined: it begins as soon as the film is dry. */
  readonly laminateStart?: string | undefined;
  /** When the customer was told that installation begins; undefined where nothing was promised. */
  readonly promised: string | undefined;
  /** How findings write dates. */
  readonly dateOrder?: DateOrder | undefined;
}

/** The earliest moments, as local dates and times. `dry` may fall in the night; the others are working time. */
export const DryingClock = z.strictObject({
  dryingHours: z.number(),
  dry: LocalDateTime,
  laminate: LocalDateTime.optional(),
  trim: LocalDateTime,
  pack: LocalDateTime,
  install: LocalDateTime,
  findings: listSchema(Finding),
});
export type DryingClock = z.infer<typeof DryingClock>;

/** A clock with when its lamination is over; absent where nothing is laminated. */
export type ClockInTurn = DryingClock & { readonly laminated?: string };

/**
 * From the end of printing to the first hour of installation, of prints that share one laminator and the same hands: what is
 * ready first is worked on first, and the next waits until it is done. Drying and rest go on day and night, work only in
 * working hours. A promise before that hour is a finding. Throws a RangeError for text that is no local time.
 * Keeps PR17.
 */
export function clocksInTurn(
  orders: readonly DryingOrder[],
  hours: WorkingHours,
  rules = DEFAULT_DRYING_RULES,
): ClockInTurn[] {
  const dried = orders.map((order) => {
    const wait = dryingHours(order.ink, order.coveragePercent, rules);
    const dry = minutesFromLocal(order.printEnd) + wait * MINUTES_PER_HOUR;
    const { laminateStart } = order;
    const ready = laminateStart === undefined ? dry : Math.max(dry, minutesFromLocal(laminateStart));
    return { order, wait, dry, ready };
  });
  const laminated = inTurn(
    dried.map(({ order, ready, dry }) => ({
      ready: order.isLaminated ? ready : dry,
      minutes: order.isLaminated ? order.laminationMinutes : undefined,
    })),
    (at, minutes) => workEnd(at, minutes, hours),
    hours,
  );
  const packed = inTurn(
    dried.map(({ order, dry }, index) => ({
      ready: order.isLaminated ? itemAt(laminated, index).end + order.restHours * MINUTES_PER_HOUR : dry,
      minutes: order.trimMinutes,
    })),
    (at, minutes, index) => {
      const pack = nextWorkingMinute(workEnd(at, minutes, hours), hours);
      return workEnd(pack, itemAt(orders, index).packMinutes, hours);
    },
    hours,
  );
  return dried.map(({ order, wait, dry }, index): ClockInTurn => {
    const { begin: trim, end } = itemAt(packed, index);
    const pack = nextWorkingMinute(workEnd(trim, order.trimMinutes, hours), hours);
    const install = nextWorkingMinute(end + order.transportHours * MINUTES_PER_HOUR, hours);
    const { begin: laminate, end: lastLaminated } = itemAt(laminated, index);
    return {
      dryingHours: wait,
      dry: localFromMinutes(dry),
      laminate: order.isLaminated ? localFromMinutes(laminate) : undefined,
      ...(order.isLaminated && { laminated: localFromMinutes(lastLaminated) }),
      trim: localFromMinutes(trim),
      pack: localFromMinutes(pack),
      install: localFromMinutes(install),
      findings:
        order.promised === undefined ? [] : promiseFindings(order.promised, order.dateOrder, install, wait),
    };
  });
}

interface Waiting {
  readonly ready: number;
  /** Undefined: it passes by and keeps nobody waiting. */
  readonly minutes: number | undefined;
}

/** One after the other, what is ready first goes first; as given where two are ready in the same minute. */
function inTurn(
  waiting: readonly Waiting[],
  endOf: (at: number, minutes: number, index: number) => number,
  hours: WorkingHours,
): { readonly begin: number; readonly end: number }[] {
  const done = waiting.map(({ ready }) => ({ begin: ready, end: ready }));
  let free = Number.NEGATIVE_INFINITY;
  for (const [index, { ready, minutes }] of [...waiting.entries()].toSorted(
    (a, b) => a[1].ready - b[1].ready,
  )) {
    if (minutes === undefined) continue;
    const begin = nextWorkingMinute(Math.max(ready, free), hours);
    free = endOf(begin, minutes, index);
    done[index] = { begin, end: free };
  }
  return done;
}

/** Keeps PR10. */
export function promiseFindings(
  promised: string,
  order: DateOrder | undefined,
  install: number,
  wait: number,
): Finding[] {
  const at = minutesFromLocal(promised);
  if (at >= Math.ceil(install)) return [];
  return [
    {
      code: 'dry-promised-too-early',
      severity: 'warn',
      where: {},
      message: `Installation is promised for ${localTimeText(at, order)}, but with ${wait} h of drying it can begin on ${localTimeText(install, order)} at the earliest.`,
      remedy: 'Agree on another date, print earlier, or use an ink or a coverage that dries sooner.',
      // Who accepted a day too early did not accept a week.
      figure: Math.ceil(install) - at,
    },
  ];
}
