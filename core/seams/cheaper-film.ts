/** A cheaper film of the job for the panels of a side that lie flat. */

import { areaText } from '../findings/layout/finding-context.ts';
import { panelsFilmSet } from '../job/edits/edits.ts';
import { filmBase } from '../job/film-base.ts';
import { isLaminated } from '../job/job-cost-card.ts';
import { filmTitle, jobFilms, jobOnFilm } from '../job/job-films.ts';
import { materialPrice } from '../job/material-price.ts';
import type { Job } from '../job/schema.ts';
import { sideVehicle } from '../job/vehicles.ts';
import { isPerforated } from '../job/window-film.ts';
import { isPanelOver } from '../layout/ground-stretch.ts';
import { bodyPanels, type Panel } from '../layout/panel.ts';
import { panelFit } from '../layout/panel-fit.ts';
import { type SideLayout, sideLayout } from '../layout/side-layout.ts';
import { listText } from '../measure/list-text.ts';
import { rectArea } from '../measure/rect.ts';
import type { Problem, Result } from '../measure/result.ts';
import { planTaken } from './plan-taken.ts';

export interface CheaperFilm {
  readonly filmId: string;
  readonly panelIds: readonly string[];
  readonly labels: readonly string[];
  /**
   * Saving on film and laminate for all vehicles, by shelf prices; absent where the shelf has no price for one of them.
   */
  readonly saving?: number;
  /** Area of the more expensive films saved on all vehicles, by sizes on the roll, without waste beside panels. */
  readonly squareMeters: number;
  /** Seams at which films of different kinds would meet. */
  readonly mixedSeams: number;
}

/**
 * The film that saves most on panels without a recess or curve under them; undefined where none saves anything. Without
 * shelf prices, calendered film is taken to be cheaper than cast, and monomeric cheaper than polymeric (common
 * practice, no source).
 */
function cheaperFilm(job: Job, layout: SideLayout): CheaperFilm | undefined {
  const films = jobFilms(job);
  const priceOf = new Map(films.map(({ id }) => [id, pricePerM2(jobOnFilm(job, id))]));
  const baseOf = (id: string) => filmBase(jobOnFilm(job, id));
  const units = sideVehicle(job, layout.side).units.length;
  const flat = bodyPanels(layout.panels).filter(
    (panel) => !layout.side.ground.some((ground) => isPanelOver(panel, ground)),
  );
  const isCheaper = (id: string, than: string): boolean => {
    const [price, now] = [priceOf.get(id), priceOf.get(than)];
    if (price !== undefined && now !== undefined) return price < now;
    return kindCost(job, id) < kindCost(job, than);
  };
  const squareMeters = (panel: Panel) => (rectArea(panel.film) * units) / 1e6;
  const offers = films
    .filter((film) => !isPerforated(job, film))
    .flatMap(({ id: filmId, printer }): CheaperFilm[] => {
      const moved = flat.filter((panel) => {
        const { isTooWide, isTooLong } = panelFit(panel.film, printer);
        const isAlike = baseOf(panel.filmId) === baseOf(filmId);
        return isAlike && !isTooWide && !isTooLong && isCheaper(filmId, panel.filmId);
      });
      if (moved.length === 0) return [];
      const price = priceOf.get(filmId);
      const savings = moved.flatMap((panel) => {
        const now = priceOf.get(panel.filmId);
        return price === undefined || now === undefined ? [] : [(now - price) * squareMeters(panel)];
      });
      const ids = new Set(moved.map(({ id }) => id));
      return [
        {
          filmId,
          panelIds: [...ids],
          labels: moved.map(({ label }) => label),
          ...(savings.length === moved.length && { saving: savings.reduce((sum, one) => sum + one, 0) }),
          squareMeters: moved.reduce((sum, panel) => sum + squareMeters(panel), 0),
          mixedSeams: mixedSeams(job, layout, (panel) => (ids.has(panel.id) ? filmId : panel.filmId)),
        },
      ];
    });
  const [best] = offers.toSorted(
    (a, b) =>
      (b.saving ?? 0) - (a.saving ?? 0) ||
      kindCost(job, a.filmId) - kindCost(job, b.filmId) ||
      b.squareMeters - a.squareMeters,
  );
  return best;
}

const KINDS_BY_COST = ['calendered-monomeric', 'calendered-polymeric', 'cast'] as const;

const kindCost = (job: Job, filmId: string): number => {
  const { film, production } = jobOnFilm(job, filmId);
  return KINDS_BY_COST.indexOf((production?.film ?? film).kind);
};

/** Price of film with its laminate; undefined where the shelf has none. */
function pricePerM2(job: Job): number | undefined {
  const [film, laminate] = [materialPrice(job, 'film'), materialPrice(job, 'laminate')];
  if (film.from !== 'shelf') return undefined;
  if (!isLaminated(job)) return film.perM2;
  return laminate.from === 'shelf' ? film.perM2 + laminate.perM2 : undefined;
}

function mixedSeams(job: Job, { panels, seams }: SideLayout, filmOf: (panel: Panel) => string): number {
  const kindOf = new Map(jobFilms(job).map(({ id, film }) => [id, film.kind]));
  return seams.filter(({ firstPanelIds, secondPanelIds }) => {
    const kinds = panels
      .filter(({ id }) => firstPanelIds.includes(id) || secondPanelIds.includes(id))
      .map((panel) => kindOf.get(filmOf(panel)));
    return new Set(kinds).size > 1;
  }).length;
}

/** The job with this layout on a side and its flat panels on the cheaper film. */
export function planTakenCheaper(
  job: Job,
  sideId: string,
  plan: Parameters<typeof planTaken>[2],
): Result<Job, Problem> {
  const found = cheaperFilmOf(job, sideId, plan);
  const taken = planTaken(job, sideId, plan);
  if (!found || !taken.ok) return taken;
  const { panelIds, filmId } = found;
  return panelsFilmSet(taken.value, { sideId, panelIds, filmId });
}

/** Saving that a layout would bring once it is used. Keeps FM10. */
export function cheaperFilmOf(
  job: Job,
  sideId: string,
  plan: Parameters<typeof planTaken>[2],
): CheaperFilm | undefined {
  const taken = planTaken(job, sideId, plan);
  const side = taken.ok ? taken.value.sides.find(({ id }) => id === sideId) : undefined;
  return taken.ok && side ? cheaperFilm(taken.value, sideLayout(taken.value, side)) : undefined;
}

/** `DS-02 and DS-03 lie flat: on film B, about USD 64 less …`: one text for the screen and the command line. */
export function cheaperFilmText(
  job: Job,
  { filmId, labels, saving, squareMeters, mixedSeams: mixed }: CheaperFilm,
  money: (amount: number) => string,
): string {
  const verb = labels.length === 1 ? 'lies' : 'lie';
  const seams =
    mixed === 0
      ? ''
      : ` ${mixed === 1 ? 'One seam' : `${mixed} seams`} would then join films of different kinds, which warns.`;
  const saves =
    saving === undefined
      ? `as a rule the cheaper kind, ${areaText(job, squareMeters * 1e6)} less of the dearer film would be printed, waste not counted; with prices of both films and laminates the saving is told in money.`
      : `film and laminate cost about ${money(saving)} less, waste not counted.`;
  return `${listText(labels)} ${verb} on no recess and no curve that the job knows: on film ${filmTitle(job, filmId)}, ${saves}${seams}`;
}
