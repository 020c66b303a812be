/** The settings of production of the open job, the changes that are made to them, and its rolls to move panels about on. */
import { computed, signal } from '@preact/signals';
import { jobSet } from '../../core/job/edits/edits.ts';
import {
  FIRST_FILM_ID,
  hasSeveralFilms,
  jobFilm,
  jobOnFilm,
  jobWithProduction,
} from '../../core/job/job-films.ts';
import { jobProductionSettings } from '../../core/job/job-production-settings.ts';
import type { Job } from '../../core/job/schema.ts';
import { layoutsOnFilm } from '../../core/layout/film-layouts.ts';
import type { Problem, Result } from '../../core/measure/result.ts';
import type { FilmProduction } from '../../core/production/film-production.ts';
import { filmProductions } from '../../core/production/job-production.ts';
import { packItems } from '../../core/production/job-rolls.ts';
import type { ProductionSettings } from '../../core/shop/production-settings.ts';
import { editJob, isReadOnly, job, layouts } from '../state/open-job.ts';
import { production } from '../state/production.ts';
import { type RollDesk, rollDesk } from './roll-desk.ts';

/** The film of the job that the screen shows, where it has several. */
export const filmInHand = signal(FIRST_FILM_ID);

/** The open job as if it had that film alone. */
export const jobInHand = computed<Job | undefined>(() => job.value && jobOnFilm(job.value, filmInHand.value));

const layoutsInHand = computed(() =>
  job.value ? layoutsOnFilm(job.value, layouts.value, filmInHandId(job.value)) : [],
);

/** The first film where the one in hand is gone. */
export const filmInHandId = (now: Job): string => jobFilm(now, filmInHand.value).id;

export const settingsNow = computed<ProductionSettings | undefined>(
  () => jobInHand.value && jobProductionSettings(jobInHand.value),
);

/** What is worked out for the film in hand; absent too where no panel is printed on it. */
export const productionInHand = computed<FilmProduction | undefined>(() => {
  const [now, made] = [job.value, production.value];
  if (!now || !made) return undefined;
  return hasSeveralFilms(now)
    ? filmProductions(made).find(({ filmId }) => filmId === filmInHandId(now))
    : made;
});

/** The rolls of the open job, to be moved about on. */
export const jobRollDesk: RollDesk = rollDesk({
  laid: computed(() => {
    const made = productionInHand.value;
    return made && { ...made, areRollsEntered: made.settings.rolls.length > 0 };
  }),
  panels: computed(() =>
    job.value && settingsNow.value ? packItems(job.value, layoutsInHand.value, settingsNow.value) : [],
  ),
  locked: computed(() => settingsNow.value?.locked ?? []),
  isReadOnly,
  setLocked: (label, locked, gesture) => setProduction(label, { locked: [...locked] }, gesture),
});

type SettingsChange = Parameters<typeof jobWithProduction>[2];

/**
 * Changes settings of production, of the film in hand where they belong to a film; returns the sentence why not. `undefined`
 * takes a setting out.
 */
export function setProduction(label: string, change: SettingsChange, gesture?: string): string | undefined {
  return editJob(label, (now) => settingsChanged(now, change), {
    isQuiet: true,
    ...(gesture !== undefined && { gesture }),
  })?.message;
}

function settingsChanged(now: Job, change: SettingsChange): Result<Job, Problem> {
  return jobSet(now, { change: jobWithProduction(now, filmInHandId(now), change) });
}
