/** How the motion of a door affects seams and overlaps. All of it is common practice, no source. */
import { bodyLineExtent } from '../../job/body-line.ts';
import { doorLineId, doorLines, doorOutline } from '../../job/door.ts';
import { linePath } from '../../job/line-path.ts';
import type { Door, SeamDirection } from '../../job/schema.ts';
import { doorMotionText } from '../../layout/door-text.ts';
import type { Seam } from '../../layout/panel.ts';
import { seamPath } from '../../layout/seam-line-place.ts';
import { intervalIntersection } from '../../measure/interval.ts';
import { sentence } from '../../measure/list-text.ts';
import { edgeAxis, type Outline, pointsHull } from '../../measure/outline.ts';
import {
  type Path,
  pathMoved,
  pathPart,
  pathsDifference,
  pointFromAxis,
  pointOnAxis,
} from '../../measure/path.ts';
import { pathWithinPolygon } from '../../measure/polygon.ts';
import { foundIn, present } from '../../measure/present.ts';
import { type Edge, type Point, rectIntersection } from '../../measure/rect.ts';
import type { Mm } from '../../measure/units.ts';
import { type Finding, finding, withFigure } from '../finding.ts';
import { type SideContext, seamName } from './finding-context.ts';

/** Less than a tape shows: the seam counts as on the gap. */
const ON_GAP_MM: Mm = 1;
/**
 * Within this distance from its hinges, a door or the body beside it may press on an edge of film. Common practice, no
 * source.
 */
const HINGE_CLEAR_MM: Mm = 25;
/** A seam that extends this far past a gap needs another kind of seam there. Common practice, no source. */
const PAST_GAP_MM: Mm = 25;

/** Keeps DOOR4. */
export const doorFindings = (context: SideContext): Finding[] =>
  (context.side.doors ?? []).flatMap((door) => {
    const outline = doorOutline(door);
    if (!outline) return [];
    return context.layout.seams
      .filter((seam) => seam.firstPanelIds.length > 0 && seam.secondPanelIds.length > 0)
      .flatMap((seam) => [
        ...gapFindings(context, door, seam),
        ...motionFindings(context, door, outline, seam),
      ]);
  });

const whereOf = (door: Door, seam: Seam) => ({ sideId: seam.sideId, seamId: seam.id, itemId: door.id });

/**
 * A seam on an edge of the gap: an overlap there blocks the door, and a body-gap seam past the end of the gap has
 * nothing to wrap into.
 */
function gapFindings(context: SideContext, door: Door, seam: Seam): Finding[] {
  return doorLines(door).flatMap((line): Finding[] => {
    const extent = present(bodyLineExtent(line), 'The extent of a door’s edge');
    const shared = intervalIntersection(extent, seam.span);
    if (line.direction !== seam.direction || !shared) return [];
    const { start, end } = pathsDifference(seamPath(seam), linePath(line), shared);
    if (Math.max(-start, end) > ON_GAP_MM) return [];
    if (seam.joint === 'butt') return [];
    if (seam.joint === 'lap') {
      return [
        finding(
          'door-seam-closed',
          'warn',
          whereOf(door, seam),
          `${sentence(seamName(context, seam))} lies on the gap of the door “${door.name}” as an overlap seam, so film runs across the gap and tears when the door opens (common practice, no source).`,
          'Make it a body-gap seam.',
        ),
      ];
    }
    const past = Math.max(extent.start - seam.span.start, 0) + Math.max(seam.span.end - extent.end, 0);
    if (past <= PAST_GAP_MM) return [];
    return [
      withFigure(
        past,
        finding(
          'door-gap-past',
          'warn',
          whereOf(door, seam),
          `${sentence(seamName(context, seam))} is a body-gap seam that runs ${context.length(past)} past the gap of the door “${door.name}”, where no gap takes its film (common practice, no source).`,
          'End the seam at the door, or let the crew overlap the panels there and trim them over cutting tape.',
        ),
      ),
    ];
  });
}

function motionFindings(context: SideContext, door: Door, outline: Outline, seam: Seam): Finding[] {
  const { motion } = door;
  return motion.kind === 'hinged'
    ? hingeFindings(context, door, outline, motion.at, seam)
    : slideFindings(context, door, outline, motion, seam);
}

/** A film edge beside the hinges is pinched each time the door opens. */
function hingeFindings(context: SideContext, door: Door, outline: Outline, at: Edge, seam: Seam): Finding[] {
  if (seam.joint === 'gap' || seam.direction !== edgeAxis(at)) return [];
  const line = foundIn(doorLines(door), ({ id }) => id === doorLineId(door.id, at));
  const shared = intervalIntersection(outline.spans[at], seam.span);
  if (!shared) return [];
  const { start, end } = pathsDifference(seamPath(seam), linePath(line), shared);
  const away = start > 0 ? start : end < 0 ? -end : 0;
  if (away > HINGE_CLEAR_MM || Math.max(-start, end) <= ON_GAP_MM) return [];
  return [
    withFigure(
      away,
      finding(
        'door-hinge-seam',
        'warn',
        whereOf(door, seam),
        `${sentence(seamName(context, seam))} lies ${context.length(away)} from the hinges of the door “${door.name}”, where its edge is pinched each time the door opens (common practice, no source).`,
        `Move the seam into the gap, or ${context.length(HINGE_CLEAR_MM)} away from it.`,
      ),
    ),
  ];
}

/**
 * A sliding part catches on a film edge that faces its motion. A door that passes over the body meets the seams beside
 * its gap; a door that passes under the body moves its seams past the edge of the body.
 */
function slideFindings(
  context: SideContext,
  door: Door,
  outline: Outline,
  motion: Extract<Door['motion'], { kind: 'slides' }>,
  seam: Seam,
): Finding[] {
  const { toward, byMm, passes } = motion;
  if (seam.joint !== 'lap' || seam.direction === edgeAxis(SIDEWAYS[toward])) return [];
  const isAhead = toward === 'right' || toward === 'bottom';
  // Where the second part is on top, its edge faces back: left or up.
  const looksBack = seam.top === 'second';
  const isFacing = passes === 'over' ? looksBack === isAhead : looksBack !== isAhead;
  if (!isFacing) return [];
  const swept = sweptPolygon(outline, toward, byMm, passes);
  const ofDoor = polygonOnAxis(seam.direction, outline.points);
  const within = (polygon: readonly Point[]) => pathWithinPolygon(seamPath(seam), seam.span, polygon);
  const met = within(polygonOnAxis(seam.direction, swept));
  const isMet =
    passes === 'over'
      ? met.length > 0
      : within(ofDoor).some((one) => met.some((other) => intervalIntersection(one, other)));
  if (!isMet) return [];
  const place = rectIntersection(
    pointsHull(swept),
    passes === 'over' ? context.layout.outline : outline.rect,
  );
  const what =
    passes === 'over'
      ? `The door “${door.name}” ${doorMotionText(door, context.side, context.length)}, against the raised edge of ${seamName(context, seam)}`
      : `The door “${door.name}” ${doorMotionText(door, context.side, context.length)}, and carries the raised edge of ${seamName(context, seam)} against the body`;
  return [
    finding(
      'door-scrapes-seam',
      'warn',
      { ...whereOf(door, seam), area: place ?? pointsHull(swept) },
      `${what}, which it would scrape open (common practice, no source).`,
      'Put the other part on top, make it a butt seam, or move the seam out of the way of the door.',
    ),
  ];
}

const SIDEWAYS: Readonly<Record<Edge, Edge>> = { top: 'left', bottom: 'left', left: 'top', right: 'top' };

/**
 * The area that a door passes over lies ahead of its leading edge; the part of the door that passes under the body lies
 * behind it.
 */
function sweptPolygon(
  { edges, spans, rect }: Outline,
  toward: Edge,
  byMm: Mm,
  passes: 'over' | 'under',
): readonly Point<'finished'>[] {
  const isAhead = toward === 'right' || toward === 'bottom';
  const size = toward === 'left' || toward === 'right' ? rect.width : rect.height;
  const by = passes === 'over' ? byMm : -Math.min(byMm, size);
  const line = pathPart(edges[toward], spans[toward]);
  const points = (path: Path) => path.map((point) => pointOnAxis(edgeAxis(toward), point));
  return [...points(line), ...points(pathMoved(line, { across: isAhead ? by : -by })).toReversed()];
}

const polygonOnAxis = (direction: SeamDirection, points: readonly Point[]): readonly Point[] =>
  points.map((point) => {
    const { along, across } = pointFromAxis(direction, point);
    return { x: along, y: across };
  });
