/**
 * What a cutter cuts on a piece of film: the outline of each panel, openings, and the cuts that divide a strip.
 *
 *     ┌ border ───────────┐   outline: the installed film, with extensions and bleed, without the border
 *     │ ┌─────────────────┤   openings: the parts of no-film areas on the panel
 *     │ │    ┌──┐         │   strip cuts: from edge to edge of the film
 *     │ │    └──┘         │
 */
import { stripPage } from '../cut/strips/strip-page.ts';
import { areaPoints } from '../job/area-shape.ts';
import { isFileMirrored } from '../job/film-base.ts';
import type { Job, OutputSize } from '../job/schema.ts';
import type { Panel } from '../layout/panel.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { isInsidePolygon, polygonClipped } from '../measure/outline.ts';
import { pairsAround, pairsFromLast, pairsInTurn } from '../measure/pairs.ts';
import { firstOf, lastOf } from '../measure/present.ts';
import { type Point, rectBottom, rectPoints, rectRight } from '../measure/rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import type { JobStrip } from '../production/job-strips.ts';
import { itemPanelId } from '../shop/rolls.ts';

export const CONTOUR_KINDS = ['outline', 'openings', 'strip-cuts'] as const;
export type ContourKind = (typeof CONTOUR_KINDS)[number];

/** Lines in the program are straight between their points, so no contour has an arc. */
export interface ContourPath {
  readonly kind: ContourKind;
  /** Points on the film, mm, y down. */
  readonly points: readonly Point<'film'>[];
  /** Whether the last point connects to the first, which is not repeated. */
  readonly isClosed: boolean;
}

/** Contours of a panel's file, or of a strip's file. */
export interface Contours {
  /** Name of the film's file without its ending. */
  readonly name: string;
  readonly title: string;
  readonly widthMm: Mm;
  readonly heightMm: Mm;
  /** Size of the film's file. */
  readonly size: OutputSize;
  readonly paths: readonly ContourPath[];
}

/** Keeps CC1. */
export function panelContours(job: Job, layout: SideLayout, panel: Panel, name: string): Contours {
  return {
    name,
    title: `${job.number} ${panel.label}`,
    widthMm: panel.film.width,
    heightMm: panel.film.height,
    size: job.output.size,
    paths: panelPaths(job, layout, panel),
  };
}

function panelPaths(job: Job, { side }: SideLayout, panel: Panel): ContourPath[] {
  const needed = panel.shape
    ? polygonClipped(panel.shape.needed.points, panel.printed)
    : rectPoints(panel.printed);
  const outline = pointsApart(needed);
  const openings = side.noFilmAreas
    .filter(({ id }) => id !== panel.glass?.areaId)
    .flatMap((area) => pathsInside(areaPoints(area), outline));
  const isMirrored = isFileMirrored(job, panel);
  const onFilm = ({ x, y }: Point): Point<'film'> => {
    const along = x - panel.film.x;
    return { x: isMirrored ? panel.film.width - along : along, y: y - panel.film.y };
  };
  return [
    { kind: 'outline', points: outline.map(onFilm), isClosed: true },
    ...openings.map(
      ({ points, isClosed }): ContourPath => ({ kind: 'openings', points: points.map(onFilm), isClosed }),
    ),
  ];
}

export function stripContours(
  job: Job,
  layouts: readonly SideLayout[],
  { strip, roll, number, fileName }: JobStrip,
): Contours {
  const page = stripPage(strip, roll, job.output.size);
  const known = new Map(
    layouts.flatMap((layout) => layout.panels.map((panel) => [panel.id, { layout, panel }])),
  );
  const ofPanels = page.placements.flatMap(({ panelId, xMm, yMm, turned }) => {
    const found = known.get(itemPanelId(panelId));
    if (!found) return [];
    const { height } = found.panel.film;
    // Turned clockwise by 90°: the top edge goes to the right.
    const onStrip = ({ x, y }: Point): Point<'film'> =>
      turned ? { x: xMm + height - y, y: yMm + x } : { x: xMm + x, y: yMm + y };
    return panelPaths(job, found.layout, found.panel).map((path) => ({
      ...path,
      points: path.points.map(onStrip),
    }));
  });
  const cuts = page.cutMarks.map(
    (mark): ContourPath => ({
      kind: 'strip-cuts',
      points: [
        { x: mark.x, y: mark.y },
        { x: rectRight(mark), y: rectBottom(mark) },
      ],
      isClosed: false,
    }),
  );
  return {
    name: fileName.replace(/\.pdf$/i, ''),
    title: `${job.number} strip ${number}`,
    widthMm: page.filmWidthMm,
    heightMm: page.filmHeightMm,
    size: page.size,
    paths: [...ofPanels, ...cuts],
  };
}

const isNear = (a: Point, b: Point): boolean => Math.hypot(a.x - b.x, a.y - b.y) <= LENGTH_TOLERANCE_MM;

const pointsApart = (points: readonly Point[]): readonly Point[] =>
  pairsFromLast(points).flatMap(([before, point]) => (isNear(point, before) ? [] : [point]));

interface Part {
  readonly points: readonly Point[];
  readonly isClosed: boolean;
}

/** The stretches of a closed line inside a polygon: the whole line, or open parts from rim to rim. */
function pathsInside(points: readonly Point[], polygon: readonly Point[]): Part[] {
  const stretches = pairsAround(points).flatMap(([from, to]) => {
    const shares = [0, ...crossingShares(from, to, polygon), 1];
    return pairsInTurn(shares).flatMap(([start, end]) => {
      const middle = pointBetween(from, to, (start + end) / 2);
      if (!isInsidePolygon(middle, polygon)) return [];
      const [a, b] = [pointBetween(from, to, start), pointBetween(from, to, end)];
      return isNear(a, b) ? [] : [[a, b] as const];
    });
  });
  const lines: Point[][] = [];
  for (const [from, to] of stretches) {
    const last = lines.at(-1);
    if (last && isNear(lastOf(last), from)) last.push(to);
    else lines.push([from, to]);
  }
  const [first, last] = [lines[0], lines.at(-1)];
  if (!first || !last) return [];
  const isJoined = isNear(lastOf(last), firstOf(first));
  if (isJoined && lines.length === 1) return [{ points: first.slice(0, -1), isClosed: true }];
  const open = isJoined ? [[...last, ...first.slice(1)], ...lines.slice(1, -1)] : lines;
  return open.map((line) => ({ points: line, isClosed: false }));
}

const pointBetween = (from: Point, to: Point, share: number): Point => ({
  x: from.x + (to.x - from.x) * share,
  y: from.y + (to.y - from.y) * share,
});

/** Where a stretch crosses the rim of a polygon, as shares of its length, in order. */
function crossingShares(from: Point, to: Point, polygon: readonly Point[]): number[] {
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  return pairsAround(polygon)
    .flatMap(([a, b]) => {
      const [ex, ey] = [b.x - a.x, b.y - a.y];
      const across = dx * ey - dy * ex;
      if (across === 0) return [];
      const share = ((a.x - from.x) * ey - (a.y - from.y) * ex) / across;
      const along = ((a.x - from.x) * dy - (a.y - from.y) * dx) / across;
      return share > 0 && share < 1 && along >= 0 && along <= 1 ? [share] : [];
    })
    .sort((a, b) => a - b);
}
