import { type Canvas, DRAWING_SCALE } from './canvas.ts';
import { PALETTE } from './palette.ts';
import { line, polygon, rectangle } from './path.ts';
import type { SceneSide, SceneUnit } from './scene.ts';
import type { Stock } from './stock.ts';

const PAPER_EDGE_MM = 400;

/** Clears the paper around the bleed, then draws crop marks and a line that says what the page is. */
export function drawSlug(canvas: Canvas, side: SceneSide, stock: Stock, unit: SceneUnit): void {
  const upright = canvas.upright;
  const { widthMm, heightMm, bleedMm } = side;
  const paper = polygon([
    [-PAPER_EDGE_MM, -PAPER_EDGE_MM],
    [widthMm + PAPER_EDGE_MM, -PAPER_EDGE_MM],
    [widthMm + PAPER_EDGE_MM, heightMm + PAPER_EDGE_MM],
    [-PAPER_EDGE_MM, heightMm + PAPER_EDGE_MM],
  ]);
  const image = rectangle(-bleedMm, -bleedMm, widthMm + 2 * bleedMm, heightMm + 2 * bleedMm);
  upright.fill(PALETTE.white, [...paper, ...image], 'evenodd');
  const [near, far] = [bleedMm + 20, bleedMm + 150];
  for (const x of [0, widthMm]) {
    upright.stroke(
      PALETTE.black,
      3,
      line([
        [x, -near],
        [x, -far],
      ]),
    );
    upright.stroke(
      PALETTE.black,
      3,
      line([
        [x, heightMm + near],
        [x, heightMm + far],
      ]),
    );
  }
  for (const y of [0, heightMm]) {
    upright.stroke(
      PALETTE.black,
      3,
      line([
        [-near, y],
        [-far, y],
      ]),
    );
    upright.stroke(
      PALETTE.black,
      3,
      line([
        [widthMm + near, y],
        [widthMm + far, y],
      ]),
    );
  }
  const text = `${unit.title} · ${side.name} · finished ${widthMm} × ${heightMm} mm, bleed ${Math.round(bleedMm)} mm · 1:${DRAWING_SCALE}`;
  stock.sans.show(canvas, PALETTE.black, { text, sizeMm: 40, x: 220, baseline: heightMm + bleedMm + 130 });
}
