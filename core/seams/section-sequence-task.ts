import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { panelPrice } from './film-fit.ts';
import type { PanelRates } from './plan-objective.ts';
import { axisRect, jointFromLap, jointTrims, type PlanSide } from './plan-side.ts';
import type { SeamAxis } from './seam-place.ts';
import type { SectionGround } from './section-ground.ts';
import type { SequenceEnd, SequenceNoFilmArea, SequenceTask } from './sequence-search.ts';

/** A sequence of seams of an axis from edge i to edge j along it, between edges k and l across it. */
export interface SectionSequence {
  readonly axis: SeamAxis;
  readonly i: number;
  readonly j: number;
  readonly k: number;
  readonly l: number;
}

/** What a sequence's seams and panels cost. The seams are asked for only where the sequence's panels fit. */
export interface SequenceCosts {
  readonly seamUnits: () => Float64Array;
  readonly rates: PanelRates;
}

/** A sequence of a ground as a task for the search; undefined where panels as high as the strip cannot fit. */
export function sequenceTask(
  ground: SectionGround,
  { axis, i, j, k, l }: SectionSequence,
  { seamUnits, rates }: SequenceCosts,
): SequenceTask | undefined {
  const { side, stock, books } = ground;
  const { along, across } = ground.edges(axis);
  const [from, to] = [across[k]!, across[l]!];
  if (to.at - from.at < side.minPanel - LENGTH_TOLERANCE_MM) return undefined;
  const height = to.at - from.at + from.reachBefore + to.reachBeyond + 2 * side.border;
  const { perPanel, perTrim } = rates;
  const acrossTrims = perTrim * (from.trimBefore + to.trimBeyond);
  const withTrims = { ...rates, perPanel: perPanel + acrossTrims };
  const price = panelPrice(side, stock.roll, axis, height, withTrims);
  if (price.length === 0) return undefined;
  const joint = jointFromLap(stock.lap, axis, side.front);
  const trims = jointTrims(joint, side.border);
  const start = along[i]!;
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
    noFilmAreas: sequenceNoFilmAreas(side, axis, from.at, to.at),
    start: { at: start.at, reach: start.reachBefore, trim: perTrim * start.trimBefore },
    ends: along
      .slice(i + 1, j + 1)
      .map(
        (edge): SequenceEnd => ({ at: edge.at, reach: edge.reachBeyond, trim: perTrim * edge.trimBeyond }),
      ),
  };
}

/** Where a strip lies in a no-film area from side to side. */
const sequenceNoFilmAreas = (side: PlanSide, axis: SeamAxis, from: Mm, to: Mm): SequenceNoFilmArea[] =>
  side.noFilmAreas.flatMap(({ rect }) => {
    const { alongStart, alongEnd, acrossStart, acrossEnd } = axisRect(axis, rect);
    const isAcross = acrossStart <= from + LENGTH_TOLERANCE_MM && acrossEnd >= to - LENGTH_TOLERANCE_MM;
    return isAcross ? [{ from: alongStart, to: alongEnd, units: 0, narrowest: 0 }] : [];
  });
