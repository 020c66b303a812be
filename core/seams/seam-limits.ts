import { filmEdges } from '../layout/film-edges.ts';
import { letteringEdges, SMALL_CAPITALS_MM } from '../lettering/lettering-crossing.ts';
import type { Interval } from '../measure/interval.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { isBandInArea, isRimGrazed } from './area-meeting.ts';
import { axisRect, type JointShape, type PlanArea, type PlanLine, type PlanSide } from './plan-side.ts';
import { lineReach } from './seam-parts.ts';
import { placeAcross, type SeamAxis, type SeamPlace } from './seam-place.ts';

/**
 * Where the seam may be visible: on its line, or with a shift lap anywhere in the spare image of the top part, because
 * the installer selects there where to cut. Offsets from the seam line.
 */
export function seamSeen(joint: JointShape): { readonly before: Mm; readonly after: Mm } {
  if (joint.kind !== 'lap') return { before: 0, after: 0 };
  return joint.top === 'first' ? { before: 0, after: joint.first } : { before: joint.second, after: 0 };
}

/** The no-seam areas that a seam would cut. Touching the edge of an area does not cut it. Keeps SP3. */
export function noSeamAreaCut(side: PlanSide, place: SeamPlace, joint: JointShape): PlanArea[] {
  const seen = seamSeen(joint);
  return side.noSeamAreas.filter((area) => isBandInArea(place, seen, area));
}

/** The no-film areas whose edge a seam would follow too closely. Keeps SP4. */
export const noFilmAreasGrazed = (side: PlanSide, place: SeamPlace): PlanArea[] =>
  side.noFilmAreas.filter((area) => isRimGrazed(place, area));

/**
 * The body gaps that a seam uses wrongly. A body-gap seam must follow a gap over its whole length, else there is no gap
 * to wrap into. Every other joint must stay away from a gap by the gap allowance, or it would bridge the gap or leave a
 * strip too narrow to wrap.
 */
export function gapsMisused(side: PlanSide, place: SeamPlace, joint: JointShape): PlanLine[] {
  if (joint.kind === 'gap') return [];
  return side.lines.filter((line) => {
    if (line.kind !== 'body-gap' || line.axis !== place.axis) return false;
    const reach = Math.max(lineReach(line), side.gapAllowance - LENGTH_TOLERANCE_MM);
    if (!place.path && Math.abs(line.at - place.at) >= reach) return false;
    const lies = liesBeside(place, line.from, line.to);
    return lies !== undefined && distanceFrom(line.at, lies) < reach;
  });
}

/** Whether a gap runs along the whole seam, within the allowance that wraps around its ends. */
export const isGapAlong = (
  side: PlanSide,
  gap: Pick<PlanLine, 'kind' | 'from' | 'to'>,
  from: Mm,
  to: Mm,
): boolean =>
  gap.kind === 'body-gap' && gap.from <= from + side.gapAllowance && gap.to >= to - side.gapAllowance;

/**
 * The rivet rows that a film edge along a seam would be too near to, and by how much: film lifts at a rivet head.
 * Keeps SP27.
 */
export function rivetRowsNear(
  side: PlanSide,
  place: SeamPlace,
  joint: JointShape,
): { readonly line: PlanLine; readonly by: Mm }[] {
  return side.lines.flatMap((line) => {
    if (line.kind !== 'rivet-row' || line.axis !== place.axis) return [];
    const lies = liesBeside(place, line.from, line.to);
    if (!lies) return [];
    const distances = filmEdges(joint).map((edge) => distanceFrom(line.at - edge, lies));
    const by = side.rivetClearance - Math.min(...distances);
    return by > LENGTH_TOLERANCE_MM ? [{ line, by }] : [];
  });
}

export const isSeamAllowed = (side: PlanSide, place: SeamPlace, joint: JointShape): boolean =>
  noSeamAreaCut(side, place, joint).length === 0 &&
  noFilmAreasGrazed(side, place).length === 0 &&
  gapsMisused(side, place, joint).length === 0 &&
  rivetRowsNear(side, place, joint).length === 0;

/**
 * Positions where what a seam crosses, or whether it is allowed, can change. Between two neighbors in this list only
 * the picture changes, except inside `changeStretches`. Sorted, without duplicates.
 */
export function changePositions(side: PlanSide, axis: SeamAxis, joint: JointShape): Mm[] {
  const seen = seamSeen(joint);
  const found = new Set<Mm>();
  const visitEdges = (areas: readonly PlanArea[], use: (start: Mm, end: Mm, area: PlanArea) => void) => {
    for (const area of areas) {
      const r = axisRect(axis, area.rect);
      use(r.alongStart, r.alongEnd, area);
    }
  };
  visitEdges([...side.ground, ...side.noFilmAreas], (start, end) => {
    found.add(start).add(end);
  });
  for (const { words, strokes, capHeightMm } of side.lettering) {
    // Small letters cost the same in a stroke and next to it.
    const upright = capHeightMm < SMALL_CAPITALS_MM ? [] : strokes;
    for (const edge of letteringEdges({ words, strokes: upright }, axis)) found.add(edge);
  }
  visitEdges(side.noSeamAreas, (start, end) => {
    found.add(start - seen.after).add(end + seen.before);
  });
  for (const noFilmArea of side.noFilmAreas) {
    visitEdges([noFilmArea], (start, end) => {
      for (const edge of [start, end]) found.add(edge - noFilmArea.margin).add(edge + noFilmArea.margin);
    });
  }
  for (const line of side.lines) {
    if (line.axis !== axis) continue;
    if (line.kind === 'rivet-row') {
      for (const edge of filmEdges(joint)) {
        const on = line.at - edge;
        found.add(on - side.rivetClearance).add(on + side.rivetClearance);
      }
      continue;
    }
    found.add(line.at - line.width / 2).add(line.at + line.width / 2);
    if (line.kind === 'body-gap') found.add(line.at - side.gapAllowance).add(line.at + side.gapAllowance);
  }
  return [...found].sort((a, b) => a - b);
}

/** Stretches where what a seam crosses changes continuously: over areas with a closed outline. */
export function changeStretches(side: PlanSide, axis: SeamAxis, joint: JointShape): Interval[] {
  const seen = seamSeen(joint);
  const over = (areas: readonly PlanArea[], before: Mm, beyond: Mm) =>
    areas.flatMap(({ rect, outline }): Interval[] => {
      const { alongStart, alongEnd } = axisRect(axis, rect);
      return outline ? [{ start: alongStart - before, end: alongEnd + beyond }] : [];
    });
  return [
    ...over(side.ground, 0, 0),
    ...over(side.noSeamAreas, seen.after, seen.before),
    ...side.noFilmAreas.flatMap((area) => over([area], area.margin, area.margin)),
  ];
}

/** The range across a seam that is next to a stretch along it; undefined where the seam does not run there. */
function liesBeside(place: SeamPlace, start: Mm, end: Mm): Interval | undefined {
  const [from, to] = [Math.max(start, place.from), Math.min(end, place.to)];
  return to - from > LENGTH_TOLERANCE_MM ? placeAcross(place, { start: from, end: to }) : undefined;
}

const distanceFrom = (at: Mm, { start, end }: Interval): Mm => Math.max(0, start - at, at - end);
