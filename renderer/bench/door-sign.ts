/** How elevations show that a door opens: a peak at its hinges, an arrow the way it slides. */
import type { Door } from '../../core/job/schema.ts';
import type { Edge, Point, Rect } from '../../core/measure/rect.ts';

/** The lines of the sign, each from point to point. */
export function doorSign({ motion }: Door, { x, y, width, height }: Rect): readonly (readonly Point[])[] {
  // Of a motion to the right, in shares of the door; the others are that one turned.
  const points = (edge: Edge, shares: readonly (readonly [number, number])[]): readonly Point[] =>
    shares.map(([along, aside]) => {
      const [fx, fy] = {
        right: [along, aside],
        left: [1 - along, aside],
        bottom: [aside, along],
        top: [aside, 1 - along],
      }[edge] as [number, number];
      return { x: x + width * fx, y: y + height * fy };
    });
  if (motion.kind === 'hinged') return [points(motion.at, HINGED)];
  return SLIDING.map((line) => points(motion.toward, line));
}

const HINGED = [
  [0, 0],
  [1, 0.5],
  [0, 1],
] as const;

const SLIDING = [
  [
    [0.25, 0.5],
    [0.75, 0.5],
  ],
  [
    [0.65, 0.44],
    [0.75, 0.5],
    [0.65, 0.56],
  ],
] as const;
