import { firstOf } from '../measure/present.ts';
import type { Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import {
  axisRect,
  jointFromLap,
  type PlanSide,
  rollUsableWidth,
  type SectionSpace,
  sideLength,
} from './plan-side.ts';
import { seamSeen } from './seam-limits.ts';
import { SEAM_AXES, type SeamAxis } from './seam-place.ts';

/** Distance that a seam keeps from letters where there is room. Common practice, no source. */
const CLEAR_OF_LETTERS_MM: Mm = 25;
/** Spaces nearer to each other than this count as one: both lead to the same layouts. */
const SAME_SPACE_MM: Mm = 40;
/** More spaces in one direction slow the search and improve nothing. */
const MOST_SPACES_EACH_WAY = 8;

interface Space extends SectionSpace {
  /** Size of the clear space for a seam: width of the space × length of the seam. */
  readonly worth: number;
}

/**
 * Where a side may be divided into sections without a body line. First come the spaces between lettering across the
 * whole side, then those within each row and column between these spaces. Where a side is longer than a panel may be,
 * the boundaries of equal rows of film are added.
 *
 *     ┌─────────────────────┐
 *     │ NAME      │  NAME   │    one space across the side, and one in each row
 *     │──────────────────── │
 *     │ phone │   address   │
 *     └─────────────────────┘
 */
export function sectionSpaces(
  side: Omit<PlanSide, 'spaces'>,
  taken: readonly SectionSpace[] = [],
): SectionSpace[] {
  const letterings = [
    ...side.noSeamAreas.map(({ rect }) => rect),
    ...side.lettering.flatMap(({ words }) => words),
  ];
  const whole: Rect = { x: 0, y: 0, width: side.width, height: side.height };
  const found = SEAM_AXES.flatMap((axis) => spacesOf(side, letterings, whole, axis, 1));
  const rows = rowSpaces(side);
  return SEAM_AXES.flatMap((axis) => {
    const best: SectionSpace[] = taken.filter((space) => space.axis === axis);
    const room = best.length + MOST_SPACES_EACH_WAY;
    const sorted = found.filter((space) => space.axis === axis).sort((a, b) => b.worth - a.worth);
    for (const { at } of [...rows.filter((space) => space.axis === axis), ...sorted]) {
      if (best.length >= room) break;
      if (!best.some((other) => Math.abs(other.at - at) < SAME_SPACE_MM)) best.push({ axis, at });
    }
    return best.filter((space) => !taken.includes(space));
  });
}

/** The spaces that run across a rectangle, and those of the rows or columns between them. */
function spacesOf(
  side: Omit<PlanSide, 'spaces'>,
  letterings: readonly Rect[],
  within: Rect,
  axis: SeamAxis,
  deeper: number,
): Space[] {
  const area = axisRect(axis, within);
  const across = area.acrossEnd - area.acrossStart;
  const taken = letterings
    .map((rect) => axisRect(axis, rect))
    .filter((r) => r.acrossEnd > area.acrossStart && r.acrossStart < area.acrossEnd)
    .filter((r) => r.alongEnd > area.alongStart && r.alongStart < area.alongEnd)
    .sort((a, b) => a.alongStart - b.alongStart);
  if (taken.length === 0) return [];
  const seen = seamSeen(jointFromLap(firstOf(side.laps), axis, side.front));
  const spaces: Space[] = [];
  const parts: { readonly from: Mm; readonly to: Mm }[] = [];
  const add = (from: Mm, to: Mm, ends: readonly ('from' | 'to')[]): void => {
    const [first, last] = [
      from + (ends.includes('from') ? seen.before : 0),
      to - (ends.includes('to') ? seen.after : 0),
    ];
    if (last < first) return;
    const clear = Math.min(CLEAR_OF_LETTERS_MM, (last - first) / 2);
    const worth = (to - from) * across;
    for (const at of ends.map((end) =>
      end === 'from' ? Math.ceil(first + clear) : Math.floor(last - clear),
    )) {
      if (at >= first && at <= last) spaces.push({ axis, at, worth });
    }
  };
  let from = area.alongStart;
  let partFrom = area.alongStart;
  for (const { alongStart, alongEnd } of taken) {
    if (alongStart > from) {
      const isFirst = from === area.alongStart;
      add(from, alongStart, isFirst ? ['to'] : ['from', 'to']);
      const middle = (from + alongStart) / 2;
      if (!isFirst) parts.push({ from: partFrom, to: middle });
      if (!isFirst) partFrom = middle;
    }
    from = Math.max(from, alongEnd);
  }
  if (from < area.alongEnd) add(from, area.alongEnd, ['from']);
  parts.push({ from: partFrom, to: area.alongEnd });
  if (deeper === 0 || parts.length < 2) return spaces;
  const other = axis === 'vertical' ? 'horizontal' : 'vertical';
  const inner = parts.flatMap((part) => {
    const rect =
      axis === 'vertical'
        ? { ...within, x: part.from, width: part.to - part.from }
        : { ...within, y: part.from, height: part.to - part.from };
    return spacesOf(side, letterings, rect, other, deeper - 1);
  });
  return [...spaces, ...inner];
}

/** Equal rows of film, where one panel cannot run along the whole side. */
function rowSpaces(side: Omit<PlanSide, 'spaces'>): SectionSpace[] {
  const { width, height, bleed, border, longestPanel = Number.POSITIVE_INFINITY } = side;
  const longest = Math.min(longestPanel, ...side.rolls.map((roll) => roll.longest));
  if (width + bleed.left + bleed.right + 2 * border <= longest) return [];
  const { under, over } = firstOf(side.laps);
  const widest = Math.max(...side.rolls.map(rollUsableWidth)) - 2 * border - under - over;
  if (widest <= 0) return [];
  const rows = Math.ceil((height + bleed.top + bleed.bottom) / widest);
  return Array.from({ length: Math.min(rows, MOST_SPACES_EACH_WAY) - 1 }, (_, index) => ({
    axis: 'horizontal' as const,
    at: Math.round(((index + 1) * sideLength(side as PlanSide, 'horizontal')) / rows),
  }));
}
