/** Places at which to measure a line with shape with a tape. */
import type { Interval } from '../measure/interval.ts';
import { type Path, type PathPoint, pathPart, pathSimplified, pathValue } from '../measure/path.ts';
import type { Mm } from '../measure/units.ts';

/** Greatest distance of the line from straight lines between the places. */
const NEAR_MM: Mm = 2;
const MOST_BETWEEN = 10;
const EVERY_MM: Mm = 250;

/**
 * Both ends of a line and at most ten places between, so that straight lines between them stay within 2 mm; where ten
 * are not enough, one place every 250 mm.
 */
export function tapePlaces(path: Path, span: Interval): readonly PathPoint[] {
  const part = pathPart(path, span);
  const few = pathSimplified(part, NEAR_MM);
  if (few.length <= MOST_BETWEEN + 2) return few;
  const count = Math.max(1, Math.ceil((span.end - span.start) / EVERY_MM));
  return Array.from({ length: count + 1 }, (_, index) => {
    const along = Math.min(span.end, span.start + index * EVERY_MM);
    return { along, across: pathValue(path, along) };
  });
}
