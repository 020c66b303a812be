/**
 * The panel guide of a side: a template for the designer, so that lettering fits inside the panels. Thin lines in
 * layers, nothing filled; lettering is drawn as outlines.
 */

import type { FontLibrary } from '../drawing/font-library.ts';
import { styleOf, textWrapped } from '../drawing/text-block.ts';
import { type PathStep, textOutlines } from '../drawing/text-outlines.ts';
import { areaPoints } from '../job/area-shape.ts';
import { bodyLineSpan } from '../job/body-line.ts';
import { sideLines } from '../job/door.ts';
import { linePath } from '../job/line-path.ts';
import type { Job } from '../job/schema.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import { panelInside, panelPoints, type Seam } from '../layout/panel.ts';
import { seamPath } from '../layout/seam-line-place.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { lengthText } from '../measure/length-text.ts';
import { pointsHull } from '../measure/outline.ts';
import { type Path, pathMoved, pathPart, pointOnAxis } from '../measure/path.ts';
import { polygonGrown } from '../measure/polygon.ts';
import { firstOf, lastOf } from '../measure/present.ts';
import {
  edgeLengthsAll,
  type Point,
  type Rect,
  rectBottom,
  rectGrown,
  rectIntersection,
  rectPoints,
  rectRight,
} from '../measure/rect.ts';
import { MM_PER_INCH, type Mm } from '../measure/units.ts';
import { sheetLengthWithUnit } from '../sheets/sheet-length.ts';
import { GUIDE_LAYER_KINDS, GUIDE_LAYERS, type GuideLayerKind } from './guide-names.ts';
import { type GuideFacts, guideNote, LETTERING_MM } from './guide-note.ts';
import { type GuidePage, guidePage } from './guide-page.ts';

/** Lines of one style. */
export interface GuideStroke {
  readonly steps: readonly PathStep[];
  readonly widthMm: Mm;
  readonly dashMm?: readonly Mm[];
}

export interface GuideLayer {
  readonly name: string;
  readonly strokes: readonly GuideStroke[];
}

export interface PanelGuide {
  readonly title: string;
  readonly sideCode: string;
  readonly page: GuidePage;
  readonly layers: readonly GuideLayer[];
}

export interface GuideOptions extends GuideFacts {
  readonly fonts: FontLibrary;
}

const LINE = 0.2;
const HEAVY = 0.4;
const LETTER = 0.12;

export function panelGuide(job: Job, layout: SideLayout, options: GuideOptions): PanelGuide {
  const { side, outline } = layout;
  const { scale } = options;
  const page = guidePage(outline, side.bleed, scale);
  const pen = new GuidePen(options.fonts, page, scale);
  drawOutline(pen, layout);
  drawPanels(pen, job, layout);
  drawSeams(pen, layout);
  drawLetteringZones(pen, job, layout);
  drawNoFilm(pen, layout);
  drawLines(pen, layout);
  drawFront(pen, side.front);
  drawBar(pen, job, outline.width);
  drawNote(pen, guideNote(job, layout, options));
  return {
    title: `Panel guide · ${job.number} · ${side.code} ${side.name} · 1:${scale}`,
    sideCode: side.code,
    page,
    layers: pen.layers(),
  };
}

/** Takes places on the side (finished) and on the page, and collects the lines of each layer. */
class GuidePen {
  readonly page: GuidePage;
  readonly fonts: FontLibrary;
  readonly scale: number;
  readonly #strokes = new Map<GuideLayerKind, Map<string, GuideStroke & { readonly steps: PathStep[] }>>();

  constructor(fonts: FontLibrary, page: GuidePage, scale: number) {
    this.fonts = fonts;
    this.page = page;
    this.scale = scale;
  }

  onPage = ({ x, y }: Point): Point => ({
    x: this.page.trim.x + x / this.scale,
    y: this.page.trim.y + y / this.scale,
  });

  /** Lines of one style become one path, so that a program that reads the guide finds few objects. */
  draw(layer: GuideLayerKind, steps: readonly PathStep[], width: number, dash?: readonly number[]): void {
    const unit = this.page.unitMm;
    const key = `${width} ${dash?.join(' ') ?? ''}`;
    const looks = this.#strokes.get(layer) ?? new Map();
    this.#strokes.set(layer, looks);
    const known = looks.get(key);
    if (known) known.steps.push(...steps);
    else
      looks.set(key, {
        steps: [...steps],
        widthMm: width * unit,
        ...(dash && { dashMm: dash.map((length) => length * unit) }),
      });
  }

  /** Points on the side. */
  line(layer: GuideLayerKind, points: readonly Point[], width = LINE, dash?: readonly number[]): void {
    this.draw(layer, stepsThrough(points.map(this.onPage)), width, dash);
  }

  shape(layer: GuideLayerKind, points: readonly Point[], width = LINE, dash?: readonly number[]): void {
    this.draw(layer, [...stepsThrough(points.map(this.onPage)), ['Z']], width, dash);
  }

  /** `at` is a place on the page; the capital height is in units of the page. */
  text(
    layer: GuideLayerKind,
    text: string,
    at: Point,
    size: number,
    anchor: 'start' | 'middle' | 'end' = 'start',
  ): void {
    const style = styleOf('regular', size * this.page.unitMm);
    this.draw(layer, textOutlines(this.fonts, text, style, at, anchor), LETTER);
  }

  layers(): readonly GuideLayer[] {
    return GUIDE_LAYER_KINDS.map((kind) => ({
      name: GUIDE_LAYERS[kind],
      strokes: [...(this.#strokes.get(kind)?.values() ?? [])],
    }));
  }
}

const stepsThrough = (points: readonly Point[]): PathStep[] =>
  points.map(({ x, y }, index) => [index === 0 ? 'M' : 'L', x, y]);

function drawOutline(pen: GuidePen, { outline, side }: SideLayout): void {
  pen.shape('outline', rectPoints(outline), HEAVY);
  pen.shape('outline', rectPoints(rectGrown(outline, side.bleed)), LINE, [3, 1.5]);
}

function drawPanels(pen: GuidePen, job: Job, { panels, side }: SideLayout): void {
  const taken = side.noFilmAreas.map(({ rect }) => rectFromStored<'finished'>(rect));
  const { unitMm } = pen.page;
  for (const panel of panels) {
    pen.shape('panels', panelPoints(panel));
    const inside = panelInside(panel);
    const room = { width: inside.width / pen.scale, height: inside.height / pen.scale };
    const size = `${sheetLengthWithUnit(panel.net.width, job.displayUnit)} × ${sheetLengthWithUnit(panel.net.height, job.displayUnit)}`;
    const fitting = (text: string, most: number) =>
      Math.min(
        most,
        (room.height * 0.3) / unitMm,
        (room.width * 0.85) / (pen.fonts.width(text, 'regular', 1) * unitMm),
      );
    const [large, small] = [fitting(panel.label, 16), fitting(size, 5)];
    const block = {
      width:
        Math.max(pen.fonts.width(panel.label, 'regular', large), pen.fonts.width(size, 'regular', small)) *
        unitMm *
        pen.scale,
      height: (large + 2.4 * small) * unitMm * pen.scale,
    };
    const middle = pen.onPage(freePlace(inside, block, taken));
    pen.text('panels', panel.label, middle, large, 'middle');
    pen.text('panels', size, { x: middle.x, y: middle.y + small * 1.5 * unitMm }, small, 'middle');
  }
}

const SHARES = [0.5, 0.35, 0.65, 0.2, 0.8] as const;

/** The middle of a panel, or the nearest place where the text block is clear of occupied areas. */
function freePlace(inside: Rect, block: Pick<Rect, 'width' | 'height'>, taken: readonly Rect[]): Point {
  const places = SHARES.flatMap((down) =>
    SHARES.map((across) => ({ x: inside.x + inside.width * across, y: inside.y + inside.height * down })),
  );
  const isFree = ({ x, y }: Point) => {
    const around = { x: x - block.width / 2, y: y - block.height * 0.6, ...block };
    const isInside = around.x >= inside.x && rectRight(around) <= rectRight(inside);
    return isInside && taken.every((rect) => !rectIntersection(around, rect));
  };
  return places.find(isFree) ?? firstOf(places);
}

const onSide = ({ direction, span }: Seam, path: Path): readonly Point[] =>
  pathPart(path, span).map((point) => pointOnAxis(direction, point));

/** The two edges of the band that both panels print at a seam, moved out by `moreMm`. */
function bandPaths(seam: Seam, moreMm: Mm): readonly [Path, Path] {
  const path = seamPath(seam);
  const across = (mm: Mm) => mm / seam.squareShare;
  return [
    pathMoved(path, { across: -across(seam.secondMm + moreMm) }),
    pathMoved(path, { across: across(seam.firstMm + moreMm) }),
  ];
}

function drawSeams(pen: GuidePen, { seams }: SideLayout): void {
  for (const seam of seams) {
    pen.line('seams', onSide(seam, seamPath(seam)), HEAVY);
    if (seam.firstMm + seam.secondMm === 0) continue;
    for (const path of bandPaths(seam, 0)) pen.line('seams', onSide(seam, path), LINE, [1.2, 0.8]);
  }
}

function drawLetteringZones(pen: GuidePen, job: Job, { seams, outline }: SideLayout): void {
  const keep = LETTERING_MM[job.displayUnit];
  for (const seam of seams) {
    const [before, after] = bandPaths(seam, keep.seam);
    pen.shape('lettering', [...onSide(seam, before), ...onSide(seam, after).toReversed()], LINE, [2, 1]);
  }
  if (Math.min(outline.width, outline.height) > 4 * keep.edge) {
    pen.shape('lettering', rectPoints(rectGrown(outline, edgeLengthsAll(-keep.edge))), LINE, [2, 1]);
  }
}

function drawNoFilm(pen: GuidePen, { side }: SideLayout): void {
  for (const area of side.noFilmAreas) {
    const points = areaPoints(area);
    const hull = pointsHull(points);
    pen.shape('noFilm', points, HEAVY);
    if (area.clearanceMm > 0) pen.shape('noFilm', polygonGrown(points, area.clearanceMm), LINE, [1, 1]);
    if (!area.outline) {
      const [left, right, top, bottom] = [hull.x, rectRight(hull), hull.y, rectBottom(hull)];
      pen.line('noFilm', [
        { x: left, y: top },
        { x: right, y: bottom },
      ]);
      pen.line('noFilm', [
        { x: left, y: bottom },
        { x: right, y: top },
      ]);
    }
    const { unitMm } = pen.page;
    const text = `No film: ${area.name}`;
    const size = Math.min(
      4,
      ((hull.width / pen.scale) * 0.9) / (pen.fonts.width(text, 'regular', 1) * unitMm),
    );
    const place = pen.onPage({ x: hull.x + hull.width / 2, y: hull.y + hull.height / 2 });
    pen.text('noFilm', text, { x: place.x, y: place.y - unitMm }, size, 'middle');
  }
}

function drawLines(pen: GuidePen, { side, outline }: SideLayout): void {
  const { unitMm } = pen.page;
  for (const line of sideLines(side)) {
    const path = pathPart(linePath(line), bodyLineSpan(line, outline));
    const points = path.map((point) => pointOnAxis(line.direction, point));
    pen.line('lines', points, LINE, [5, 1, 0.6, 1]);
    const start = pen.onPage(firstOf(points));
    const isUpright = line.direction === 'vertical';
    const at = { x: start.x + unitMm, y: isUpright ? start.y + 4 * unitMm : start.y - unitMm };
    pen.text('lines', line.name, at, 2.6);
  }
}

/** Above the bleed, at the leading edge. */
function drawFront(pen: GuidePen, front: 'left' | 'right' | 'none'): void {
  const { page } = pen;
  const { bleed, unitMm: u } = page;
  const y = bleed.y - 7 * u;
  const middle = bleed.x + bleed.width / 2;
  pen.draw('front', arrow({ x: middle, y: y + 4 * u }, { x: middle, y: y - 5 * u }, u), HEAVY);
  pen.text('front', 'TOP', { x: middle + 3 * u, y: y + 2 * u }, 5);
  if (front === 'none') return;
  const way = front === 'left' ? -1 : 1;
  const tip = front === 'left' ? bleed.x : rectRight(bleed);
  pen.draw('front', arrow({ x: tip - way * 24 * u, y }, { x: tip, y }, u), HEAVY);
  const anchor = front === 'left' ? 'start' : 'end';
  pen.text('front', 'FRONT', { x: tip - way * 27 * u, y: y + 2 * u }, 5, anchor);
}

function arrow(from: Point, to: Point, unit: Mm): PathStep[] {
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  const [ax, ay] = [(to.x - from.x) / length, (to.y - from.y) / length];
  const barb = (way: 1 | -1): Point => ({
    x: to.x - (ax * 4 - way * ay * 2) * unit,
    y: to.y - (ay * 4 + way * ax * 2) * unit,
  });
  return [...stepsThrough([from, to]), ...stepsThrough([barb(1), to, barb(-1)])];
}

const BAR_LENGTHS: Readonly<Record<Job['displayUnit'], readonly Mm[]>> = {
  mm: [2000, 1000, 500, 200, 100],
  in: [120, 60, 36, 12, 6].map((inches) => inches * MM_PER_INCH),
};

/** A scale bar of a round length on the vehicle, at most a third of the side. */
function drawBar(pen: GuidePen, { displayUnit }: Job, width: Mm): void {
  const lengths = BAR_LENGTHS[displayUnit];
  const length = lengths.find((mm) => mm <= width / 3) ?? lastOf(lengths);
  const { bleed, unitMm: u } = pen.page;
  const y = rectBottom(bleed) + 10 * u;
  const [left, right] = [bleed.x, bleed.x + length / pen.scale];
  const tick = (x: Mm): PathStep[] => [
    ['M', x, y - 2 * u],
    ['L', x, y + 2 * u],
  ];
  pen.draw(
    'bar',
    [['M', left, y], ['L', right, y], ...tick(left), ...tick((left + right) / 2), ...tick(right)],
    HEAVY,
  );
  const text =
    displayUnit === 'mm' ? lengthText(length, length < 1000 ? 'mm' : 'm') : lengthText(length, 'in');
  pen.text(
    'bar',
    `0 to ${text} on the vehicle, drawn at 1:${pen.scale}`,
    { x: right + 3 * u, y: y + 1.4 * u },
    4,
  );
}

const NOTE = { size: 5, pitch: 1.4, top: 22, rooms: 74 };

/** Below the side, in letters as large as the room allows. */
function drawNote(pen: GuidePen, sentences: readonly string[]): void {
  const { bleed, unitMm: u } = pen.page;
  const lines = (size: number) =>
    sentences.flatMap(
      (text) => textWrapped(pen.fonts, text, styleOf('regular', size * u), bleed.width).lines,
    );
  const room = NOTE.rooms - NOTE.top;
  let size = NOTE.size;
  while (size > 1 && lines(size).length * size * NOTE.pitch > room) size -= 0.1;
  for (const [index, text] of lines(size).entries()) {
    const y = rectBottom(bleed) + (NOTE.top + index * size * NOTE.pitch) * u;
    pen.text('note', text, { x: bleed.x, y }, size);
  }
}
