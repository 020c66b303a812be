import { itemAt } from '../measure/present.ts';
import { panelPrice } from './film-fit.ts';
import { rollOf } from './film-zones.ts';
import type { PanelRates } from './plan-objective.ts';
import { jointFromLap, jointTrims, type ZoneFilm } from './plan-side.ts';
import type { SectionGround } from './section-ground.ts';
import type { SectionStrip, SequenceGroup } from './section-strips.ts';
import type { SequenceEnd, SequenceTask } from './sequence-search.ts';

/** Costs of a sequence's seams and panels. Seam costs are requested only where the panels fit. */
export interface SequenceCosts {
  readonly seamUnits: () => Float64Array;
  ratesOn(film: ZoneFilm | undefined): PanelRates;
}

/** The sequences of a strip as one search task; undefined where panels as high as the strip cannot fit. */
export function sequenceTask(
  ground: SectionGround,
  { axis, i, k, l }: SectionStrip,
  { isWide, acrossFilm, start, stops, noFilmAreas }: SequenceGroup,
  { seamUnits, ratesOn }: SequenceCosts,
): SequenceTask | undefined {
  const { side, stock, books } = ground;
  const { along, across } = ground.edges(axis);
  const nearest = stops[0];
  if (!isWide || !nearest) return undefined;
  // Seams where films meet are locked, and no sequence continues past one.
  const film = axis === 'vertical' ? ground.filmOf(i, nearest.j, k, l) : ground.filmOf(k, l, i, nearest.j);
  const rates = ratesOn(film);
  const { perPanel, perTrim } = rates;
  const acrossTrims = perTrim * (itemAt(across, k).trimBefore + itemAt(across, l).trimBeyond);
  const withTrims = { ...rates, perPanel: perPanel + acrossTrims };
  const price = panelPrice(side, rollOf(stock, film), axis, acrossFilm, withTrims);
  if (price.length === 0) return undefined;
  const joint = jointFromLap(stock.lap, axis, side.front);
  const trims = jointTrims(joint, side.border);
  return {
    positions: books[axis].positions,
    seamUnits: seamUnits(),
    first: joint.first,
    second: joint.second,
    trimFirst: perTrim * trims.first,
    trimSecond: perTrim * trims.second,
    border: side.border,
    minPanel: side.minPanel,
    price,
    noFilmAreas,
    start: { at: start.at, reach: start.reach, trim: perTrim * itemAt(along, i).trimBefore },
    ends: stops.map(
      ({ j, end }): SequenceEnd => ({
        at: end.at,
        reach: end.reach,
        trim: perTrim * itemAt(along, j).trimBeyond,
      }),
    ),
  };
}
