/** What a job takes of printers, laminator and bay, and when: the part of its clocks that the week of the shop shows. */
import { z } from 'zod';
import { hasSeveralFilms, jobFilm } from '../job/job-films.ts';
import type { Job } from '../job/schema.ts';
import { listSchema } from '../measure/schemas.ts';
import { offPrinterTime } from '../output/off-printer-time.ts';
import type { ProductionRecord } from '../output/production-record.ts';
import { filmRecord, printedTimes } from '../output/record-parts.ts';
import { LocalDateTime } from '../shop/local-date-time.ts';
import { localFromMinutes, minutesFromLocal } from '../shop/local-time.ts';
import { DEFAULT_INSTALLERS } from '../shop/shop-figures.ts';
import { nextWorkingMinute, workEnd } from '../shop/working-hours.ts';
import type { FilmProduction } from './film-production.ts';
import { filmProductions, type JobProduction, productionAsPrinted } from './job-production.ts';

const Stretch = z.strictObject({ from: LocalDateTime, to: LocalDateTime });
export type Stretch = z.infer<typeof Stretch>;

const WeekFilm = z.strictObject({
  filmId: z.string(),
  /** Of a job with several films. */
  letter: z.string().optional(),
  printer: z.string(),
  printMinutes: z.number(),
  /** Absent until it is known when printing begins. */
  print: Stretch.optional(),
  /** When printing is meant to begin; absent, too, where it follows another film. */
  printStart: LocalDateTime.optional(),
  dry: LocalDateTime.optional(),
  /** Of a job that is installed on several days: one for each, in turn. */
  laminations: listSchema(Stretch.extend({ day: z.number().int().optional() })),
  /** When lamination is meant to begin. */
  laminateStart: LocalDateTime.optional(),
});
type WeekFilm = z.infer<typeof WeekFilm>;

export const WeekJob = z.strictObject({
  jobId: z.string(),
  number: z.string(),
  name: z.string(),
  customer: z.string(),
  films: listSchema(WeekFilm),
  /** Whether all of it came off the printer. */
  isPrinted: z.boolean(),
  installMinutes: z.number(),
  /** From the first hour in which it can begin. */
  install: Stretch.optional(),
  earliestInstall: LocalDateTime.optional(),
  promised: LocalDateTime.optional(),
  installStart: LocalDateTime.optional(),
  bay: z.number().int().optional(),
});
export type WeekJob = z.infer<typeof WeekJob>;

/** `record`: what was entered of its printing, with the time off the printer of all, of films or of vehicles. */
export function weekJob(job: Job, production: JobProduction, record?: ProductionRecord): WeekJob {
  const made = filmProductions(
    record
      ? productionAsPrinted(job, production, (filmId) => printedTimes(filmRecord(record, filmId)))
      : production,
  );
  const films = made.map((film) => weekFilm(job, film));
  const { settings } = production;
  const { promised, installStart, bay, workingHours, figures } = settings;
  const minutes = (production.together ?? production.estimates).installTime?.value ?? 0;
  const installMinutes = minutes / (figures.installers ?? DEFAULT_INSTALLERS);
  const clocks = made.flatMap(({ clock }) => (clock ? [minutesFromLocal(clock.install)] : []));
  const earliest = clocks.length === made.length && made.length > 0 ? Math.max(...clocks) : undefined;
  const wanted = installStart ?? promised;
  const from =
    earliest !== undefined &&
    nextWorkingMinute(Math.max(earliest, wanted ? minutesFromLocal(wanted) : earliest), workingHours);
  return {
    jobId: job.id,
    number: job.number,
    name: job.name,
    customer: job.customer,
    films,
    isPrinted: record !== undefined && offPrinterTime(record) !== undefined,
    installMinutes,
    ...(earliest !== undefined && { earliestInstall: localFromMinutes(earliest) }),
    ...(from !== false && { install: stretch(from, workEnd(from, installMinutes, workingHours)) }),
    ...(promised !== undefined && { promised }),
    ...(installStart !== undefined && { installStart }),
    ...(bay !== undefined && { bay }),
  };
}

const stretch = (from: number, to: number): Stretch => ({
  from: localFromMinutes(from),
  to: localFromMinutes(to),
});

function weekFilm(job: Job, made: FilmProduction): WeekFilm {
  const { filmId, settings, estimates, clock } = made;
  const { letter, printer } = jobFilm(job, filmId);
  const printMinutes = estimates.printTime.value;
  return {
    filmId,
    ...(hasSeveralFilms(job) && { letter }),
    printer: printer.name,
    printMinutes,
    ...(clock && {
      print: {
        from: printBegin(settings, clock.printEnd, printMinutes),
        to: clock.printEnd,
      },
      dry: clock.dry,
    }),
    laminations: laminationsOf(made),
    ...ownStarts(job, filmId),
  };
}

function laminationsOf({ clock }: FilmProduction): WeekFilm['laminations'] {
  const stages = clock?.days ?? clock?.sets ?? (clock ? [clock] : []);
  return stages.flatMap((stage) => {
    const { laminate: from, laminated: to } = stage;
    if (from === undefined || to === undefined) return [];
    return [{ ...('day' in stage && { day: stage.day }), from, to }];
  });
}

/** As entered where that is before its end, else as long before it as printing takes. */
function printBegin(
  { printStart, workingHours }: FilmProduction['settings'],
  printEnd: string,
  minutes: number,
): string {
  if (printStart === undefined || printStart >= printEnd)
    return localFromMinutes(minutesFromLocal(printEnd) - minutes);
  return localFromMinutes(nextWorkingMinute(minutesFromLocal(printStart), workingHours));
}

/** What was entered, not what follows from the film before it. */
function ownStarts(job: Job, filmId: string): Pick<WeekFilm, 'printStart' | 'laminateStart'> {
  const other = job.otherFilms?.find(({ id }) => id === filmId);
  const { printStart, laminateStart } = (other ?? job).production ?? {};
  return {
    ...(printStart !== undefined && { printStart }),
    ...(laminateStart !== undefined && { laminateStart }),
  };
}
