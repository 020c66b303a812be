/** Measures the inside of a shape to tell how it was drawn. */
import type { Shape } from './stable-shapes.ts';
import type { Plane } from './upright-strokes.ts';

/** Samples along the longer side of a shape; enough to distinguish strokes from blots. */
const SAMPLES = 32;

export interface StrokeForm {
  /** Area ÷ outline ÷ greatest distance from the outline: 1 for a line of constant width, half of that for a disc. */
  readonly evenness: number;
  /**
   * Mean ÷ greatest distance from the outline: a half for a line of constant width, a third for a shape that narrows to
   * points.
   */
  readonly fullness: number;
  /** Share of it that stays the same when turned by 180°: all of a disc, a ring or a bar, little of most letters. */
  readonly sameTurned: number;
}

/** Returns the form of shapes of a plane, computed once per shape. */
export function strokeForms(plane: Plane): (shape: Shape) => StrokeForm {
  const known = new Map<Shape, StrokeForm>();
  return (shape) => {
    const form = known.get(shape) ?? strokeForm(plane, shape);
    known.set(shape, form);
    return form;
  };
}

function strokeForm({ plane, width }: Plane, shape: Shape): StrokeForm {
  const { left, top, right, bottom, isDark, cut } = shape;
  const step = Math.max(1, Math.max(right - left, bottom - top) / SAMPLES);
  const across = Math.max(1, Math.round((right - left) / step)) + 2;
  const down = Math.max(1, Math.round((bottom - top) / step)) + 2;
  const depth = new Float32Array(across * down);
  for (let y = 1; y < down - 1; y++) {
    const row = Math.min(bottom - 1, Math.floor(top + (y - 0.5) * step)) * width;
    for (let x = 1; x < across - 1; x++) {
      const value = plane[row + Math.min(right - 1, Math.floor(left + (x - 0.5) * step))]!;
      if (value < cut === isDark) depth[y * across + x] = 1e6;
    }
  }
  spreadDepth(depth, across);
  let inside = 0;
  let edges = 0;
  let sum = 0;
  let most = 0;
  let both = 0;
  const last = depth.length - 1;
  for (let i = across; i < depth.length - across; i++) {
    const here = depth[i]!;
    if (here === 0) continue;
    inside++;
    sum += here;
    if (depth[last - i] !== 0) both++;
    if (here > most) most = here;
    if (depth[i - 1] === 0) edges++;
    if (depth[i + 1] === 0) edges++;
    if (depth[i - across] === 0) edges++;
    if (depth[i + across] === 0) edges++;
  }
  if (inside === 0) return { evenness: 0, fullness: 0, sameTurned: 1 };
  return {
    evenness: inside / edges / (most - 0.5 + 0.5 / SAMPLES),
    fullness: sum / inside / most,
    sameTurned: both / (2 * inside - both),
  };
}

/** Distances from the outside, in two passes: a step is 1 along rows and columns and √2 diagonally. */
function spreadDepth(depth: Float32Array, across: number): void {
  for (let i = across + 1; i < depth.length; i++) {
    if (depth[i] !== 0)
      depth[i] = nearest(
        depth[i]!,
        depth[i - 1]!,
        depth[i - across]!,
        depth[i - across - 1]!,
        depth[i - across + 1]!,
      );
  }
  for (let i = depth.length - across - 2; i >= 0; i--) {
    if (depth[i] !== 0)
      depth[i] = nearest(
        depth[i]!,
        depth[i + 1]!,
        depth[i + across]!,
        depth[i + across + 1]!,
        depth[i + across - 1]!,
      );
  }
}

const nearest = (here: number, beside: number, above: number, slantOne: number, slantOther: number): number =>
  Math.min(here, Math.min(beside, above) + 1, Math.min(slantOne, slantOther) + Math.SQRT2);
