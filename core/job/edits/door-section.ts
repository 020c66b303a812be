/** Makes the panels of a door a section with vertical seams, and body-gap seams at its gaps. */
import { intervalIntersection, intervalLength } from '../../measure/interval.ts';
import type { Outline } from '../../measure/outline.ts';
import { pathMean } from '../../measure/path.ts';
import { itemAt, present, valueAt } from '../../measure/present.ts';
import { EDGES, type Edge, type Rect, rectFromEdges, rectIntersection } from '../../measure/rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../../measure/units.ts';
import { doorLineId, doorLines, doorOutline } from '../door.ts';
import { jobFilm, sideFilmId } from '../job-films.ts';
import { jobAllowances, jointDefault } from '../joint-default.ts';
import { linePath } from '../line-path.ts';
import {
  type PlacedRegion,
  type RegionPlace,
  rectAcross,
  rectAlong,
  regionsPlaced,
  regionWithJoints,
  splitPartPlaces,
} from '../region.ts';
import type { BodyLine, Door, Job, Joint, Region, Side } from '../schema.ts';
import { sideOutline } from '../side-outline.ts';
import { type EditResult, editProblem, sideUnknown } from './edit.ts';
import { layoutReplace } from './layout-replace.ts';
import { regionTidied } from './seam-edits.ts';

/** How far film extends into a gap from each of its edges. Common practice, no source. */
const GAP_EXTENSION_MM: Mm = 15;

/**
 * Divides the smallest part of the layout that contains a door anew: seams at the edges of its gap cross that part,
 * with as few vertical panels between them as the printer can print. The rest of the side keeps its seams. Where the
 * door ends nearer to an edge of the part than the smallest panel, its panels extend to that edge.
 */
export function doorSection(
  job: Job,
  { sideId, doorId }: { readonly sideId: string; readonly doorId: string },
): EditResult {
  const side = job.sides.find(({ id }) => id === sideId);
  if (!side) return sideUnknown(sideId);
  const door = side.doors?.find(({ id }) => id === doorId);
  if (!door) return doorUnknown(side, doorId);
  const whole = sideOutline(side, job.scale);
  const place = doorOutline(door);
  const shown = place && rectIntersection(place.rect, whole);
  if (!place || !shown) {
    return editProblem(
      'item-unknown',
      `The door “${door.name}” lies outside side ${side.code}.`,
      'Move it onto the side first.',
    );
  }
  const least = job.limits.minPanelMm;
  const holder = present(
    regionsPlaced(side.layout, whole).findLast((region) => isHolder(region, door, shown, whole, least)),
    'The region that holds a door',
  );
  const section = sectionAround(job, side, door, holder, least);
  const layout = regionTidied(regionSwapped(side.layout, holder.region, section));
  return layoutReplace(job, { sideId, layout: regionWithGaps(layout, whole, door) });
}

export const doorUnknown = (side: Side, doorId: string) =>
  editProblem('item-unknown', `Side ${side.code} has no door “${doorId}”.`, 'Select a door of this side.');

/** Distance of a rectangle's edges inside another; negative outside it. */
const insets = (inner: Rect, outer: Rect): Readonly<Record<Edge, Mm>> => ({
  top: inner.y - outer.y,
  right: outer.x + outer.width - inner.x - inner.width,
  bottom: outer.y + outer.height - inner.y - inner.height,
  left: inner.x - outer.x,
});

/**
 * Whether a region contains the door. Each straight edge of the door must be on an edge of the region or at least the
 * smallest panel away from it; at an edge of the side it may be nearer.
 */
function isHolder({ rect }: PlacedRegion, { gap }: Door, place: Rect, whole: Rect, least: Mm): boolean {
  const [own, ofSide] = [insets(place, rect), insets(rect, whole)];
  return EDGES.every((edge) => {
    const inset = own[edge];
    const isSideEdge = ofSide[edge] <= LENGTH_TOLERANCE_MM;
    const isOnEdge = Math.abs(inset) <= LENGTH_TOLERANCE_MM && !gap[edge].shape;
    return inset >= least || isOnEdge || (isSideEdge && inset >= -LENGTH_TOLERANCE_MM);
  });
}

function sectionAround(job: Job, side: Side, door: Door, holder: PlacedRegion, least: Mm): Region {
  const lines = doorLines(door);
  const outline = present(doorOutline(door), 'The outline of a door');
  const own = insets(outline.rect, holder.rect);
  const line = (edge: Edge): BodyLine | undefined =>
    own[edge] >= least ? lines.find(({ id }) => id === doorLineId(door.id, edge)) : undefined;
  const [top, right, bottom, left] = EDGES.map(line);
  const seamsPast = (edges: readonly (BodyLine | undefined)[], lengthMm: Mm) =>
    edges.filter(Boolean).length * lengthMm;
  // Seams of the first split run over the whole region, so the direction with less seam length off the gap comes first.
  const isUprightFirst =
    seamsPast([left, right], holder.rect.height - outline.rect.height) <=
    seamsPast([top, bottom], holder.rect.width - outline.rect.width);
  const cut = (window: Rect<'finished'>) => regionWithin(holder.region, holder, window, least);
  const gap = gapJoint(job, side);
  const { x, y } = holder.rect;
  const [farX, farY] = [x + holder.rect.width, y + holder.rect.height];
  const across = {
    left: left ? placeOf(left, outline, 'left') : x,
    right: right ? placeOf(right, outline, 'right') : farX,
    top: top ? placeOf(top, outline, 'top') : y,
    bottom: bottom ? placeOf(bottom, outline, 'bottom') : farY,
  };
  const inner = uprights(job, side, rectFromEdges(across.left, across.top, across.right, across.bottom));
  const columns = (from: Mm, to: Mm, middle: Region): Region => ({
    kind: 'split',
    seams: 'vertical',
    joints: [left, right].flatMap((each) => (each ? [gap(each)] : [])),
    parts: [
      ...(left ? [cut(rectFromEdges(x, from, across.left, to))] : []),
      middle,
      ...(right ? [cut(rectFromEdges(across.right, from, farX, to))] : []),
    ],
  });
  const rows = (from: Mm, to: Mm, middle: Region): Region => ({
    kind: 'split',
    seams: 'horizontal',
    joints: [top, bottom].flatMap((each) => (each ? [gap(each)] : [])),
    parts: [
      ...(top ? [cut(rectFromEdges(from, y, to, across.top))] : []),
      middle,
      ...(bottom ? [cut(rectFromEdges(from, across.bottom, to, farY))] : []),
    ],
  });
  return isUprightFirst
    ? columns(y, farY, rows(across.left, across.right, inner))
    : rows(x, farX, columns(across.top, across.bottom, inner));
}

const placeOf = (line: BodyLine, outline: Outline, edge: Edge): Mm =>
  pathMean(linePath(line), outline.spans[edge]);

const gapJoint =
  (job: Job, side: Side) =>
  ({ id, direction, atMm, shape }: BodyLine): Joint =>
    jointDefault(
      { id, atMm },
      direction,
      side.front,
      {
        kind: 'gap',
        firstMm: GAP_EXTENSION_MM,
        secondMm: GAP_EXTENSION_MM,
        follows: id,
        ...(shape && { shape }),
      },
      jobAllowances(job),
    );

/** The fewest vertical panels of equal width that the printer can print. */
function uprights(job: Job, side: Side, { x, width }: Rect): Region {
  const { output } = job;
  const { printer } = jobFilm(job, sideFilmId(side));
  const printable = printer.rollWidthMm - printer.marginLeftMm - printer.marginRightMm - 2 * output.borderMm;
  const { overlapMm } = jobAllowances(job);
  let count = 1;
  const widest = () => width / count + 2 * GAP_EXTENSION_MM + (count > 1 ? overlapMm : 0);
  while (count < MOST_UPRIGHTS && widest() > printable) count += 1;
  const panel: Region = { kind: 'panel', id: 'p' };
  if (count === 1) return panel;
  return {
    kind: 'split',
    seams: 'vertical',
    joints: Array.from({ length: count - 1 }, (_, index) =>
      jointDefault(
        { id: 'j', atMm: x + (width * (index + 1)) / count },
        'vertical',
        side.front,
        {},
        jobAllowances(job),
      ),
    ),
    parts: Array.from({ length: count }, () => panel),
  };
}

/** Most panels in a door; without a limit, a roll too narrow to print on would loop endlessly. */
const MOST_UPRIGHTS = 20;

/**
 * The part of a region inside a window; parts that would become narrower than the smallest panel join their neighbors.
 */
function regionWithin(region: Region, place: RegionPlace, window: Rect<'finished'>, least: Mm): Region {
  if (region.kind === 'panel') return region;
  const wanted = rectAcross(window, region.seams);
  const places = splitPartPlaces(region, place);
  const widths = places.map(({ rect }) => {
    const shared = intervalIntersection(rectAcross(rect, region.seams), wanted);
    return shared ? intervalLength(shared) : 0;
  });
  const kept = widths.flatMap((width, index) => (width >= least ? [index] : []));
  const [first = widths.indexOf(Math.max(...widths)), ...rest] = kept;
  const part = (index: number) =>
    regionWithin(itemAt(region.parts, index), itemAt(places, index), window, least);
  return {
    ...region,
    joints: rest.map((index) => itemAt(region.joints, index - 1)),
    parts: [first, ...rest].map(part),
  };
}

function regionSwapped(region: Region, old: Region, by: Region): Region {
  if (region === old) return by;
  if (region.kind === 'panel') return region;
  return { ...region, parts: region.parts.map((part) => regionSwapped(part, old, by)) };
}

/** Existing seams on an edge of the door become body-gap seams where they do not extend past it. */
function regionWithGaps(layout: Region, whole: Rect<'finished'>, door: Door): Region {
  const lines = doorLines(door);
  const places = new Map<Joint, Rect<'finished'>>();
  for (const { region, rect } of regionsPlaced(layout, whole)) {
    if (region.kind === 'split') for (const joint of region.joints) places.set(joint, rect);
  }
  return regionWithJoints(layout, (joint, split) => {
    const along = rectAlong(valueAt(places, joint), split.seams);
    const isOn = lines.some(
      ({ direction, atMm, extent }) =>
        direction === split.seams &&
        extent &&
        !joint.shape &&
        Math.abs(joint.atMm - atMm) <= ON_LINE_MM &&
        along.start >= extent.fromMm - ON_LINE_MM &&
        along.end <= extent.toMm + ON_LINE_MM,
    );
    return isOn && joint.kind === 'lap'
      ? { ...joint, kind: 'gap', firstMm: GAP_EXTENSION_MM, secondMm: GAP_EXTENSION_MM }
      : joint;
  });
}

const ON_LINE_MM: Mm = 0.5;
