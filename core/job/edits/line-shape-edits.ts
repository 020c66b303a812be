/** Shaped body lines and door edges: drawn point by point, set from a table, bent, straightened. */
import {
  arcPath,
  type Path,
  pathFromTable,
  pathMean,
  pathMoved,
  pathsFromPoints,
} from '../../measure/path.ts';
import { firstOf, lastOf } from '../../measure/present.ts';
import type { Point } from '../../measure/rect.ts';
import { type Result, resultOk } from '../../measure/result.ts';
import type { Mm } from '../../measure/units.ts';
import { bodyLineSpan, lineFromDrawn } from '../body-line.ts';
import { doorWithLine, sideLines } from '../door.ts';
import { linePath } from '../line-path.ts';
import { rectAlong } from '../region.ts';
import type { BodyLine, Job, LineShape, Side } from '../schema.ts';
import {
  type EditProblem,
  type EditResult,
  editProblem,
  lineUnknown,
  type SideInHand,
  sideEdited,
} from './edit.ts';
import { layoutWithLines } from './seam-follow.ts';

/**
 * Adds a line drawn point by point. It is divided where it turns back, and a closed outline becomes four edges; pieces
 * under 50 mm are dropped.
 */
export function bodyLineDraw(
  job: Job,
  { sideId, points }: { readonly sideId: string; readonly points: readonly Point<'finished'>[] },
): EditResult {
  return sideEdited(job, sideId, ({ side, fresh }) => {
    const drawn = pathsFromPoints(points);
    if (drawn.length === 0) {
      return editProblem(
        'line-too-short',
        'A body line needs two points that lie 50 mm (2 in) apart or more.',
        'Draw it longer, or type its points.',
      );
    }
    const added = drawn.map((each, index): BodyLine => {
      const name = index === 0 ? 'Body line' : `Body line ${index + 1}`;
      return { id: fresh('b'), name, kind: 'crease', ...lineFromDrawn(each) };
    });
    return resultOk({ ...side, bodyLines: [...side.bodyLines, ...added] });
  });
}

interface LineOfSide {
  readonly sideId: string;
  readonly itemId: string;
}

/** Sets the points of a line, as positions along and across on the side; at least two. */
export const bodyLinePointsSet = (
  job: Job,
  { points, ...line }: LineOfSide & { readonly points: Path },
): EditResult => lineShaped(job, line, () => pathFromTable(points));

/** Bends a line into an arc whose middle is `riseMm` from the straight line between its ends. */
export const bodyLineBend = (
  job: Job,
  { riseMm, ...line }: LineOfSide & { readonly riseMm: Mm },
): EditResult =>
  lineShaped(job, line, (path, span) => {
    const [from, to] = [firstOf(path).across, lastOf(path).across];
    return arcPath(span, 0, riseMm).map(({ along, across }) => ({
      along,
      across: across + from + ((to - from) * (along - span.start)) / (span.end - span.start),
    }));
  });

/** Makes a line straight at its mean. */
export const bodyLineStraighten = (job: Job, line: LineOfSide): EditResult =>
  lineEdited(job, line, (found, { outline }) => {
    const { shape: _, ...straight } = found;
    const span = bodyLineSpan(found, outline);
    const whole = rectAlong(outline, found.direction);
    const isWhole = span.start <= whole.start && span.end >= whole.end;
    return {
      ...straight,
      atMm: pathMean(linePath(found), span),
      ...(found.shape && !isWhole && { extent: { fromMm: span.start, toMm: span.end } }),
    };
  });

/** A line keeps its position, which its points are measured from. */
const lineShaped = (
  job: Job,
  given: LineOfSide,
  shapeOf: (path: Path, span: { readonly start: Mm; readonly end: Mm }) => Path,
): EditResult =>
  lineEdited(job, given, (line, { outline }) => {
    const { extent: _, ...rest } = line;
    const path = shapeOf(linePath(line), bodyLineSpan(line, outline));
    const shape: LineShape = pathMoved(path, { across: -line.atMm }).map(({ along, across }) => ({
      alongMm: along,
      offMm: across,
    }));
    return { ...rest, shape };
  });

function lineEdited(
  job: Job,
  { sideId, itemId }: LineOfSide,
  edit: (line: BodyLine, inHand: SideInHand) => BodyLine,
): EditResult {
  return sideEdited(job, sideId, (inHand): Result<Side, EditProblem> => {
    const { side } = inHand;
    const line = sideLines(side).find(({ id }) => id === itemId);
    if (!line) return lineUnknown(side, itemId);
    const edited = edit(line, inHand);
    const after: Side = {
      ...side,
      bodyLines: side.bodyLines.map((each) => (each === line ? edited : each)),
      ...(side.doors && { doors: side.doors.map((door) => doorWithLine(door, edited)) }),
    };
    return resultOk({ ...after, layout: layoutWithLines(side, after) });
  });
}
