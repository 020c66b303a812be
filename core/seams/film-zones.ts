/** Parts of a side that are printed on other films: each panel is fitted and charged by its film. */
import { type Rect, rectArea, rectIntersection } from '../measure/rect.ts';
import { type PanelRates, type PlanWeights, panelRates } from './plan-objective.ts';
import type { FilmRoll, PlanSide, PlanStock, ZoneFilm } from './plan-side.ts';

/** The film of most of an area; undefined where that is the film of the plan. */
export function filmAt({ filmZones = [] }: PlanSide, area: Rect<'finished'>): ZoneFilm | undefined {
  const shares = new Map<ZoneFilm | undefined, number>();
  for (const { rect, film } of filmZones) {
    const shared = rectIntersection(rect, area);
    if (shared) shares.set(film, (shares.get(film) ?? 0) + rectArea(shared));
  }
  let [most, film]: [number, ZoneFilm | undefined] = [0, undefined];
  for (const [each, share] of shares) if (share > most) [most, film] = [share, each];
  return film;
}

export const rollOf = ({ roll }: PlanStock, film: ZoneFilm | undefined): FilmRoll => film?.roll ?? roll;

/** The rates of panels on each film of a side. */
export class FilmRates {
  readonly #side: PlanSide;
  readonly #stock: PlanStock;
  readonly #weights: PlanWeights;
  readonly #known = new Map<ZoneFilm | undefined, PanelRates>();

  constructor(side: PlanSide, stock: PlanStock, weights: PlanWeights) {
    this.#side = side;
    this.#stock = stock;
    this.#weights = weights;
  }

  on(film: ZoneFilm | undefined): PanelRates {
    let rates = this.#known.get(film);
    if (!rates) {
      rates = panelRates(this.#side.card, this.#weightsOn(film), {
        ...this.#stock,
        roll: rollOf(this.#stock, film),
      });
      this.#known.set(film, rates);
    }
    return rates;
  }

  /** The weight of a square meter is its price plus the extra weight of an aim. */
  #weightsOn(film: ZoneFilm | undefined): PlanWeights {
    if (!film) return this.#weights;
    const { card } = this.#side;
    const dearer =
      film.filmPerSquareMeter +
      film.laminatePerSquareMeter -
      card.filmPerSquareMeter -
      card.laminatePerSquareMeter;
    return { ...this.#weights, filmSquareMeter: this.#weights.filmSquareMeter + dearer };
  }
}
