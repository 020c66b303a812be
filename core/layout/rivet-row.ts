/** Where film may end beside a row of rivets. */
import type { Job, Joint } from '../job/schema.ts';
import type { Interval } from '../measure/interval.ts';
import { MM_PER_INCH, type Mm } from '../measure/units.ts';
import { filmEdges } from './film-edges.ts';

/** Distance of a film edge from the line of a rivet row: half a head plus the shop’s clearance. */
export const rivetRowKeep = ({ limits: { rivetClearanceMm, rivetHeadMm } }: Pick<Job, 'limits'>): Mm =>
  rivetClearanceMm + rivetHeadMm / 2;

export const jointFilmEdges = ({
  kind,
  firstMm,
  secondMm,
  top,
}: Pick<Joint, 'kind' | 'firstMm' | 'secondMm' | 'top'>): readonly Mm[] =>
  filmEdges({ kind, first: firstMm, second: secondMm, top });

/**
 * The last place before a row and the first place after it where no film edge of a straight seam comes too near to the
 * rivet heads, in whole millimeters or sixteenths of an inch.
 */
export function placesBesideRow(
  row: Interval,
  edges: readonly Mm[],
  job: Pick<Job, 'limits' | 'displayUnit'>,
): readonly [Mm, Mm] {
  const keep = rivetRowKeep(job);
  const step = job.displayUnit === 'mm' ? 1 : MM_PER_INCH / 16;
  return [
    Math.floor((row.start - keep - Math.max(...edges)) / step) * step,
    Math.ceil((row.end + keep - Math.min(...edges)) / step) * step,
  ];
}
