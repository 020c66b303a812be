/** What a job really took, entered and read; reports of the shop, and figures taken from its own jobs. */
import { join } from 'node:path';
import { shopDefaults } from '../../core/job/shop-defaults.ts';
import { lengthFromText } from '../../core/measure/length-from-text.ts';
import { decimalText } from '../../core/measure/length-text.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import {
  ACTUAL_STEPS,
  type JobActuals,
  type KeptActuals,
  PAYERS,
  type PanelReprinted,
  REPRINT_REASON_NAMES,
  REPRINT_REASONS,
} from '../../core/output/job-actuals.ts';
import { figureInUse, OWN_FIGURE_NAMES, shopWithFigure } from '../../core/production/own-figures.ts';
import { priceText } from '../../core/production/quote.ts';
import type { Reports } from '../../core/production/reports.ts';
import { keepActuals, readReports, saveReports } from '../services/job-actuals.ts';
import { storedJob } from '../services/stored-job.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { printable, tableLines } from './terminal.ts';

interface ActualsOptions {
  readonly film?: string;
  readonly installHours?: string;
  /** `trimming=1.5` */
  readonly hours: readonly string[];
  /** `LH-03=color,customer` */
  readonly reprint: readonly string[];
  readonly on?: string;
  readonly note?: string;
}

/** Adds what is given to what was entered before, and says what is kept. */
export const actualsCommand =
  (idOrNumber: string, options: ActualsOptions) =>
  async ({ terminal, tools, now, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (parts) => {
      const found = await parts.archive.jobs.find(idOrNumber);
      if (!found.ok) return found;
      const { id, number } = found.value;
      const stored = await storedJob(parts.archive, id);
      if (!stored.ok) return stored;
      const before = await parts.archive.actuals.find(id);
      const given = actualsGiven(options, stored.value.job.displayUnit, options.on ?? now().slice(0, 10));
      if (!given.ok) return given;
      const isGiven = Object.keys(given.value).length > 0;
      const kept = isGiven
        ? await keepActuals(parts, id, actualsTogether(before?.actuals, given.value), tools)
        : before && resultOk(before);
      if (!kept) {
        terminal.printResult(null, [`Nothing was entered of job ${printable(number)} yet.`]);
        return resultOk('done');
      }
      if (!kept.ok) return kept;
      terminal.printResult(kept.value, actualsLines(kept.value));
      return resultOk('done');
    });

const actualsTogether = (
  { reprints = [], stepHours, ...before }: Partial<JobActuals> = {},
  given: Partial<JobActuals>,
): JobActuals => {
  const steps = { ...stepHours, ...given.stepHours };
  return {
    ...before,
    ...given,
    ...(Object.keys(steps).length > 0 && { stepHours: steps }),
    reprints: [...reprints, ...(given.reprints ?? [])],
  };
};

function actualsGiven(
  { film, installHours, hours, reprint, note }: ActualsOptions,
  unit: 'mm' | 'in',
  on: string,
): Result<Partial<JobActuals>> {
  const given: { -readonly [K in keyof JobActuals]?: JobActuals[K] } = {};
  if (film !== undefined) {
    const length = lengthFromText(film, unit === 'mm' ? 'm' : 'ft', { leastMm: 0, greatestMm: 100_000_000 });
    if (!length.ok) return length;
    given.filmM = length.value / 1000;
  }
  if (installHours !== undefined) {
    const read = hoursFrom(installHours);
    if (!read.ok) return read;
    given.installHours = read.value;
  }
  for (const text of hours) {
    const [name, value = ''] = text.split('=');
    const step = ACTUAL_STEPS.find((each) => each === name);
    if (!step) return resultProblem(notOneOf('step', name ?? '', ACTUAL_STEPS));
    const read = hoursFrom(value);
    if (!read.ok) return read;
    given.stepHours = { ...given.stepHours, [step]: read.value };
  }
  for (const text of reprint) {
    const read = reprintFrom(text, on);
    if (!read.ok) return read;
    given.reprints = [...(given.reprints ?? []), read.value];
  }
  if (note !== undefined) given.note = note;
  return resultOk(given);
}

function hoursFrom(text: string): Result<number> {
  const value = Number(text.trim().replace(',', '.'));
  if (text.trim() !== '' && value >= 0 && value <= 10_000) return resultOk(value);
  return resultProblem({
    code: 'hours',
    message: `“${printable(text)}” is no number of hours.`,
    remedy: 'Write hours such as 12.5, of all people together.',
  });
}

function reprintFrom(text: string, on: string): Result<PanelReprinted> {
  const [panel = '', why = ''] = text.split('=');
  const [reason, payer = 'shop'] = why.split(',').map((each) => each.trim());
  const known = REPRINT_REASONS.find((each) => each === reason);
  if (!known) return resultProblem(notOneOf('reason', reason ?? '', REPRINT_REASONS));
  const paidBy = PAYERS.find((each) => each === payer);
  if (!paidBy) return resultProblem(notOneOf('payer', payer, PAYERS));
  return resultOk({ panel: panel.trim(), reason: known, paidBy, on });
}

const notOneOf = (what: string, text: string, known: readonly string[]): Problem => ({
  code: `${what}-unknown`,
  message: `“${printable(text)}” is no ${what}.`,
  remedy: `Select from: ${known.join(', ')}.`,
});

function actualsLines({ actuals, estimated, reprints, currency }: KeptActuals): string[] {
  const figure = (value: number | undefined, unit: string) =>
    value === undefined ? '' : `${decimalText(value, 1)} ${unit}`;
  const { installing, ...shop } = estimated.minutes;
  return [
    ...tableLines([
      ['', 'estimate', 'actual'],
      ['film printed', figure(estimated.filmM, 'm'), figure(actuals.filmM, 'm')],
      [
        'installation',
        figure(installing === undefined ? undefined : installing / 60, 'h'),
        figure(actuals.installHours, 'h'),
      ],
      ...ACTUAL_STEPS.map((step) => [
        step,
        figure(shop[step] / 60, 'h'),
        figure(actuals.stepHours?.[step], 'h'),
      ]),
    ]),
    ...reprints.map(
      ({ panel, on, reason, paidBy, areaM2, cents }) =>
        `${panel} reprinted on ${on}: ${REPRINT_REASON_NAMES[reason]}, paid by the ${paidBy}; ${decimalText(areaM2, 2)} m², material about ${priceText(cents, currency)}.`,
    ),
    ...(actuals.note ? [printable(actuals.note)] : []),
  ];
}

interface ReportsOptions {
  readonly csv?: string;
  readonly take?: string;
}

export const reportsCommand =
  ({ csv, take }: ReportsOptions) =>
  async ({ terminal, locale, now, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async ({ archive }) => {
      const reports = await readReports(archive);
      const { profile = shopDefaults(locale) } = await archive.shelf.items();
      const lines = reportLines(reports, (key) => figureInUse(profile, key));
      if (take !== undefined) {
        const figure = reports.figures.find(({ key }) => key === take);
        if (!figure)
          return resultProblem(
            notOneOf(
              'figure',
              take,
              reports.figures.map(({ key }) => key),
            ),
          );
        const value = { ...profile, ...shopWithFigure(profile, figure) };
        const kept = await archive.shelf.keep({ kind: 'profile', value }, now());
        if (!kept.ok) return kept;
        lines.push(
          `${OWN_FIGURE_NAMES[figure.key]}: the shop counts with ${figure.proposed} from now on, before ${decimalText(figureInUse(profile, figure.key), 2)}.`,
        );
      }
      if (csv !== undefined) {
        const written = await saveReports(reports, csv);
        if (!written.ok) return written;
        lines.push(...written.value.map((name) => `Written: ${join(csv, name)}`));
      }
      terminal.printResult(reports, lines);
      return resultOk('done');
    });

function reportLines(
  { jobs, reprints, figures, removals }: Reports,
  inUse: (key: Reports['figures'][number]['key']) => number,
): string[] {
  const pair = ({ estimated, actual }: { estimated?: number | undefined; actual?: number | undefined }) =>
    `${actual === undefined ? '–' : decimalText(actual, 1)} of ${estimated === undefined ? '–' : decimalText(estimated, 1)}`;
  return [
    'Actual of estimate, by job; film in m, hours of all people together',
    ...tableLines([
      ['job', 'film', 'installation', 'in the shop', 'reprinted'],
      ...jobs.map((row) => [
        printable(row.number),
        pair(row.filmM),
        pair(row.installHours),
        row.shopHours ? pair(row.shopHours) : '–',
        String(row.reprints),
      ]),
    ]),
    'Reprints, material alone',
    ...tableLines([
      ['month', 'reason', 'panels', 'm²', 'material', 'of it paid by others'],
      ...reprints.map((row) => [
        row.month,
        REPRINT_REASON_NAMES[row.reason],
        String(row.panels),
        decimalText(row.areaM2, 2),
        priceText(row.cents, row.currency),
        priceText(row.paidByOthersCents, row.currency),
      ]),
    ]),
    'Figures from the last jobs of the shop: the median; the spread is 1.4826 × the median absolute deviation',
    ...tableLines([
      ['figure', 'name', 'now', 'proposed', 'spread', 'jobs', 'far off'],
      ...figures.map(({ key, proposed, spread, count, farOff }) => [
        key,
        OWN_FIGURE_NAMES[key],
        decimalText(inUse(key), 2),
        String(proposed),
        decimalText(spread, 2),
        String(count),
        farOff.map(printable).join(', '),
      ]),
    ]),
    'Wraps by the day on which the promised life ends',
    ...tableLines([
      ['job', 'vehicle', 'film', 'lot', 'installed', 'years', 'due'],
      ...removals.map((row) => [
        printable(row.number),
        printable(row.vehicle),
        printable(row.film),
        row.lots.map(printable).join(', '),
        row.installedOn,
        row.years === undefined ? 'not promised' : decimalText(row.years, 1),
        row.dueOn ?? '',
      ]),
    ]),
  ];
}
