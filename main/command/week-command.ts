/** The week of the shop in the terminal, and a start that is moved. */
import type { WeekReply } from '../../core/contract/verbs-week.ts';
import { jobFilms } from '../../core/job/job-films.ts';
import { shopDefaults } from '../../core/job/shop-defaults.ts';
import { present } from '../../core/measure/present.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { barNamed, spanText, WEEK_STEPS, type WeekMove } from '../../core/production/week.ts';
import { LocalDateTime } from '../../core/shop/local-date-time.ts';
import { localTimeText, minutesFromLocal } from '../../core/shop/local-time.ts';
import { moveInWeek, readWeek } from '../services/read-week.ts';
import { storedJob } from '../services/stored-job.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { printable, tableLines } from './terminal.ts';

interface WeekOptions {
  readonly move?: string;
  readonly step: string;
  readonly film?: string;
  readonly to?: string;
  readonly bay?: string;
}

export const weekCommand =
  (options: WeekOptions) =>
  async ({ terminal, tools, locale, now, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (parts) => {
      const { archive } = parts;
      if (options.move !== undefined) {
        const found = await archive.jobs.find(options.move);
        if (!found.ok) return found;
        const stored = await storedJob(archive, found.value.id);
        if (!stored.ok) return stored;
        const films = jobFilms(stored.value.job);
        const move = moveFrom(found.value.id, options, films);
        if (!move.ok) return move;
        const moved = await moveInWeek(parts, move.value);
        if (!moved.ok) return moved;
      }
      const { dateOrder } = (await archive.shelf.items()).profile ?? shopDefaults(locale);
      const read = await readWeek(parts, { now: wallClock(now()), dateOrder }, tools);
      if (!read.ok) return read;
      terminal.printResult(
        read.value,
        weekLines(read.value, (at) => localTimeText(minutesFromLocal(at), dateOrder)),
      );
      return resultOk('done');
    });

/** Local time of the shop, where the machine is in the shop. */
function wallClock(now: string): string {
  const at = new Date(now);
  return new Date(at.getTime() - at.getTimezoneOffset() * 60_000).toISOString().slice(0, 16);
}

function moveFrom(
  jobId: string,
  { step, film, to, bay }: WeekOptions,
  films: ReturnType<typeof jobFilms>,
): Result<WeekMove> {
  const known = WEEK_STEPS.find((each) => each === step);
  if (!known) return resultProblem(notOneOf('step', step, WEEK_STEPS));
  const ofFilm = film === undefined ? films[0] : films.find(({ letter }) => letter === film.toUpperCase());
  if (!ofFilm)
    return resultProblem(
      notOneOf(
        'film',
        present(film, 'The film that is named'),
        films.map(({ letter }) => letter),
      ),
    );
  const start = to?.replace(' ', 'T');
  if (start !== undefined && !LocalDateTime.safeParse(start).success) {
    return resultProblem({
      code: 'start',
      message: `“${printable(present(to, 'The time that is named'))}” is no date and time.`,
      remedy: 'Write it as 2026-11-24T07:30.',
    });
  }
  const number = bay === undefined ? undefined : Number(bay);
  if (number !== undefined && !(Number.isInteger(number) && number >= 1 && number <= 50)) {
    return resultProblem({
      code: 'bay',
      message: `“${printable(present(bay, 'The bay that is named'))}” is no number of a bay.`,
      remedy: 'Count bays from 1 to 50.',
    });
  }
  return resultOk({
    ...{ jobId, step: known, filmId: ofFilm.id, start: start ?? null },
    ...(number !== undefined && { bay: number }),
  });
}

const notOneOf = (what: string, text: string, known: readonly string[]): Problem => ({
  code: `${what}-unknown`,
  message: `“${printable(text)}” is no ${what}.`,
  remedy: `Select from: ${known.join(', ')}.`,
});

function weekLines(
  { week: { lanes, waiting, problems }, leftOut }: WeekReply,
  at: (local: string) => string,
): string[] {
  return [
    ...problems.map(({ message, remedy }) => `Warning: ${message} ${remedy}`),
    ...lanes.flatMap(({ name, bars }) => [
      printable(name),
      ...tableLines(
        bars.length === 0
          ? [['', 'nothing planned']]
          : bars.map((bar) => [
              `  ${printable(barNamed(bar))}`,
              `${at(bar.from)} to ${at(bar.to)}`,
              bar.isDone ? 'off the printer' : '',
            ]),
      ),
    ]),
    ...waiting.map(
      (film) =>
        `${printable(barNamed(film))} has no start of printing yet; it prints ${spanText(film.printMinutes)} on ${printable(film.printer)}.`,
    ),
    ...leftOut.map(({ number, why }) => `${printable(number)} is not on it: ${why}`),
  ];
}
