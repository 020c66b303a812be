import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { areaAcross } from './area-meeting.ts';
import type { PlanSide } from './plan-side.ts';
import type { SeamAxis } from './seam-place.ts';
import type { SectionEdge } from './section-edges.ts';
import type { SectionPlace, SectionPlaces } from './section-places.ts';
import type { SequenceNoFilmArea } from './sequence-search.ts';

/** Start of sequences of seams of an axis: at edge i along it, between edges k and l across it. */
export interface SectionStrip {
  readonly axis: SeamAxis;
  readonly i: number;
  readonly k: number;
  readonly l: number;
}

/** A sequence from edge i to edge j. */
export interface SectionSequence extends SectionStrip {
  readonly j: number;
}

/** An end of a strip as seen by its sequences. */
interface FrameEnd {
  /** Position of the end; the innermost place of an edge with shape. */
  readonly at: Mm;
  /** How far film extends past it. */
  readonly reach: Mm;
  readonly outermost: Mm;
}

/** A strip as seen by its sequences: each panel is charged for the extremes of shaped edges over the whole sequence. */
interface SequenceFrame {
  /** Whether its panels have at least the smallest width across. */
  readonly isWide: boolean;
  readonly acrossFilm: Mm;
  readonly from: Mm;
  readonly to: Mm;
  readonly start: FrameEnd;
}

/** The edge where a sequence ends, and its position. */
export interface SequenceStop {
  readonly j: number;
  readonly end: FrameEnd;
}

/** Sequences found by one search: those of a strip that start at one edge, in order of their ends. */
export interface SequenceGroup extends SequenceFrame {
  readonly stops: readonly SequenceStop[];
  readonly noFilmAreas: readonly SequenceNoFilmArea[];
}

export interface StripGround {
  readonly side: PlanSide;
  readonly along: readonly SectionEdge[];
  readonly across: readonly SectionEdge[];
  /** `straightStops` of the edges along the axis. */
  readonly stops: readonly SequenceStop[];
  readonly places: SectionPlaces | undefined;
}

/** The stops at straight edges, which are the same for every strip. */
export const straightStops = (along: readonly SectionEdge[]): readonly SequenceStop[] =>
  along.map(({ at, reachBeyond }, j) => ({ j, end: { at, reach: reachBeyond, outermost: at } }));

/**
 * All sequences of a strip that start at an edge. Between straight edges one search finds them all; next to a shaped
 * edge each sequence has film of a different width.
 */
export function stripGroups(ground: StripGround, strip: SectionStrip): SequenceGroup[] {
  const { side, along, across, places, stops } = ground;
  const { axis, i, k, l } = strip;
  if (!places) {
    if (k >= l || i + 1 >= along.length) return [];
    const frame = straightFrame(ground, strip);
    const noFilmAreas = sequenceNoFilmAreas(side, axis, frame.from, frame.to);
    return [{ ...frame, stops: stops.slice(i + 1), noFilmAreas }];
  }
  const frames = [...along.keys()].flatMap((j) => {
    const place = axis === 'vertical' ? places.at(i, j, k, l) : places.at(k, l, i, j);
    return place ? [shapedFrame(places, side, { ...strip, j }, place)] : [];
  });
  const isAcrossShaped = across[k]!.line?.path || across[l]!.line?.path;
  const isAlone = ({ j }: SequenceStop) =>
    isAcrossShaped || (along[j]!.line?.path && side.noFilmAreas.length > 0);
  const row = frames.filter((frame) => !isAlone(frame)).sort((a, b) => a.end.at - b.end.at);
  const alone = frames.filter(isAlone).map((frame) => [frame]);
  return (row.length > 0 ? [row, ...alone] : alone).map((own) => {
    const { isWide, acrossFilm, from, to, start } = own[0]!;
    const areas = sequenceNoFilmAreas(side, axis, from, to);
    const noFilmAreas = areas.map((area) => areaWithin(area, start, own));
    return { isWide, acrossFilm, from, to, start, stops: own, noFilmAreas };
  });
}

function straightFrame({ side, along, across }: StripGround, { i, k, l }: SectionStrip): SequenceFrame {
  const [from, to, start] = [across[k]!, across[l]!, along[i]!];
  return {
    isWide: to.at - from.at >= side.minPanel - LENGTH_TOLERANCE_MM,
    acrossFilm: to.at - from.at + from.reachBefore + to.reachBeyond + 2 * side.border,
    from: from.at,
    to: to.at,
    start: { at: start.at, reach: start.reachBefore, outermost: start.at },
  };
}

function shapedFrame(
  places: SectionPlaces,
  side: PlanSide,
  { axis, i, j, k, l }: SectionSequence,
  place: SectionPlace,
): SequenceFrame & SequenceStop {
  const { seen, needed } = place;
  const [first, last] = [places.around(axis, i, place).end, places.around(axis, j, place).start];
  const isVertical = axis === 'vertical';
  const [start, end] = isVertical ? (['left', 'right'] as const) : (['top', 'bottom'] as const);
  const [from, to] = isVertical ? (['top', 'bottom'] as const) : (['left', 'right'] as const);
  return {
    j,
    isWide: places.isWide(isVertical ? 'horizontal' : 'vertical', k, l, place, side.minPanel),
    acrossFilm: needed[to] - needed[from] + 2 * side.border,
    from: seen[from],
    to: seen[to],
    start: { at: first, reach: first - needed[start], outermost: seen[start] },
    end: { at: last, reach: needed[end] - last, outermost: seen[end] },
  };
}

/**
 * A no-film area as far as panels can be inside it: without panels that begin or end at a shaped edge extending out of
 * the area.
 */
function areaWithin(
  area: SequenceNoFilmArea,
  start: FrameEnd,
  stops: readonly SequenceStop[],
): SequenceNoFilmArea {
  const slack = 2 * LENGTH_TOLERANCE_MM;
  const out = stops.find(({ end }) => end.outermost > area.to + slack && end.at <= area.to);
  return {
    ...area,
    from: start.outermost < area.from - slack && start.at >= area.from ? start.at + slack : area.from,
    to: out ? out.end.at - slack : area.to,
  };
}

/** Where a no-film area covers a strip from side to side. */
const sequenceNoFilmAreas = (side: PlanSide, axis: SeamAxis, from: Mm, to: Mm): SequenceNoFilmArea[] =>
  side.noFilmAreas.flatMap((area) =>
    areaAcross(axis, area, from, to).map(({ start, end }) => ({
      from: start,
      to: end,
      units: 0,
      narrowest: 0,
    })),
  );
