/** Where a tape finds a line with shape. */
import type { Interval } from '../measure/interval.ts';
import { type Path, type PathPoint, pathPart, pathSimplified, pathValue } from '../measure/path.ts';
import type { Mm } from '../measure/units.ts';

/** Straight lines from place to place stay this near to the line. */
const NEAR_MM: Mm = 2;
const MOST_BETWEEN = 10;
const EVERY_MM: Mm = 250;

/**
 * Both ends of a line and at most ten places between, where straight lines from one to the next stay within 2 mm; where
 * ten do not suffice, one every 250 mm.
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
