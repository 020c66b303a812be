/** Whether film runs across a gap of the body, or a body-gap seam leaves its gap. Common practice, no source. */
import { bodyLineExtent } from '../../job/body-line.ts';
import { sideLines } from '../../job/door.ts';
import { linePath } from '../../job/line-path.ts';
import type { BodyLine } from '../../job/schema.ts';
import type { Seam } from '../../layout/panel.ts';
import { seamPath } from '../../layout/seam-line-place.ts';
import { intervalIntersection } from '../../measure/interval.ts';
import { sentence } from '../../measure/list-text.ts';
import { pathPartsWithin, pathsApart, pathsDifference } from '../../measure/path.ts';
import { firstOf, lastOf } from '../../measure/present.ts';
import type { Mm } from '../../measure/units.ts';
import { type Finding, finding, withFigure } from '../finding.ts';
import { type SideContext, seamName } from './finding-context.ts';

/** Less than a tape shows: the seam counts as on the gap. */
const ON_GAP_MM: Mm = 1;

/** Keeps DOOR6. */
export const gapFindings = (context: SideContext): Finding[] =>
  context.layout.seams
    .filter((seam) => seam.firstPanelIds.length > 0 && seam.secondPanelIds.length > 0)
    .flatMap((seam) =>
      sideLines(context.side)
        .filter((line) => line.kind === 'body-gap' && line.direction === seam.direction)
        .flatMap((line) => acrossFindings(context, seam, line)),
    );

function acrossFindings(context: SideContext, seam: Seam, line: BodyLine): Finding[] {
  const extent = bodyLineExtent(line);
  const shared = extent ? intervalIntersection(extent, seam.span) : seam.span;
  if (!shared || seam.joint === 'butt') return [];
  const apart = pathsDifference(seamPath(seam), linePath(line), shared);
  const farthest = Math.max(-apart.start, apart.end);
  // Film on the gap of a door is reported with the door.
  const isDoor = !context.side.bodyLines.includes(line);
  if (farthest <= ON_GAP_MM && (isDoor || seam.joint === 'gap')) return [];
  const where = { sideId: seam.sideId, seamId: seam.id, itemId: line.id };
  const name = sentence(seamName(context, seam));
  const remedy = 'Let the seam follow the gap as a body-gap seam, or move it clear of the gap.';
  if (seam.joint === 'gap') {
    if (apart.start > ON_GAP_MM || apart.end < -ON_GAP_MM) return [];
    return [
      withFigure(
        farthest,
        finding(
          'seam-leaves-gap',
          'warn',
          where,
          `${name} is a body-gap seam that leaves the gap “${line.name}” by up to ${context.length(farthest)}, where no gap takes its film (common practice, no source).`,
          remedy,
        ),
      ),
    ];
  }
  if (farthest <= ON_GAP_MM) {
    return [
      withFigure(
        shared.end - shared.start,
        finding(
          'seam-across-gap',
          'warn',
          where,
          `${name} lies on the gap “${line.name}” as an overlap seam, so film runs across the gap, where it tears or lifts (common practice, no source).`,
          'Make it a body-gap seam, or move it clear of the gap.',
        ),
      ),
    ];
  }
  // The gap is inside the overlap where it is nearer to the seam than the overlap extends on that side.
  const band = { start: -seam.firstMm / seam.squareShare, end: seam.secondMm / seam.squareShare };
  const over = pathPartsWithin(pathsApart(seamPath(seam), linePath(line), shared), shared, band);
  const length = over.reduce((sum, part) => sum + lastOf(part).along - firstOf(part).along, 0);
  if (length <= ON_GAP_MM) return [];
  return [
    withFigure(
      length,
      finding(
        'seam-across-gap',
        'warn',
        where,
        `${name} runs across the gap “${line.name}”: along ${context.length(length)} its overlap lies over the gap, where film tears or lifts (common practice, no source).`,
        remedy,
      ),
    ),
  ];
}
