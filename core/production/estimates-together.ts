/** What the films of a job take together. */
import { jobFilm } from '../job/job-films.ts';
import type { Job } from '../job/schema.ts';
import type { SideInstall } from '../seams/side-install.ts';
import {
  type Estimate,
  type EstimateInput,
  installTimeEstimate,
  type JobEstimates,
  wasteOf,
} from './estimate.ts';

interface OfFilm {
  readonly filmId: string;
  readonly estimates: JobEstimates;
}

/** Each figure is the sum of those of the films, and names them. */
export function estimatesTogether(
  job: Job,
  films: readonly OfFilm[],
  install: readonly SideInstall[] | undefined,
): JobEstimates {
  const [first] = films as readonly [OfFilm, ...OfFilm[]];
  const partsOf = (key: FigureKey) =>
    films.flatMap(({ filmId, estimates }) => {
      const estimate = estimates[key];
      return estimate && estimate.value !== 0 ? [{ name: filmNamed(job, filmId), estimate }] : [];
    });
  const summed = (key: FigureKey): Estimate | undefined => {
    const template = films.map(({ estimates }) => estimates[key]).find((estimate) => estimate !== undefined);
    return template && summedLike(template, key);
  };
  const summedLike = (template: Estimate, key: FigureKey): Estimate => {
    const parts = partsOf(key);
    return {
      ...template,
      value: parts.reduce((sum, { estimate }) => sum + estimate.value, 0),
      inputs: parts.map(({ name, estimate: { value, unit } }) => ({ name, value, unit })),
    };
  };
  // Better no figure than one that leaves a film out.
  const isInkKnown = films.every(({ estimates }) => estimates.ink || estimates.film.value === 0);
  const wasteInput = (name: string) =>
    films.reduce((sum, { estimates }) => sum + inputOf(estimates.waste, name), 0);
  const filmM2 = films.reduce((sum, { estimates }) => sum + estimates.film.value, 0);
  return {
    film: summedLike(first.estimates.film, 'film'),
    waste: wasteOf({ panelsM2: wasteInput('Panels'), fillM2: wasteInput('Fill pieces'), filmM2 }),
    laminate: summed('laminate'),
    ink: isInkKnown ? summed('ink') : undefined,
    printTime: summedLike(first.estimates.printTime, 'printTime'),
    laminationTime: summed('laminationTime'),
    trimTime: summedLike(first.estimates.trimTime, 'trimTime'),
    packTime: summedLike(first.estimates.packTime, 'packTime'),
    ...(install && { installTime: installTimeEstimate(install) }),
    cost: costTogether(films, isInkKnown),
    currency: first.estimates.currency,
  };
}

type FigureKey = 'film' | 'laminate' | 'ink' | 'printTime' | 'laminationTime' | 'trimTime' | 'packTime';

/** By what is paid for, all films together. */
function costTogether(films: readonly OfFilm[], isInkKnown: boolean): Estimate {
  const costs = films.map(({ estimates }) => estimates.cost);
  const [first] = costs as [Estimate, ...Estimate[]];
  const inputs = new Map<string, EstimateInput>();
  for (const { name, value, unit } of costs.flatMap((cost) => cost.inputs)) {
    const called = name === 'Ink' && !isInkKnown ? 'Ink where it is known' : name;
    inputs.set(called, { name: called, value: value + (inputs.get(called)?.value ?? 0), unit });
  }
  return { ...first, value: costs.reduce((sum, { value }) => sum + value, 0), inputs: [...inputs.values()] };
}

const filmNamed = (job: Job, filmId: string): string => `Film ${jobFilm(job, filmId).letter}`;

const inputOf = ({ inputs }: Estimate, name: string): number =>
  inputs.find((input) => input.name === name)?.value ?? 0;
