/**
 * Film over ground with depth: how much longer the surface is than the drawing, and where the extra film comes from.
 */

import { areaLength, areaPoints } from '../job/area-shape.ts';
import { jobFilms, jobOnFilm } from '../job/job-films.ts';
import { jobProductionSettings } from '../job/job-production-settings.ts';
import type { Ground, Job } from '../job/schema.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import { type Interval, intervalIntersection, intervalLength } from '../measure/interval.ts';
import { pointsHull, polygonClipped } from '../measure/outline.ts';
import { pairsInTurn } from '../measure/pairs.ts';
import { polygonInsideAt } from '../measure/polygon.ts';
import { present } from '../measure/present.ts';
import { type Edge, type Point, rectIntersection, rectPoints, rectVertical } from '../measure/rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { type DepthShape, depthProblem, developedStretch, stretchPercent } from '../vehicle/ground-depth.ts';
import { layoutsOnFilm } from './film-layouts.ts';
import { bodyPanels, type Panel, type PanelEdge } from './panel.ts';
import type { SideLayout } from './side-layout.ts';

/** Used where the film is not on the shelf; see `stretchLimitPercent` there. Common practice, no source. */
const DEFAULT_STRETCH_LIMIT_PERCENT = 15;
export type GroundMeasure = 'width' | 'height';

/** A panel over one dimension of a recess or a curve. */
export interface GroundStretch {
  readonly ground: Ground;
  readonly panel: Panel;
  readonly measure: GroundMeasure;
  /**
   * Length as drawn and along the surface, within the visible part of the panel; for a closed outline, the mean of all
   * its rows.
   */
  readonly drawnMm: Mm;
  readonly developedMm: Mm;
  /** How much the film must stretch there if none is fed in, in percent. */
  readonly stretchPercent: number;
  /** Stretch limit of its film, in percent. */
  readonly limitPercent: number;
  /**
   * Film that must be fed in so that the remaining stretch is within the film's limit; 0 where the film can stretch
   * enough.
   */
  readonly feedMm: Mm;
  /**
   * Image at both ends of the panel that can be fed in: bleed, and the part of its extension that a seam does not need.
   */
  readonly spareMm: Mm;
  /** Remaining stretch after all of that is fed in, in percent. */
  readonly leastStretchPercent: number;
}

/** How far the film of a job may stretch, and the overlap that its seams must keep. */
export interface StretchLimits {
  /** How much longer the film may become when it is installed, in percent. */
  readonly stretchPercent: number;
  readonly minOverlapMm: Mm;
}

export const stretchLimits = (job: Job): StretchLimits => ({
  stretchPercent: jobProductionSettings(job).film?.stretchLimitPercent ?? DEFAULT_STRETCH_LIMIT_PERCENT,
  minOverlapMm: job.limits.minOverlapMm,
});

/** All panels over ground whose depth is known and fits into its area. */
export function groundStretches({ side, panels }: SideLayout, limits: StretchLimits): GroundStretch[] {
  return side.ground.flatMap((ground) =>
    measuresThatFit(ground).flatMap((measure) =>
      bodyPanels(panels).flatMap((panel) => stretchOf(ground, panel, measure, limits) ?? []),
    ),
  );
}

/** The same with the stretch limit of each panel's film. */
export const jobGroundStretches = (job: Job, layout: SideLayout): GroundStretch[] =>
  jobFilms(job).flatMap(({ id }) =>
    layoutsOnFilm(job, [layout], id).flatMap((onFilm) =>
      groundStretches(onFilm, stretchLimits(jobOnFilm(job, id))),
    ),
  );

/** Whether any of a panel is printed over a recess or a curve. */
export function isPanelOver({ printed, glass }: Pick<Panel, 'printed' | 'glass'>, ground: Ground): boolean {
  if (glass || !rectIntersection(printed, rectFromStored<'finished'>(ground.rect))) return false;
  return !ground.outline || polygonClipped(areaPoints(ground), printed).length > 0;
}

/** Surface ÷ drawn area of a recess or a curve: 1 where its depth is unknown or does not fit. */
export const groundSurfaceRatio = (ground: Ground): number =>
  measuresThatFit(ground).reduce((ratio, measure) => {
    const lengths = meanLengths(ground, measure);
    return lengths ? (ratio * lengths.developedMm) / lengths.drawnMm : ratio;
  }, 1);

/** Dimensions along which the surface goes in and out. */
export function groundMeasures({ depth }: Ground): readonly GroundMeasure[] {
  if (!depth) return [];
  return depth.along === 'both' ? ['width', 'height'] : [depth.along];
}

/** The fault in the depth of a recess or a curve along one of its dimensions; undefined where there is none. */
export const groundDepthProblem = (
  ground: Ground,
  measure: GroundMeasure,
  shown: (mm: Mm) => string = String,
): string | undefined => ground.depth && depthProblem(ground.depth.shape, areaLength(ground, measure), shown);

const measuresThatFit = (ground: Ground): readonly GroundMeasure[] =>
  groundMeasures(ground).filter((measure) => !groundDepthProblem(ground, measure));

const ENDS = { width: ['left', 'right'], height: ['top', 'bottom'] } as const satisfies Record<
  GroundMeasure,
  readonly [Edge, Edge]
>;

function stretchOf(
  ground: Ground,
  panel: Panel,
  measure: GroundMeasure,
  limits: StretchLimits,
): GroundStretch | undefined {
  const lengths = meanLengths(ground, measure, panel);
  if (!lengths) return undefined;
  const { drawnMm, developedMm } = lengths;
  if (developedMm <= drawnMm + LENGTH_TOLERANCE_MM) return undefined;
  const extraMm = developedMm - drawnMm;
  const spareMm = ENDS[measure].reduce(
    (sum, edge) =>
      sum + Math.max(0, spareAtEdge(panel.edges[edge], limits.minOverlapMm) - panel.missing[edge]),
    0,
  );
  return {
    ground,
    panel,
    measure,
    drawnMm,
    developedMm,
    stretchPercent: stretchPercent(developedMm, drawnMm),
    limitPercent: limits.stretchPercent,
    feedMm: Math.max(0, extraMm - (drawnMm * limits.stretchPercent) / 100),
    spareMm,
    leastStretchPercent: (100 * Math.max(0, extraMm - spareMm)) / drawnMm,
  };
}

/**
 * Bands between corners are sampled in this many rows: exact where widths change linearly, and close to it along an
 * arc.
 */
const ROWS_IN_BAND = 8;

interface MeanLengths {
  readonly drawnMm: Mm;
  readonly developedMm: Mm;
}

/**
 * Lengths along a dimension of a recess or a curve, or of the part that a panel shows: means of its rows. Undefined
 * where the panel shows none of it.
 */
function meanLengths(ground: Ground, measure: GroundMeasure, panel?: Panel): MeanLengths | undefined {
  const [area, seen] = [areaPoints(ground), panel ? panelPoints(ground, panel) : areaPoints(ground)].map(
    (points) => (measure === 'width' ? points : points.map(({ x, y }) => ({ x: y, y: x }))),
  ) as [readonly Point[], readonly Point[]];
  const span = intervalIntersection(rectVertical(pointsHull(area)), rectVertical(pointsHull(seen)));
  if (!span) return undefined;
  const corners = [...area, ...seen].map(({ y }) => y).filter((y) => y > span.start && y < span.end);
  const stops = [span.start, ...new Set(corners.toSorted((a, b) => a - b)), span.end];
  const { shape } = present(ground.depth, 'The depth of ground that is measured');
  const longest = areaLength(ground, measure);
  const rows = ground.outline ? ROWS_IN_BAND : 1;
  const sums = { drawn: 0, developed: 0, height: 0 };
  for (const [top, bottom] of pairsInTurn(stops)) {
    const height = (bottom - top) / rows;
    for (let row = 0; row < rows; row++) {
      const y = top + (row + 0.5) * height;
      const parts = polygonInsideAt(area, y).flatMap((stretch) =>
        polygonInsideAt(seen, y).flatMap((own) => {
          const part = intervalIntersection(stretch, own);
          return part ? [{ stretch, part }] : [];
        }),
      );
      if (parts.length === 0) continue;
      sums.height += height;
      for (const { stretch, part } of parts) {
        sums.drawn += height * intervalLength(part);
        sums.developed += height * developedPart(shape, longest, stretch, part);
      }
    }
  }
  if (sums.drawn <= LENGTH_TOLERANCE_MM) return undefined;
  return { drawnMm: sums.drawn / sums.height, developedMm: sums.developed / sums.height };
}

const developedPart = (shape: DepthShape, longest: Mm, stretch: Interval, part: Interval): Mm =>
  developedStretch(shape, longest, intervalLength(stretch), {
    start: part.start - stretch.start,
    end: part.end - stretch.start,
  });

/** The visible part of a panel over a recess or a curve; over a rectangle, its bounding rectangle. */
function panelPoints(ground: Ground, { net, shape }: Panel): readonly Point[] {
  if (!shape) return rectPoints(net);
  if (ground.outline) return shape.finished.points;
  return rectPoints(pointsHull(polygonClipped(shape.finished.points, rectFromStored(ground.rect))));
}

/** The panel underneath stays covered, and film that wraps into a gap stays wrapped. */
function spareAtEdge(edge: PanelEdge, minOverlapMm: Mm): Mm {
  if (edge.kind === 'outer' || edge.lies === 'over') return edge.allowanceMm;
  return edge.lies === 'under' ? Math.max(0, edge.allowanceMm - minOverlapMm) : 0;
}
