/**
 * A side with its seams as a small picture, in pixels. The signs are those of the bench and the install map: an overlap
 * seam is a heavy line with teeth on the top part, a butt seam two fine lines, a body-gap seam two dashed ones.
 */

import { type AreaShape, areaPoints } from '../../core/job/area-shape.ts';
import { bodyLineSpan } from '../../core/job/body-line.ts';
import { sideLines } from '../../core/job/door.ts';
import { linePath } from '../../core/job/line-path.ts';
import type { SeamDirection } from '../../core/job/schema.ts';
import { panelInside, type Seam } from '../../core/layout/panel.ts';
import type { SideLayout } from '../../core/layout/side-layout.ts';
import { type Path, pathMoved, pathPart, pointOnAxis } from '../../core/measure/path.ts';
import type { Point, Rect } from '../../core/measure/rect.ts';
import type { Mm } from '../../core/measure/units.ts';

export interface PxRect {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface DrawnSeam {
  readonly id: string;
  readonly kind: Seam['joint'];
  readonly line: string;
  /** Triangles that point to the part on top; empty for a butt or body-gap seam. */
  readonly teeth: string;
  /** Where the number of the seam can be drawn. */
  readonly middle: { readonly x: number; readonly y: number };
}

export interface PlanDrawing {
  readonly pxPerMm: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly panels: readonly { readonly id: string; readonly label: string; readonly rect: PxRect }[];
  readonly seams: readonly DrawnSeam[];
  readonly noFilmAreas: readonly string[];
  readonly noSeamAreas: readonly string[];
  readonly bodyLines: readonly string[];
}

const TOOTH_PX = 5;
const TOOTH_EVERY_PX = 9;
const PAIR_GAP_PX = 2;

/** Fits the side into a box of pixels, its proportions kept. */
export function planDrawing(
  layout: SideLayout,
  room: { readonly widthPx: number; readonly heightPx: number },
): PlanDrawing {
  const { outline, side } = layout;
  const pxPerMm = Math.min(room.widthPx / outline.width, room.heightPx / outline.height);
  const px = (rect: Rect): PxRect => ({
    x: rect.x * pxPerMm,
    y: rect.y * pxPerMm,
    width: rect.width * pxPerMm,
    height: rect.height * pxPerMm,
  });
  const pointsD = (points: readonly Point[]) =>
    `M${points.map(({ x, y }) => `${round(x * pxPerMm)} ${round(y * pxPerMm)}`).join('L')}`;
  const areas = (list: readonly AreaShape[]) => list.map((area) => `${pointsD(areaPoints(area))}z`);
  return {
    pxPerMm,
    widthPx: outline.width * pxPerMm,
    heightPx: outline.height * pxPerMm,
    panels: layout.panels.map((panel) => ({
      id: panel.id,
      label: panel.label,
      rect: px(panelInside(panel)),
    })),
    seams: layout.seams.map((seam) => drawnSeam(seam, pxPerMm)),
    noFilmAreas: areas(side.noFilmAreas),
    noSeamAreas: areas(side.noSeamAreas),
    bodyLines: sideLines(side).map((line) => {
      const span = bodyLineSpan(line, outline);
      if (!line.shape)
        return straightLine(line.direction, { at: line.atMm, from: span.start, to: span.end }, pxPerMm);
      return pointsD(linePath(line).map((point) => pointOnAxis(line.direction, point)));
    }),
  };
}

function straightLine(
  direction: SeamDirection,
  { at, from, to }: { readonly at: Mm; readonly from: Mm; readonly to: Mm },
  pxPerMm: number,
  asidePx: number = 0,
): string {
  const across = round(at * pxPerMm + asidePx);
  const [start, end] = [round(from * pxPerMm), round(to * pxPerMm)];
  return direction === 'vertical' ? `M${across} ${start}V${end}` : `M${start} ${across}H${end}`;
}

function drawnSeam(seam: Seam, pxPerMm: number): DrawnSeam {
  const { direction, at, span, path } = seam;
  const line = (asidePx: number) =>
    path
      ? pathD(path, seam, pxPerMm, asidePx)
      : straightLine(direction, { at, from: span.start, to: span.end }, pxPerMm, asidePx);
  const along = ((span.start + span.end) / 2) * pxPerMm;
  const across = at * pxPerMm;
  return {
    id: seam.id,
    kind: seam.joint,
    line: seam.joint === 'lap' ? line(0) : line(-PAIR_GAP_PX) + line(PAIR_GAP_PX),
    teeth: seam.joint === 'lap' && !path ? teethPath(seam, pxPerMm) : '',
    middle: direction === 'vertical' ? { x: across, y: along } : { x: along, y: across },
  };
}

const pathD = (path: Path, { direction, span }: Seam, pxPerMm: number, asidePx: number): string =>
  `M${pathMoved(pathPart(path, span), { across: asidePx / pxPerMm })
    .map((point) => pointOnAxis(direction, point))
    .map(({ x, y }) => `${round(x * pxPerMm)} ${round(y * pxPerMm)}`)
    .join('L')}`;

function teethPath({ direction, at, span, top }: Seam, pxPerMm: number): string {
  const tip = at * pxPerMm + (top === 'first' ? -TOOTH_PX : TOOTH_PX);
  const [start, end] = [span.start * pxPerMm, span.end * pxPerMm];
  const count = Math.max(1, Math.floor((end - start) / TOOTH_EVERY_PX));
  const step = (end - start) / count;
  return Array.from({ length: count }, (_, index) => {
    const middle = start + (index + 0.5) * step;
    const corners = [
      { across: at * pxPerMm, along: middle - TOOTH_PX / 2 },
      { across: tip, along: middle },
      { across: at * pxPerMm, along: middle + TOOTH_PX / 2 },
    ].map((corner) => pointOnAxis(direction, corner));
    return `M${corners.map(({ x, y }) => `${round(x)} ${round(y)}`).join('L')}z`;
  }).join('');
}

const round = (px: number): number => Math.round(px * 100) / 100;
