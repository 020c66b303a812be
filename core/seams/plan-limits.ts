import { z } from 'zod';
import { type Path, pathRange } from '../measure/path.ts';
import { type Rect, rectFromIntervals } from '../measure/rect.ts';
import { mmSchema, rectSchema } from '../measure/schemas.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { rollLength } from './film-fit.ts';
import { filmAt, rollOf } from './film-zones.ts';
import {
  type FilmRoll,
  type LockedSeam,
  type PlanLine,
  type PlanSide,
  type PlanStock,
  rollUsableWidth,
  type ShapedLine,
} from './plan-side.ts';
import {
  frameFilm,
  frameNarrowest,
  frameNet,
  isFrameOpen,
  type PlannedSeam,
  type PlanTree,
  sideFrame,
  treeParts,
} from './plan-tree.ts';
import { gapsMisused, isGapAlong, noFilmAreasGrazed, noSeamAreaCut, rivetRowsNear } from './seam-limits.ts';
import type { SeamPlace } from './seam-place.ts';

/** Limits that a layout must keep. The shop can relax each of them; the planner cannot. */
export const PlanLimit = z.enum([
  'printable-width',
  'longest-print',
  'longest-panel',
  'smallest-panel',
  'no-seam-area',
  'no-film-clearance',
  'body-gap',
  'rivet-row',
  'locked-seam',
  'film-edge',
]);
export type PlanLimit = z.infer<typeof PlanLimit>;
export const PLAN_LIMITS = PlanLimit.options;

export const LimitBroken = z.strictObject({
  limit: PlanLimit,
  area: rectSchema<'finished'>(),
  /** Excess, where the limit is a length. */
  by: mmSchema.optional(),
  /** The area, no-film area or line behind the limit. */
  itemId: z.string().optional(),
});
export type LimitBroken = z.infer<typeof LimitBroken>;

/**
 * Every limit that a layout breaks. It is computed from the panels and seams of the layout, independently of the
 * search, so that each checks the other. It also reports the faults of the equal vertical panels.
 */
export function limitsBroken(side: PlanSide, stock: PlanStock, tree: PlanTree): LimitBroken[] {
  const { panels, seams } = treeParts(tree, sideFrame(side));
  const broken: LimitBroken[] = [];
  for (const { frame } of panels) {
    if (isFrameOpen(side, frame)) continue;
    const net = frameNet(frame);
    const film = frameFilm(frame);
    const roll = rollOf(stock, filmAt(side, net));
    if (rollLength(side, roll, film.width, film.height) === undefined) {
      broken.push({ ...filmExcess(side, roll, film.width, film.height), area: net });
    }
    const short = side.minPanel - frameNarrowest(frame);
    if (short > LENGTH_TOLERANCE_MM) broken.push({ limit: 'smallest-panel', by: short, area: net });
  }
  for (const seam of seams) broken.push(...seamLimitsBroken(side, seam));
  for (const locked of side.locked) {
    const isKept = seams.some(
      ({ place }) => isSamePlace(place, locked) && place.from < locked.to && locked.from < place.to,
    );
    const limit = locked.isFilmEdge ? 'film-edge' : 'locked-seam';
    if (!isKept) broken.push({ limit, area: seamArea(locked) });
  }
  return broken;
}

const isSamePlace = (a: Pick<SeamPlace, 'axis' | 'at' | 'path'>, b: LockedSeam): boolean =>
  a.axis === b.axis && Math.abs(a.at - b.at) <= LENGTH_TOLERANCE_MM && a.path?.length === b.path?.length;

/** The limits of place that one seam breaks. A locked seam breaks none, because the operator approved it. */
export function seamLimitsBroken(side: PlanSide, { place, joint }: PlannedSeam): LimitBroken[] {
  const isLocked = side.locked.some(
    (seam) =>
      isSamePlace(place, seam) &&
      seam.from <= place.from + LENGTH_TOLERANCE_MM &&
      seam.to >= place.to - LENGTH_TOLERANCE_MM,
  );
  if (isLocked) return [];
  const area = seamArea(place);
  const broken: LimitBroken[] = [
    ...noSeamAreaCut(side, place, joint).map(({ id }) => ({
      limit: 'no-seam-area' as const,
      itemId: id,
      area,
    })),
    ...noFilmAreasGrazed(side, place).map(({ id }) => ({
      limit: 'no-film-clearance' as const,
      itemId: id,
      area,
    })),
    ...gapsMisused(side, place, joint).map(({ id }) => ({ limit: 'body-gap' as const, itemId: id, area })),
    ...rivetRowsNear(side, place, joint).map(({ line: { id }, by }) => ({
      limit: 'rivet-row' as const,
      itemId: id,
      by,
      area,
    })),
  ];
  const lines: readonly (PlanLine | ShapedLine)[] = place.path ? side.shapedLines : side.lines;
  const hasGap = lines.some(
    (line) =>
      line.axis === place.axis &&
      Math.abs(line.at - place.at) <= LENGTH_TOLERANCE_MM &&
      isGapAlong(side, line, place.from, place.to),
  );
  if (joint.kind === 'gap' && !hasGap) broken.push({ limit: 'body-gap', area });
  return broken;
}

/** How far a piece of film exceeds the roll or the crew's limit, in the orientation that exceeds it least. */
function filmExcess(
  { longestPanel = Number.POSITIVE_INFINITY }: PlanSide,
  roll: FilmRoll,
  width: Mm,
  height: Mm,
): Pick<LimitBroken, 'limit'> & { readonly by: Mm } {
  const crew = { limit: 'longest-panel' as const, by: width - longestPanel };
  const excess = (across: Mm, along: Mm) =>
    [
      { limit: 'printable-width' as const, by: across - rollUsableWidth(roll) },
      { limit: 'longest-print' as const, by: along - roll.longest },
      crew,
    ].reduce((most, one) => (one.by > most.by ? one : most));
  const [upright, turned] = [excess(width, height), excess(height, width)];
  return upright.by <= turned.by ? upright : turned;
}

function seamArea(place: Omit<SeamPlace, 'path'> & { readonly path?: Path | undefined }): Rect<'finished'> {
  const { axis, at, from, to, path } = place;
  const along = { start: from, end: to };
  const across = path ? pathRange(path, along) : { start: at, end: at };
  return axis === 'vertical' ? rectFromIntervals(across, along) : rectFromIntervals(along, across);
}
