/** Reports of the shop: estimate against what jobs took, reprints by month and reason, wraps that are due for removal. */
import { z } from 'zod';
import { firstOf } from '../measure/present.ts';
import { listSchema } from '../measure/schemas.ts';
import { csvText } from '../output/csv.ts';
import { type JobTook, REPRINT_REASON_NAMES, REPRINT_REASONS } from '../output/job-actuals.ts';
import { OwnFigure, ownFigures } from './own-figures.ts';

const JobRow = z.strictObject({
  jobId: z.string(),
  number: z.string(),
  customer: z.string(),
  enteredOn: z.string(),
  filmM: z.strictObject({ estimated: z.number(), actual: z.number().optional() }),
  installHours: z.strictObject({ estimated: z.number().optional(), actual: z.number().optional() }),
  /** Of the steps that were counted. */
  shopHours: z.strictObject({ estimated: z.number(), actual: z.number() }).optional(),
  reprints: z.number().int(),
});

const ReprintRow = z.strictObject({
  month: z.string(),
  reason: z.enum(REPRINT_REASONS),
  panels: z.number().int(),
  areaM2: z.number(),
  cents: z.number().int(),
  /** The part of `cents` that another party pays. */
  paidByOthersCents: z.number().int(),
  currency: z.string(),
});

/** A wrap that is on a vehicle. */
export const Removal = z.strictObject({
  jobId: z.string(),
  number: z.string(),
  customer: z.string(),
  vehicle: z.string(),
  film: z.string(),
  lots: listSchema(z.string()),
  installedOn: z.string(),
  /** Life promised to the customer; absent where nobody promised one. */
  years: z.number().optional(),
  dueOn: z.string().optional(),
});
export type Removal = z.infer<typeof Removal>;

export const Reports = z.strictObject({
  jobs: listSchema(JobRow),
  reprints: listSchema(ReprintRow),
  figures: listSchema(OwnFigure),
  removals: listSchema(Removal),
});
export type Reports = z.infer<typeof Reports>;

/** `took`: the latest first. */
export const shopReports = (
  took: readonly JobTook[],
  removals: readonly Omit<Removal, 'dueOn'>[],
): Reports => ({
  jobs: took.map(jobRow),
  reprints: reprintRows(took),
  figures: ownFigures(took),
  removals: removals
    .map((removal): Removal => {
      const { installedOn, years } = removal;
      return years === undefined ? removal : { ...removal, dueOn: dayAfterYears(installedOn, years) };
    })
    // What nobody promised a life for comes last.
    .toSorted((a, b) => (dueOf(a) < dueOf(b) ? -1 : dueOf(a) > dueOf(b) ? 1 : 0)),
});

const dueOf = ({ dueOn = '9999' }: { readonly dueOn?: string | undefined }): string => dueOn;

function jobRow({
  jobId,
  number,
  customer,
  enteredOn,
  actuals,
  estimated,
  reprints,
}: JobTook): z.infer<typeof JobRow> {
  const { filmM, installHours, stepHours } = actuals;
  const { installing, ...shop } = estimated.minutes;
  const counted = Object.entries(stepHours ?? {});
  const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0);
  return {
    jobId,
    number,
    customer,
    enteredOn,
    filmM: { estimated: estimated.filmM, ...(filmM !== undefined && { actual: filmM }) },
    installHours: {
      ...(installing !== undefined && { estimated: installing / 60 }),
      ...(installHours !== undefined && { actual: installHours }),
    },
    ...(counted.length > 0 && {
      shopHours: {
        estimated: sum(counted.map(([step]) => shop[step as keyof typeof shop])) / 60,
        actual: sum(counted.map(([, hours]) => hours ?? 0)),
      },
    }),
    reprints: reprints.length,
  };
}

/** The latest month first, in it by reason; money of two currencies is never summed. */
function reprintRows(took: readonly JobTook[]): z.infer<typeof ReprintRow>[] {
  const all = took.flatMap(({ reprints, currency }) => reprints.map((reprint) => ({ ...reprint, currency })));
  const groups = Map.groupBy(all, ({ on, reason, currency }) => `${on.slice(0, 7)}\n${reason}\n${currency}`);
  return [...groups.values()]
    .map((group) => {
      const { on, reason, currency } = firstOf(group);
      const sum = (of: (reprint: (typeof group)[number]) => number) =>
        group.reduce((total, reprint) => total + of(reprint), 0);
      return {
        month: on.slice(0, 7),
        reason,
        panels: group.length,
        areaM2: sum(({ areaM2 }) => areaM2),
        cents: sum(({ cents }) => cents),
        paidByOthersCents: sum(({ cents, paidBy }) => (paidBy === 'shop' ? 0 : cents)),
        currency,
      };
    })
    .toSorted((a, b) => b.month.localeCompare(a.month) || a.reason.localeCompare(b.reason));
}

/** Half a year is six months; a day that the month does not have becomes its last day. */
function dayAfterYears(day: string, years: number): string {
  const [year, month, date] = day.split('-').map(Number) as [number, number, number];
  const months = month - 1 + Math.round(years * 12);
  const last = new Date(Date.UTC(year, months + 1, 0));
  last.setUTCDate(Math.min(date, last.getUTCDate()));
  return last.toISOString().slice(0, 10);
}

/** For a spreadsheet, by file name: lengths in m, areas in m². */
export const reportTables = ({ jobs, reprints, removals }: Reports): Readonly<Record<string, string>> => ({
  'panelwright_jobs.csv': csvText([
    [
      'job',
      'customer',
      'entered',
      'film m est',
      'film m',
      'install h est',
      'install h',
      'shop h est',
      'shop h',
      'panels reprinted',
    ],
    ...jobs.map((row) => [
      row.number,
      row.customer,
      row.enteredOn,
      row.filmM.estimated,
      row.filmM.actual,
      row.installHours.estimated,
      row.installHours.actual,
      row.shopHours?.estimated,
      row.shopHours?.actual,
      row.reprints,
    ]),
  ]),
  'panelwright_reprints.csv': csvText([
    ['month', 'reason', 'panels', 'm2', 'material', 'paid by others', 'currency'],
    ...reprints.map((row) => [
      row.month,
      REPRINT_REASON_NAMES[row.reason],
      row.panels,
      row.areaM2,
      row.cents / 100,
      row.paidByOthersCents / 100,
      row.currency,
    ]),
  ]),
  'panelwright_removals.csv': csvText([
    ['job', 'customer', 'vehicle', 'film', 'lots', 'installed', 'years promised', 'due'],
    ...removals.map((row) => [
      row.number,
      row.customer,
      row.vehicle,
      row.film,
      row.lots.join('; '),
      row.installedOn,
      row.years,
      row.dueOn,
    ]),
  ]),
});
