/**
 * All open jobs on one time line, lane by lane: each printer, each laminator, each bay. Nothing is moved by itself; what
 * cannot go as it stands is told.
 *
 *     Printer    ├─ BM-1 ─┤   ├── BM-2 ──┤
 *     Laminator            ├ BM-1 ┤  ├ BM-2 ┤
 *     Bay                               ├──── BM-1 ────┤
 */
import { z } from 'zod';
import { firstOf } from '../measure/present.ts';
import { listSchema } from '../measure/schemas.ts';
import type { DateOrder } from '../shop/date-order.ts';
import { LocalDateTime } from '../shop/local-date-time.ts';
import { localFromMinutes, localTimeText, minutesFromLocal } from '../shop/local-time.ts';
import { nextWorkingMinute, type WorkingHours } from '../shop/working-hours.ts';
import type { Stretch, WeekJob } from './week-job.ts';

export const WEEK_STEPS = ['print', 'laminate', 'install'] as const;
export const WeekStep = z.enum(WEEK_STEPS);
export type WeekStep = z.infer<typeof WeekStep>;

/** When a step of a job is to begin; null: as early as it can, or for printing: not yet. */
export const WeekMove = z.strictObject({
  jobId: z.string().min(1).max(200),
  step: WeekStep,
  /** Of a step of a film; absent: the first film. */
  filmId: z.string().max(200).optional(),
  start: LocalDateTime.nullable(),
  /** Of the installation; null: the first that is free. Absent: as it is. */
  bay: z.number().int().min(1).max(50).nullable().optional(),
});
export type WeekMove = z.infer<typeof WeekMove>;

const WeekBar = z.strictObject({
  jobId: z.string(),
  number: z.string(),
  name: z.string(),
  step: WeekStep,
  filmId: z.string().optional(),
  letter: z.string().optional(),
  /** Of the lamination of a job that is installed on several days. */
  day: z.number().int().optional(),
  from: LocalDateTime,
  to: LocalDateTime,
  /** When it is meant to begin; it may begin later, because nothing is ready before. */
  planned: LocalDateTime.optional(),
  /** In a bay that was selected by hand. */
  isBayFixed: z.boolean().optional(),
  isDone: z.boolean(),
});
export type WeekBar = z.infer<typeof WeekBar>;

const WeekLane = z.strictObject({
  kind: z.enum(['printer', 'laminator', 'bay']),
  /** Of laminators and bays, from 1. */
  number: z.number().int().optional(),
  name: z.string(),
  bars: listSchema(WeekBar),
});
export type WeekLane = z.infer<typeof WeekLane>;

const WeekProblem = z.strictObject({
  code: z.enum(['overlap', 'promise', 'too-early', 'late']),
  jobId: z.string(),
  step: WeekStep,
  filmId: z.string().optional(),
  day: z.number().int().optional(),
  message: z.string(),
  remedy: z.string(),
  /** What would mend it. */
  start: LocalDateTime.optional(),
});
export type WeekProblem = z.infer<typeof WeekProblem>;

export const Week = z.strictObject({
  lanes: listSchema(WeekLane),
  /** Films that nobody has said a start for. */
  waiting: listSchema(
    z.strictObject({
      jobId: z.string(),
      number: z.string(),
      name: z.string(),
      filmId: z.string(),
      letter: z.string().optional(),
      printer: z.string(),
      printMinutes: z.number(),
      promised: LocalDateTime.optional(),
    }),
  ),
  problems: listSchema(WeekProblem),
});
export type Week = z.infer<typeof Week>;

export interface WeekShop {
  readonly laminators: number;
  readonly bays: number;
  readonly workingHours: WorkingHours;
  readonly dateOrder: DateOrder;
  /** Local time, to tell what is late. */
  readonly now: string;
}

/** Jobs in the order in which they are to be listed where nothing else decides. */
export function week(jobs: readonly WeekJob[], shop: WeekShop): Week {
  const all = jobs.flatMap(barsOf);
  const printers = [
    ...Map.groupBy(all.filter(isStep('print')), ({ printer = '' }) => printerKey(printer)).values(),
  ];
  const bays = Math.max(shop.bays, ...jobs.map(({ bay = 1 }) => bay));
  const lanes: WeekLane[] = [
    ...printers
      .map((bars) => ({
        kind: 'printer' as const,
        name: (firstOf(bars).printer ?? '').trim(),
        bars: bars.toSorted(byStart).map(shown),
      }))
      .toSorted((a, b) => a.name.localeCompare(b.name)),
    ...numbered('laminator', 'Laminator', shop.laminators, all.filter(isStep('laminate'))),
    ...numbered('bay', 'Bay', bays, all.filter(isStep('install'))),
  ];
  return {
    lanes,
    waiting: jobs.flatMap(({ films, jobId, number, name, promised }) =>
      films
        .filter(({ print }) => !print)
        .map(({ filmId, letter, printer, printMinutes }) => ({
          ...{ jobId, number, name, filmId, printer, printMinutes },
          ...(letter !== undefined && { letter }),
          ...(promised !== undefined && { promised }),
        })),
    ),
    problems: [
      ...jobs.flatMap((job) => promiseProblems(job, shop)),
      ...lanes.flatMap((lane) => overlaps(lane, shop)),
    ],
  };
}

interface PlacedBar extends WeekBar {
  readonly printer?: string | undefined;
  readonly bay?: number | undefined;
}

function barsOf({ jobId, number, name, films, isPrinted, install, installStart, bay }: WeekJob): PlacedBar[] {
  const of = (step: WeekStep, { from, to }: Stretch, rest: Partial<PlacedBar> = {}): PlacedBar => ({
    ...{ jobId, number, name, step, from, to, isDone: false },
    ...rest,
  });
  return [
    ...films.flatMap(({ filmId, letter, printer, print, laminations, printStart, laminateStart }) => {
      const film = { filmId, ...(letter !== undefined && { letter }) };
      const planned = (start: string | undefined) => (start === undefined ? {} : { planned: start });
      return [
        ...(print
          ? [of('print', print, { ...film, ...planned(printStart), printer, isDone: isPrinted })]
          : []),
        ...laminations.map(({ day, ...stretch }, index) =>
          of('laminate', stretch, {
            ...film,
            ...(index === 0 && planned(laminateStart)),
            ...(day !== undefined && { day }),
          }),
        ),
      ];
    }),
    ...(install
      ? [
          of('install', install, {
            ...(installStart !== undefined && { planned: installStart }),
            ...(bay !== undefined && { bay, isBayFixed: true }),
          }),
        ]
      : []),
  ];
}

const shown = ({ printer: _, bay: __, ...bar }: PlacedBar): WeekBar => bar;
const isStep =
  (step: WeekStep) =>
  (bar: WeekBar): boolean =>
    bar.step === step;
const printerKey = (name: string): string => name.trim().toLowerCase();
const byStart = (a: WeekBar, b: WeekBar): number => a.from.localeCompare(b.from);

/** Those with a selected bay go there; the others, one after the other, to the bay that is free first. Keeps WEEK4. */
function numbered(
  kind: 'laminator' | 'bay',
  name: string,
  count: number,
  bars: readonly PlacedBar[],
): WeekLane[] {
  const lanes = Array.from({ length: count }, (_, index) => bars.filter(({ bay }) => bay === index + 1));
  for (const bar of bars.filter(({ bay }) => bay === undefined).toSorted(byStart)) {
    const free = lanes.find((lane) => lane.every((other) => !isOverlap(bar, other)));
    const soonest = firstOf(lanes.toSorted((a, b) => lastEnd(a).localeCompare(lastEnd(b))));
    (free ?? soonest).push(bar);
  }
  return lanes.map((lane, index) => ({
    kind,
    number: index + 1,
    name: count === 1 ? name : `${name} ${index + 1}`,
    bars: lane.toSorted(byStart).map(shown),
  }));
}

const isOverlap = (a: Stretch, b: Stretch): boolean => a.from < b.to && b.from < a.to;
const lastEnd = (bars: readonly WeekBar[]): string =>
  bars
    .map(({ to }) => to)
    .toSorted()
    .at(-1) ?? '';

/** Of each bar that begins before another one in its lane has ended, the one that ends last. Keeps WEEK3. */
function overlaps({ name, bars }: WeekLane, { workingHours, dateOrder }: WeekShop): WeekProblem[] {
  const problems: WeekProblem[] = [];
  let before: WeekBar | undefined;
  for (const bar of bars.filter(({ isDone }) => !isDone)) {
    if (before && isOverlap(before, bar)) {
      const until = minutesFromLocal(before.to);
      const minutes = Math.min(until, minutesFromLocal(bar.to)) - minutesFromLocal(bar.from);
      const start = localFromMinutes(nextWorkingMinute(until, workingHours));
      problems.push({
        code: 'overlap',
        ...{ jobId: bar.jobId, step: bar.step, start },
        ...(bar.filmId !== undefined && { filmId: bar.filmId }),
        ...(bar.day !== undefined && { day: bar.day }),
        message: `${name}: ${barNamed(before)} and ${barNamed(bar)} overlap by ${spanText(minutes)}.`,
        remedy: `Begin ${barNamed(bar)} at ${timeText(start, dateOrder)} or later, or move one of them.`,
      });
    }
    if (!before || bar.to > before.to) before = bar;
  }
  return problems;
}

export const barNamed = ({ number, letter, day }: Pick<WeekBar, 'number' | 'letter' | 'day'>): string =>
  [number, letter !== undefined && `film ${letter}`, day !== undefined && `day ${day}`]
    .filter(Boolean)
    .join(' ');

const timeText = (local: string, order: DateOrder): string => localTimeText(minutesFromLocal(local), order);

/** `3 h 20 min` */
export function spanText(minutes: number): string {
  const whole = Math.ceil(minutes);
  const [hours, rest] = [Math.floor(whole / 60), whole % 60];
  return [hours > 0 && `${hours} h`, (rest > 0 || hours === 0) && `${rest} min`].filter(Boolean).join(' ');
}

function promiseProblems(job: WeekJob, { dateOrder, now }: WeekShop): WeekProblem[] {
  const { jobId, number, films, earliestInstall, promised, installStart, install, isPrinted } = job;
  const at = (local: string) => timeText(local, dateOrder);
  const problems: WeekProblem[] = [];
  for (const { filmId, letter, print, dry, laminations, laminateStart } of films) {
    const [laminate] = laminations;
    const named = barNamed({ number, letter });
    if (print && !isPrinted && print.to < now) {
      problems.push({
        code: 'late',
        ...{ jobId, step: 'print', filmId },
        message: `${named} was to come off the printer at ${at(print.to)}, and nobody has entered that it did.`,
        remedy: 'Enter the time off the printer in its history, or give it another start.',
      });
    }
    if (laminate && dry && laminateStart !== undefined && laminateStart < dry) {
      problems.push({
        code: 'too-early',
        ...{ jobId, step: 'laminate', filmId, start: laminate.from },
        message: `Lamination of ${named} is planned for ${at(laminateStart)}, and its film is dry at ${at(dry)}.`,
        remedy: `Begin at ${at(laminate.from)}, or print earlier.`,
      });
    }
  }
  if (earliestInstall === undefined || !install) return problems;
  if (promised !== undefined && promised < install.from) {
    const isPlannedLater =
      installStart !== undefined && installStart > promised && installStart >= earliestInstall;
    problems.push({
      code: 'promise',
      ...{ jobId, step: 'install' },
      message: `Installation of ${number} is promised for ${at(promised)}, and ${isPlannedLater ? 'is planned for' : 'can begin at'} ${at(install.from)}${isPlannedLater ? '' : ' at the earliest'}.`,
      remedy: isPlannedLater
        ? 'Begin it as promised, or agree on another date.'
        : 'Print earlier, or agree on another date.',
    });
  }
  if (installStart !== undefined && installStart < earliestInstall) {
    problems.push({
      code: 'too-early',
      ...{ jobId, step: 'install', start: earliestInstall },
      message: `Installation of ${number} is planned for ${at(installStart)}, and its panels are ready at ${at(earliestInstall)}.`,
      remedy: `Begin at ${at(earliestInstall)}, or print earlier.`,
    });
  }
  return problems;
}
