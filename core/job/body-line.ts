/** The course of a body line: straight, sloped or curved. */
import type { Interval } from '../measure/interval.ts';
import { type DrawnPath, isPathStraight, type Path, pathExtent } from '../measure/path.ts';
import { firstOf, lastOf } from '../measure/present.ts';
import type { Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { rectAlong } from './region.ts';
import type { BodyLine, LineShape } from './schema.ts';

/** Extent of a line along its direction; undefined for the whole side. */
export function bodyLineExtent({ extent, shape }: Pick<BodyLine, 'extent' | 'shape'>): Interval | undefined {
  if (shape) return { start: firstOf(shape).alongMm, end: lastOf(shape).alongMm };
  return extent && { start: extent.fromMm, end: extent.toMm };
}

export const bodyLineSpan = (
  line: Pick<BodyLine, 'direction' | 'extent' | 'shape'>,
  outline: Rect<'finished'>,
): Interval => bodyLineExtent(line) ?? rectAlong(outline, line.direction);

/** A path in a line's stored form, relative to its beginning. */
export function lineFromPath(path: Path): { readonly atMm: Mm; readonly shape: LineShape } {
  const atMm = firstOf(path).across;
  return { atMm, shape: path.map(({ along, across }) => ({ alongMm: along, offMm: across - atMm })) };
}

/** The position of a drawn or traced line, from its beginning to its end; without slope, it has no shape. */
export function lineFromDrawn({
  axis,
  path,
}: DrawnPath): Pick<BodyLine, 'direction' | 'atMm' | 'extent' | 'shape'> {
  const { start, end } = pathExtent(path);
  return isPathStraight(path)
    ? { direction: axis, atMm: firstOf(path).across, extent: { fromMm: start, toMm: end } }
    : { direction: axis, ...lineFromPath(path) };
}

/** The mirrored shape of a line: a vertical one across, a horizontal one from its other end. */
export const lineShapeMirrored = (shape: LineShape, direction: BodyLine['direction'], axis: Mm): LineShape =>
  direction === 'vertical'
    ? shape.map(({ alongMm, offMm }) => ({ alongMm, offMm: -offMm }))
    : shape.map(({ alongMm, offMm }) => ({ alongMm: axis - alongMm, offMm })).toReversed();
