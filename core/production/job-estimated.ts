/** The estimate of a job as it is kept beside what the job really took, and what its reprints took. */
import { jobCostCard } from '../job/job-cost-card.ts';
import { materialPrice } from '../job/material-price.ts';
import type { Job } from '../job/schema.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { valueAt } from '../measure/present.ts';
import { rectArea } from '../measure/rect.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../measure/result.ts';
import type {
  JobActuals,
  JobEstimated,
  KeptActuals,
  PanelReprinted,
  ReprintCounted,
} from '../output/job-actuals.ts';
import type { Estimate } from './estimate.ts';
import { filmLaminations } from './film-clock.ts';
import type { FilmProduction } from './film-production.ts';
import { filmProductions, type JobProduction } from './job-production.ts';

const MM2_PER_M2 = 1_000_000;

/**
 * `actuals` with the estimate of today; a panel that the job has not is refused. What was counted `before` stays as it was:
 * a new layout may have renumbered the panel since.
 */
export function keptActuals(
  job: Job,
  layouts: readonly SideLayout[],
  production: JobProduction,
  actuals: JobActuals,
  {
    enteredOn,
    before = [],
  }: { readonly enteredOn: string; readonly before?: readonly ReprintCounted[] | undefined },
): Result<KeptActuals, Problem> {
  const panels = new Map(layouts.flatMap((layout) => layout.panels).map((panel) => [panel.label, panel]));
  const counted = ({ panel, on }: PanelReprinted) =>
    before.find((each) => each.panel === panel && each.on === on);
  const unknown = actuals.reprints.find((reprint) => !panels.has(reprint.panel) && !counted(reprint));
  if (unknown) {
    return resultProblem({
      code: 'panel-label-unknown',
      message: `The job has no panel ${unknown.panel}.`,
      remedy: `Select from: ${[...panels.keys()].join(', ')}.`,
    });
  }
  const { laminate } = production.settings;
  const perM2 = materialPrice(job, 'film').perM2 + (laminate ? materialPrice(job, 'laminate').perM2 : 0);
  const reprints = actuals.reprints.map((reprint): ReprintCounted => {
    const known = counted(reprint);
    if (known) return { ...reprint, areaM2: known.areaM2, cents: known.cents };
    const areaM2 = rectArea(valueAt(panels, reprint.panel).film) / MM2_PER_M2;
    return { ...reprint, areaM2, cents: Math.round(areaM2 * perM2 * 100) };
  });
  const estimated = jobEstimated(job, production);
  return resultOk({ actuals, estimated, reprints, currency: production.estimates.currency, enteredOn });
}

/** Of all films of the job together. */
function jobEstimated(job: Job, production: JobProduction): JobEstimated {
  const films = filmProductions(production);
  const sum = (of: (film: FilmProduction) => number) => films.reduce((total, film) => total + of(film), 0);
  const { installTime } = production.together ?? production.estimates;
  const { figures } = production.settings;
  const laminations = sum((film) => (film.settings.laminate ? filmLaminations(film) : 0));
  return {
    filmM: sum(({ estimates }) => inputOf(estimates.film, 'Film used')),
    panels: sum(({ items }) => items.length),
    rolls: sum(({ estimates }) => inputOf(estimates.film, 'Rolls')),
    ...(laminations > 0 && { laminations }),
    filmPassedM2: sum(({ estimates }) => inputOf(estimates.printTime, 'Film passed')),
    laminateM: sum(({ estimates: { laminationTime } }) =>
      laminationTime ? inputOf(laminationTime, 'Length, losses included') : 0,
    ),
    surfaceM2: installTime ? inputOf(installTime, 'Surface') : 0,
    minutes: {
      printing: sum(({ estimates }) => estimates.printTime.value),
      lamination: sum(({ estimates }) => estimates.laminationTime?.value ?? 0),
      trimming: sum(({ estimates }) => estimates.trimTime.value),
      packing: sum(({ estimates }) => estimates.packTime.value),
      ...(installTime && { installing: installTime.value }),
    },
    printSetupMinutes: figures.printSetupMinutes,
    laminationSetupMinutes: figures.laminationSetupMinutes,
    installMinutesPerM2: jobCostCard(job).installMinutesPerSquareMeter,
  };
}

function inputOf({ name, inputs }: Estimate, wanted: string): number {
  const input = inputs.find((each) => each.name === wanted);
  if (!input) throw new Error(`the estimate ${name} has no ${wanted}`);
  return input.value;
}
