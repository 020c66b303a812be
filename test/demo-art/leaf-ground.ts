import type { Canvas, Paint } from './canvas.ts';
import { drawLeaf } from './motifs.ts';
import { gray, type ProcessInk } from './palette.ts';
import { type Path, rectangle, type XY } from './path.ts';
import { axialPaint, luminosityMask, tilingPaint } from './patterns.ts';

/** A ground strewn with leaves a shade lighter than it, which give way to the plain ground from one line to another. */
export interface LeafGround {
  readonly leaf: ProcessInk;
  readonly vein: ProcessInk;
  /** How far the rows of leaves lean, in degrees clockwise. */
  readonly turn: number;
  /** Where the leaves begin to fade and where none is left. */
  readonly fade: readonly [from: XY, to: XY];
}

const CELL_MM = 250;

/**
 * Paints `ground` over `area`, the leaves on it, and the ground once more through a soft mask. The leaves
 * themselves are opaque: renderers disagree on what opacity does to a tiling pattern's strokes.
 */
export function drawLeafGround(canvas: Canvas, ground: Paint, area: Path, leaves: LeafGround): void {
  const { leaf, vein, turn, fade } = leaves;
  canvas.fill(ground, area);
  const tiling = tilingPaint(canvas, 'LeafTiling', CELL_MM, CELL_MM, turn, (cell) => {
    drawLeaf(cell, leaf, vein, { x: 70, y: 116, scale: 0.92, turn: 20 });
    drawLeaf(cell, leaf, vein, { x: 196, y: 222, scale: 0.84, turn: -34 });
  });
  canvas.fill(tiling, area);
  const mask = luminosityMask(canvas, 'LeafFade', (inner) => {
    const light = axialPaint(inner, 'LeafFadeAcross', ...fade, [
      { at: 0, ink: gray(0) },
      { at: 1, ink: gray(100) },
    ]);
    const { widthMm, heightMm } = inner.frame;
    inner.fill(light, rectangle(-200, -200, widthMm + 400, heightMm + 400));
  });
  canvas.withState('LeafFadeMask', { SMask: mask }, () => canvas.fill(ground, area));
}
