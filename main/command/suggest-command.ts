import { jobProductionSettings } from '../../core/job/job-production-settings.ts';
import type { Job } from '../../core/job/schema.ts';
import { sideByCode, sideCodes, sideSaid } from '../../core/job/vehicles.ts';
import { outputSizeText } from '../../core/layout/output-size.ts';
import { feedErrorOver } from '../../core/layout/panel-fit.ts';
import { figureLabel, figureShown } from '../../core/measure/figure-units.ts';
import { lengthText } from '../../core/measure/length-text.ts';
import { filmLengthText } from '../../core/measure/long-length.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { cheaperFilmOf, cheaperFilmText, planTakenCheaper } from '../../core/seams/cheaper-film.ts';
import type { PlanAnswer, PlanOffer } from '../../core/seams/plan-answer.ts';
import { planTaken } from '../../core/seams/plan-taken.ts';
import { NOT_KNOWN_WITHOUT_ARTWORK, relaxationText } from '../../core/seams/plan-words.ts';
import { writeJobFile } from '../job/job-file.ts';
import { type JobFileOptions, openJobFile } from '../services/open-job-file.ts';
import { suggestLayouts } from '../services/suggest-layouts.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { printable, tableLines } from './terminal.ts';

interface SuggestOptions extends JobFileOptions {
  readonly side: string;
  readonly oneWay: boolean;
  readonly roll: readonly number[];
  readonly take?: string;
  readonly cheaperFilm: boolean;
}

export const suggestCommand =
  (path: string, options: SuggestOptions) =>
  async (context: CommandContext): Promise<Result<CommandOutcome>> =>
    await context.withArchive(async (parts) => {
      const opened = await openJobFile(parts, path, options, context.tools);
      if (!opened.ok) return opened;
      const { job, artwork } = opened.value;
      const side = sideByCode(job, options.side);
      if (!side) return resultProblem(noSuchSide(job, options.side));
      const answer = await suggestLayouts(
        parts,
        {
          job,
          sideId: side.id,
          layouts: options.oneWay ? 'one-way' : 'sections',
          otherRollWidthsMm: options.roll,
          ...(artwork && { artwork }),
        },
        context.tools,
      );
      if (!answer.ok) return answer;
      const { outcome } = answer.value;
      if (outcome.kind === 'problem') return resultProblem({ code: 'plan-input', ...outcome });
      if (outcome.kind === 'infeasible') {
        context.terminal.printResult(answer.value, [
          `No layout of ${sideSaid(job, side)} keeps every limit. Any one of these would do:`,
          ...outcome.relaxations.map(
            (relaxation) => `  ${relaxationText(relaxation, side, job.displayUnit)}`,
          ),
        ]);
        return resultOk('blocked');
      }
      context.terminal.printResult(answer.value, [
        ...planLines(answer.value, outcome.plans, job),
        ...cheaperLines(outcome.plans, job, side.id),
        ...(answer.value.isArtworkRead ? [] : [NOT_KNOWN_WITHOUT_ARTWORK]),
      ]);
      return options.take === undefined
        ? resultOk('done')
        : await writePlan(
            path,
            job,
            { sideId: side.id, plans: outcome.plans, id: options.take, isOnCheaperFilm: options.cheaperFilm },
            context,
          );
    });

/** Every figure except the counts is an estimate by the cost card, and the heading says so. */
function planLines(answer: PlanAnswer, plans: readonly PlanOffer[], job: Job): string[] {
  const { currency } = jobProductionSettings(job).figures;
  const offers = [...plans, ...(answer.equalVertical ? [answer.equalVertical] : [])];
  const rows = offers.map(({ id, rollWidthMm, figures, outputSize }) => [
    id,
    lengthText(rollWidthMm, job.displayUnit),
    String(figures.panels),
    filmLengthText(figures.longestFilm, job.displayUnit),
    lengthText(feedErrorOver(job.printer, figures.longestFilm), job.displayUnit),
    String(figures.people),
    String(figures.letteringCrossed),
    String(figures.shopTrims),
    figureShown(figures.filmSquareMeters, 'm²', job.displayUnit).toFixed(1),
    `${Math.round(figures.wasteShare * 100)} %`,
    (figures.installMinutes / 60).toFixed(1),
    (figures.matchingMinutes / 60).toFixed(1),
    (figures.shopMinutes / 60).toFixed(1),
    figures.money.toFixed(0),
    (figures.money + figures.visibleWorth).toFixed(0),
    outputSizeText(outputSize),
  ]);
  const head = [
    'plan',
    'roll',
    'panels',
    'longest',
    'feed error',
    'people',
    'lettering cut',
    'shop trims',
    figureLabel('film m²', job.displayUnit),
    'waste',
    'install h',
    'matching h',
    'shop h',
    `spent ${currency}`,
    `cost ${currency}`,
    'panel files',
  ];
  return [
    'Estimates by the job’s cost card; “cost” is what is spent plus the visible-seam penalty (not cash).',
    '“equal-vertical” is equal vertical panels from the rear forward, for comparison.',
    ...tableLines([head, ...rows]),
  ];
}

/** What the flat panels of a layout would save on a cheaper film of the job: never taken unasked. */
function cheaperLines(plans: readonly PlanOffer[], job: Job, sideId: string): string[] {
  const { currency } = jobProductionSettings(job).figures;
  const money = (amount: number) => `${currency} ${amount.toFixed(0)}`;
  return plans.flatMap((plan) => {
    const found = cheaperFilmOf(job, sideId, plan);
    return found ? [`${plan.id}: ${cheaperFilmText(job, found, money)} Take it with --cheaper-film.`] : [];
  });
}

async function writePlan(
  path: string,
  job: Job,
  {
    sideId,
    plans,
    id,
    isOnCheaperFilm,
  }: {
    readonly sideId: string;
    readonly plans: readonly PlanOffer[];
    readonly id: string;
    readonly isOnCheaperFilm: boolean;
  },
  { terminal }: CommandContext,
): Promise<Result<CommandOutcome>> {
  const plan = plans.find((candidate) => candidate.id === id);
  if (!plan) {
    return resultProblem({
      code: 'plan-unknown',
      message: `There is no panel layout ${printable(id)} for this side.`,
      remedy: `Select from: ${plans.map((candidate) => candidate.id).join(', ')}.`,
    });
  }
  const changed = (isOnCheaperFilm ? planTakenCheaper : planTaken)(job, sideId, plan);
  if (!changed.ok) return changed;
  const written = await writeJobFile(path, changed.value);
  if (!written.ok) return written;
  if (!terminal.isJson) terminal.printResult(undefined, [`${path} now has the panel layout ${id}.`]);
  return resultOk('done');
}

const noSuchSide = (job: Job, code: string) => ({
  code: 'side-unknown',
  message: `The job has no side ${printable(code)}.`,
  remedy: `Select from: ${sideCodes(job)}.`,
});
