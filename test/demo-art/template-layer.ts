import type { PDFRef } from 'pdf-lib';
import type { Canvas } from './canvas.ts';
import { PALETTE, type ProcessInk } from './palette.ts';
import { ellipse, line, type Path, rectangle, roundedRectangle, type XY } from './path.ts';
import type { BodyLine, NoFilmArea, SceneSide } from './scene.ts';

const LINE: ProcessInk = { kind: 'process', c: 100, m: 0, y: 0, k: 0 };
const LINE_WIDTH_MM = 6;

/** The vehicle's outline, no-film areas and body lines as thin strokes, on a layer that is off unless asked for. */
export function drawTemplate(canvas: Canvas, side: SceneSide, group: PDFRef): void {
  const upright = canvas.upright;
  upright.withLayer('Template', group, () => {
    upright.stroke(LINE, LINE_WIDTH_MM, rectangle(0, 0, side.widthMm, side.heightMm));
    for (const bodyLine of side.bodyLines) {
      const path = line(bodyLinePlaces(bodyLine, side));
      const dash = bodyLine.kind === 'rivet-row' ? { dashMm: [12, 48] } : {};
      upright.stroke(LINE, LINE_WIDTH_MM * (bodyLine.kind === 'body-gap' ? 2 : 1), path, dash);
    }
    for (const { x, y, width, height } of side.doors ?? [])
      upright.stroke(LINE, LINE_WIDTH_MM * 2, rectangle(x, y, width, height));
    for (const { x, y, width, height } of side.recesses ?? [])
      upright.stroke(LINE, LINE_WIDTH_MM / 2, rectangle(x, y, width, height));
    for (const noFilmArea of side.noFilmAreas)
      upright.stroke(LINE, LINE_WIDTH_MM, noFilmAreaOutline(noFilmArea));
    for (const box of side.lettering) {
      upright.stroke(PALETTE.rose, LINE_WIDTH_MM / 2, rectangle(box.x, box.y, box.width, box.height), {
        dashMm: [30, 20],
      });
    }
  });
}

function bodyLinePlaces({ direction, at, shape, from, to }: BodyLine, side: SceneSide): readonly XY[] {
  const whole = direction === 'horizontal' ? side.widthMm : side.heightMm;
  const places = shape ?? ([from ?? 0, to ?? whole].map((along) => [along, 0]) as readonly XY[]);
  return places.map(([along, off]) => (direction === 'horizontal' ? [along, at + off] : [at + off, along]));
}

function noFilmAreaOutline({ kind, x, y, width, height }: NoFilmArea): Path {
  if (kind === 'sensor') return ellipse(x + width / 2, y + height / 2, width / 2, height / 2);
  if (kind !== 'wheel-arch') return roundedRectangle(x, y, width, height, 40);
  const radius = Math.min(width / 2, height);
  return [
    ['M', x, y + height],
    ['L', x, y + radius],
    ['C', x, y + radius * 0.45, x + width / 2 - radius * 0.55, y, x + width / 2, y],
    ['C', x + width / 2 + radius * 0.55, y, x + width, y + radius * 0.45, x + width, y + radius],
    ['L', x + width, y + height],
    ['Z'],
  ];
}
