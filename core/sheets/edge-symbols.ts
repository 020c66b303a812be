import { BLACK, type Item, THICK } from '../drawing/drawing.ts';
import type { Edge, Point } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';

/** Action of the crew at an edge of a panel. */
export type EdgeAct = 'trim' | 'covered' | 'tuck' | 'wrap' | 'end';

/**
 * The symbol of an action in a square, drawn for a top edge with the panel below and turned for the other edges. The
 * shapes are distinct on any printer:
 *
 *     trim        covered      tuck         wrap         end
 *     ─ ▲ ─ ▲ ─   ▀▀▀▀▀▀▀▀     ╭──╮         ╭──╮ gap     ━━━━━━━━
 *                 ────────      │  ▼         │  │
 */
export function edgeSymbol(act: EdgeAct, edge: Edge, at: Point, sizeMm: Mm, tag: string): Item[] {
  const turned = (u: number, v: number): Point => {
    const [x, y] = turnedUnit(edge, u, v);
    return { x: at.x + x * sizeMm, y: at.y + y * sizeMm };
  };
  const line = (from: readonly [number, number], to: readonly [number, number], isDashed = false): Item => ({
    kind: 'line',
    tag,
    from: turned(...from),
    to: turned(...to),
    stroke: isDashed ? { ...THICK, dashMm: [1.2, 0.8] } : THICK,
  });
  const shape = (points: readonly (readonly [number, number])[]): Item => ({
    kind: 'polygon',
    tag,
    points: points.map((point) => turned(...point)),
    fill: BLACK,
  });
  switch (act) {
    case 'trim':
      return [
        line([0, 0.5], [1, 0.5], true),
        shape([
          [0.3, 0.1],
          [0.7, 0.1],
          [0.5, 0.5],
        ]),
      ];
    case 'covered':
      return [
        shape([
          [0, 0.1],
          [1, 0.1],
          [1, 0.5],
          [0, 0.5],
        ]),
        line([0, 0.8], [1, 0.8]),
      ];
    case 'tuck':
      return [
        line([0.2, 1], [0.2, 0.2]),
        line([0.2, 0.2], [0.75, 0.2]),
        line([0.75, 0.2], [0.75, 0.6]),
        shape([
          [0.5, 0.55],
          [1, 0.55],
          [0.75, 0.95],
        ]),
      ];
    case 'wrap':
      return [
        line([0.15, 0.95], [0.15, 0.15]),
        line([0.15, 0.15], [0.85, 0.15]),
        line([0.85, 0.15], [0.85, 0.95]),
      ];
    case 'end':
      return [line([0, 0.5], [1, 0.5])];
  }
}

function turnedUnit(edge: Edge, u: number, v: number): readonly [number, number] {
  switch (edge) {
    case 'top':
      return [u, v];
    case 'bottom':
      return [u, 1 - v];
    case 'left':
      return [v, u];
    case 'right':
      return [1 - v, u];
  }
}
