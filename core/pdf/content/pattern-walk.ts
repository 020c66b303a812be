import { PDFStream } from 'pdf-lib';
import { matrixProduct } from '../page/page-space.ts';
import { boxOverlap, EVERYWHERE } from './bounds.ts';
import { type Color, GraphicsState } from './graphics-state.ts';
import type { Painted } from './painted.ts';
import { formInfoFrom } from './resources.ts';
import type { StreamWalk } from './stream-walk.ts';

/** Walks the cells of the tiling patterns that an object is painted with, each the first time it occurs. */
export async function enterPatterns(at: StreamWalk, painted: Painted): Promise<void> {
  if (!at.walk.visitor.entersPatterns) return;
  const { fill, stroke } = painted.state;
  if (painted.isFilled) await enterPattern(at, fill, painted);
  if (painted.isStroked) await enterPattern(at, stroke, painted);
}

async function enterPattern(at: StreamWalk, color: Color, painted: Painted): Promise<void> {
  const { pattern } = color;
  if (pattern === undefined || pattern.kind !== 'tiling' || !(pattern.object instanceof PDFStream)) return;
  const matrix = matrixProduct(pattern.matrix, at.initialMatrix);
  if (!at.walk.isFirst(pattern.object, matrix)) return;
  // The cell repeats, so its own place does not say how much of it shows.
  const state = new GraphicsState(matrix, EVERYWHERE);
  if (pattern.isUncolored && color.space.base !== undefined) {
    const own: Color = { space: color.space.base, values: color.values, pattern: undefined };
    state.fill = own;
    state.stroke = own;
  }
  const cell = await formInfoFrom(pattern.object, pattern.ref, at.walk.objects);
  const area = boxOverlap(painted.bounds, painted.clip);
  await at.walkNested(cell, { kind: 'pattern', state, isVisible: painted.isVisible, area });
}
