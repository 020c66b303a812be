/** Whether each seam is on ground where film holds, and where few people look. */

import { type AreaShape, areaPoints } from '../../job/area-shape.ts';
import { bodyLineExtent } from '../../job/body-line.ts';
import { sideLines } from '../../job/door.ts';
import { linePath } from '../../job/line-path.ts';
import { rectAcross, rectAlong } from '../../job/region.ts';
import type { NoFilmArea } from '../../job/schema.ts';
import { rectFromStored } from '../../job/stored-rect.ts';
import type { Seam } from '../../layout/panel.ts';
import { jointFilmEdges, placesBesideRow, rivetRowKeep } from '../../layout/rivet-row.ts';
import { nearestBodyLine } from '../../layout/seam-datums.ts';
import { seamAcross, seamPath, seamWithin, seamWithinArea } from '../../layout/seam-line-place.ts';
import { type Interval, intervalIntersection } from '../../measure/interval.ts';
import { sentence } from '../../measure/list-text.ts';
import {
  type Path,
  pathMoved,
  pathPart,
  pathRange,
  pathsDistance,
  pointFromAxis,
} from '../../measure/path.ts';
import { polygonPathDistance } from '../../measure/polygon.ts';
import { edgeLengthsAll, rectGrown } from '../../measure/rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../../measure/units.ts';
import { type Finding, finding, withFigure } from '../finding.ts';
import { type SideContext, seamName } from './finding-context.ts';

/** A seam this near to a body line was probably meant to be on it. Common practice, no source. */
export const SEAM_NEAR_LINE_MM = 50;
/** Less than a tape shows: the seam counts as on the line. */
export const SEAM_ON_LINE_MM = 1;

export function seamPlaceFindings(context: SideContext): Finding[] {
  return context.layout.seams
    .filter((seam) => seam.firstPanelIds.length > 0 || seam.secondPanelIds.length > 0)
    .flatMap((seam) => [
      ...noSeamAreaFindings(seam, context),
      ...noFilmAreaFindings(seam, context),
      ...groundFindings(seam, context),
      ...bodyLineFindings(seam, context),
      ...rivetRowFindings(seam, context),
    ]);
}

/** Where `seam` meets an area: its line is inside, its lap band extends into it, or neither. */
function meetingWith(seam: Seam, area: AreaShape): 'line' | 'band' | 'none' {
  const rect = rectFromStored<'finished'>(area.rect);
  const shared = intervalIntersection(seam.span, rectAlong(rect, seam.direction));
  if (!shared) return 'none';
  if (seamWithinArea(seam, area).length > 0) return 'line';
  if (seam.joint !== 'lap') return 'none';
  const [before, after] = [-seam.secondMm / seam.squareShare, seam.firstMm / seam.squareShare];
  if (area.outline) {
    const reaches = [before, after].some((by) => seamWithinArea(seamMoved(seam, by), area).length > 0);
    return reaches ? 'band' : 'none';
  }
  const across = rectAcross(rect, seam.direction);
  const lies = seamAcross(seam, shared);
  const band: Interval = { start: lies.start + before, end: lies.end + after };
  return intervalIntersection(band, across) ? 'band' : 'none';
}

const seamMoved = (seam: Seam, by: Mm): Seam => ({
  ...seam,
  at: seam.at + by,
  ...(seam.path && { path: pathMoved(seam.path, { across: by }) }),
});

/** Keeps PL1 and PL2. */
function noSeamAreaFindings(seam: Seam, context: SideContext): Finding[] {
  return context.side.noSeamAreas.flatMap((area): Finding[] => {
    const rect = rectFromStored<'finished'>(area.rect);
    const where = { sideId: seam.sideId, seamId: seam.id, itemId: area.id, area: rect };
    const meeting = meetingWith(seam, area);
    if (meeting === 'none') return [];
    if (meeting === 'band') {
      return [
        finding(
          'lap-in-no-seam-area',
          'note',
          where,
          `The overlap at ${seamName(context, seam)} reaches into the no-seam area “${area.name}”: the step of the film underneath may show there.`,
          'Move the seam further away, or make the overlap narrower on that side.',
        ),
      ];
    }
    return [
      withFigure(
        seam.at,
        finding(
          'seam-through-no-seam-area',
          'warn',
          where,
          `${sentence(seamName(context, seam))} crosses the no-seam area “${area.name}”.`,
          'Move the seam out of the area, or accept that lettering will have to register across it.',
        ),
      ),
    ];
  });
}

/**
 * Film lifts first where a cut edge runs close beside a no-film area. A seam that crosses a no-film area squarely ends
 * at two of its edges, which is usual and gets only a note. Keeps PL3 and PL4.
 */
function noFilmAreaFindings(seam: Seam, context: SideContext): Finding[] {
  return context.side.noFilmAreas.flatMap((noFilmArea): Finding[] => {
    const rect = rectFromStored<'finished'>(noFilmArea.rect);
    const where = { sideId: seam.sideId, seamId: seam.id, itemId: noFilmArea.id, area: rect };
    if (meetingWith(seam, noFilmArea) === 'line') {
      return [
        finding(
          'seam-crosses-no-film-area',
          'note',
          where,
          `${sentence(seamName(context, seam))} crosses the ${noFilmArea.kind.replace('-', ' ')} “${noFilmArea.name}” and ends on its edges.`,
          'Press the film down well where the seam meets the edges of the no-film area.',
        ),
      ];
    }
    const distance = distanceBeside(seam, noFilmArea);
    if (distance === undefined) return [];
    return [
      withFigure(
        distance,
        finding(
          'seam-near-no-film-area',
          'warn',
          where,
          `${sentence(seamName(context, seam))} runs ${context.length(distance)} beside the ${noFilmArea.kind.replace('-', ' ')} “${noFilmArea.name}”, within its edge of ${context.length(noFilmArea.clearanceMm)}, where film lifts first.`,
          'Move the seam away from the no-film area, or into it.',
        ),
      ),
    ];
  });
}

/** Distance between a seam and a no-film area that it does not cross; undefined where the seam keeps clear of it. */
function distanceBeside(seam: Seam, area: NoFilmArea): Mm | undefined {
  const { clearanceMm } = area;
  if (clearanceMm <= LENGTH_TOLERANCE_MM) return undefined;
  const rect = rectFromStored<'finished'>(area.rect);
  const frame = rectGrown(rect, edgeLengthsAll(clearanceMm));
  if (seamWithin(seam, frame).length === 0) return undefined;
  if (area.outline) {
    const corners = areaPoints(area).map((point) => pointFromAxis(seam.direction, point));
    const distance = polygonPathDistance(corners, pathPart(seamPath(seam), seam.span));
    return distance < clearanceMm - LENGTH_TOLERANCE_MM ? distance : undefined;
  }
  const across = rectAcross(rect, seam.direction);
  const shared = intervalIntersection(seam.span, rectAlong(frame, seam.direction)) ?? seam.span;
  const lies = seamAcross(seam, shared);
  return Math.max(across.start - lies.end, lies.start - across.end, 0);
}

/** Keeps PL5. */
function groundFindings(seam: Seam, context: SideContext): Finding[] {
  return context.side.ground.flatMap((area): Finding[] => {
    const rect = rectFromStored<'finished'>(area.rect);
    if (meetingWith(seam, area) !== 'line') return [];
    const isRecess = area.kind === 'recess';
    return [
      finding(
        'seam-through-difficult-ground',
        isRecess ? 'warn' : 'note',
        { sideId: seam.sideId, seamId: seam.id, itemId: area.id, area: rect },
        `${sentence(seamName(context, seam))} runs through the ${area.kind} “${area.name}”.`,
        isRecess
          ? 'Move the seam out of the recess: film under tension there pulls the overlap open.'
          : 'Move the seam to a flatter place, or allow time to register it on the curve.',
      ),
    ];
  });
}

/** Keeps PL6. */
function bodyLineFindings(seam: Seam, context: SideContext): Finding[] {
  if (seam.path) return [];
  const nearest = nearestBodyLine(
    seam,
    sideLines(context.side).filter(({ kind }) => kind !== 'rivet-row'),
  );
  if (!nearest || nearest.distanceMm <= SEAM_ON_LINE_MM || nearest.distanceMm > SEAM_NEAR_LINE_MM) return [];
  return [
    finding(
      'seam-near-body-line',
      'note',
      { sideId: seam.sideId, seamId: seam.id, itemId: nearest.line.id },
      `${sentence(seamName(context, seam))} lies ${context.length(nearest.distanceMm)} from the ${nearest.line.kind.replace('-', ' ')} “${nearest.line.name}” at ${context.length(nearest.atMm)}, but not on it.`,
      `Move the seam to ${context.length(nearest.atMm)}, where the line hides it.`,
    ),
  ];
}

/**
 * Film lifts where it ends beside a rivet head, so both film edges along a seam, the visible and the covered one, keep
 * their distance. Keeps PL7.
 */
function rivetRowFindings(seam: Seam, context: SideContext): Finding[] {
  const { job, side, length } = context;
  const { rivetClearanceMm, rivetHeadMm } = job.limits;
  const edges = jointFilmEdges({ ...seam, kind: seam.joint });
  if (edges.length === 0) return [];
  const keep = rivetRowKeep(job);
  return side.bodyLines.flatMap((line): Finding[] => {
    if (line.kind !== 'rivet-row' || line.direction !== seam.direction) return [];
    const extent = bodyLineExtent(line);
    const shared = extent ? intervalIntersection(extent, seam.span) : seam.span;
    if (!shared) return [];
    const row = pathRange(linePath(line), shared);
    const nearest = seam.path
      ? Math.min(...edges.map((edge) => shapedDistance(seam, edge, linePath(line), shared)))
      : Math.min(...edges.map((edge) => Math.max(row.start - seam.at - edge, seam.at + edge - row.end, 0)));
    if (nearest >= keep - SEAM_ON_LINE_MM / 2) return [];
    const apart = nearest - rivetHeadMm / 2;
    const where = apart <= 0 ? 'on the heads' : `${length(apart)} from the heads`;
    const [before, after] = placesBesideRow(row, edges, job);
    return [
      withFigure(
        apart,
        finding(
          'seam-near-rivet-row',
          'warn',
          { sideId: seam.sideId, seamId: seam.id, itemId: line.id },
          `${sentence(seamName(context, seam))} ends film ${where} of the rivet row “${line.name}”, where it lifts first; the shop keeps ${length(rivetClearanceMm)}.`,
          seam.path
            ? `Move the seam ${length(keep)} or more beside the row, from both its film edges.`
            : `Move the seam beside the row: up to ${length(before)}, or from ${length(after)} on.`,
        ),
      ),
    ];
  });
}

/**
 * Distance between a line and the film edge along a seam with shape; the edge is `edgeMm` off the seam, perpendicular
 * to it.
 */
const shapedDistance = (seam: Seam, edgeMm: Mm, line: Path, span: Interval): Mm =>
  pathsDistance(pathMoved(seamPath(seam), { across: edgeMm / seam.squareShare }), line, span);
