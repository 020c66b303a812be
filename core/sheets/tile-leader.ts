/** A line from a tile to its target, with a dot at its end. */

import { BLACK, type Item, PAPER, type Stroke } from '../drawing/drawing.ts';
import type { Point, Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';

const LEADER_STROKES: readonly Stroke[] = [
  { widthMm: 1, black: PAPER.black },
  { widthMm: 0.35, black: 1 },
];

const DOT_MM: Mm = 0.7;

export interface Leader {
  readonly from: Point;
  readonly to: Point;
  readonly lengthMm: Mm;
  /** Whether it is clear of other text. */
  readonly isFree: boolean;
}

/** The area of the picture that a line covers. */
export const leaderPath = ({ from, to }: Pick<Leader, 'from' | 'to'>): Rect => ({
  x: Math.min(from.x, to.x),
  y: Math.min(from.y, to.y),
  width: Math.max(0.1, Math.abs(from.x - to.x)),
  height: Math.max(0.1, Math.abs(from.y - to.y)),
});

/** A line with a dot on its target; none where the tile is on the target. */
export function leaderItems({ from, to, lengthMm }: Omit<Leader, 'isFree'>, tag: string): Item[] {
  if (lengthMm < DOT_MM) return [];
  const corners = [
    [-1, 0],
    [0, -1],
    [1, 0],
    [0, 1],
  ] as const;
  return [
    ...LEADER_STROKES.map((stroke): Item => ({ kind: 'line', tag, from, to, stroke })),
    {
      kind: 'polygon',
      tag,
      points: corners.map(([x, y]) => ({ x: to.x + x * DOT_MM, y: to.y + y * DOT_MM })),
      fill: BLACK,
    },
  ];
}
