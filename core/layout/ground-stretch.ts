/** Film over ground with depth: how much longer the surface is than the drawing, and where that film comes from. */

import { areaPoints } from '../job/area-shape.ts';
import { jobProductionSettings } from '../job/job-production-settings.ts';
import type { Ground, Job } from '../job/schema.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import { intervalIntersection } from '../measure/interval.ts';
import { pointsHull, polygonClipped } from '../measure/outline.ts';
import { type Edge, type Rect, rectHorizontal, rectVertical } from '../measure/rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { depthProblem, developedLength, stretchPercent } from '../vehicle/ground-depth.ts';
import type { Panel, PanelEdge } from './panel.ts';
import type { SideLayout } from './side-layout.ts';

/** Where the film is not on the shelf; see `stretchLimitPercent` there. Common practice, no source. */
const DEFAULT_STRETCH_LIMIT_PERCENT = 15;
export type GroundMeasure = 'width' | 'height';

/** A panel over one measure of a recess or a curve. */
export interface GroundStretch {
  readonly ground: Ground;
  readonly panel: Panel;
  readonly measure: GroundMeasure;
  /** As drawn, and along the surface: within what is seen of the panel. */
  readonly drawnMm: Mm;
  readonly developedMm: Mm;
  /** What the film must stretch there where none is fed in, in percent. */
  readonly stretchPercent: number;
  /** Film that must be fed in so that the rest is within the film's limit; 0 where the film can take all of it. */
  readonly feedMm: Mm;
  /** Image at both ends of the panel that can be fed in: bleed, and what a seam does not need of its extension. */
  readonly spareMm: Mm;
  /** The stretch that is left once all of that is fed in, in percent. */
  readonly leastStretchPercent: number;
}

/** What the film of a job can take, and what its seams must keep. */
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
      panels.flatMap((panel) => stretchOf(ground, panel, measure, limits) ?? []),
    ),
  );
}

/** Surface ÷ drawn area of a recess or a curve: 1 where its depth is unknown or does not fit. */
export const groundSurfaceRatio = (ground: Ground): number =>
  measuresThatFit(ground).reduce((ratio, measure) => {
    const length = groundLength(ground, measure);
    return (ratio * developedLength(ground.depth!.shape, length)) / length;
  }, 1);

/** Along which measures the surface goes in and out. */
export function groundMeasures({ depth }: Ground): readonly GroundMeasure[] {
  if (!depth) return [];
  return depth.along === 'both' ? ['width', 'height'] : [depth.along];
}

const measuresThatFit = (ground: Ground): readonly GroundMeasure[] =>
  groundMeasures(ground).filter(
    (measure) => !depthProblem(ground.depth!.shape, groundLength(ground, measure), String),
  );

export const groundLength = ({ rect }: Ground, measure: GroundMeasure): Mm =>
  measure === 'width' ? rect.widthMm : rect.heightMm;

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
  const [along, across] =
    measure === 'width' ? [rectHorizontal, rectVertical] : [rectVertical, rectHorizontal];
  const area = rectFromStored<'finished'>(ground.rect);
  const net = netOver(ground, panel);
  const shared = intervalIntersection(along(area), along(net));
  if (!shared || !intervalIntersection(across(area), across(net))) return undefined;
  const from = along(area).start;
  const drawnMm = shared.end - shared.start;
  const part = { start: shared.start - from, end: shared.end - from };
  const developedMm = developedLength(ground.depth!.shape, groundLength(ground, measure), part);
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
    feedMm: Math.max(0, extraMm - (drawnMm * limits.stretchPercent) / 100),
    spareMm,
    leastStretchPercent: (100 * Math.max(0, extraMm - spareMm)) / drawnMm,
  };
}

/** What is seen of a panel over a recess or a curve, as the smallest rectangle that holds it. */
function netOver(ground: Ground, { net, shape }: Panel): Rect<'finished'> {
  if (ground.outline) return pointsHull(polygonClipped(areaPoints(ground), net));
  return shape ? pointsHull(polygonClipped(shape.finished.points, rectFromStored(ground.rect))) : net;
}

/** What lies underneath stays covered, and what wraps into a gap stays wrapped. */
function spareAtEdge(edge: PanelEdge, minOverlapMm: Mm): Mm {
  if (edge.kind === 'outer' || edge.lies === 'over') return edge.allowanceMm;
  return edge.lies === 'under' ? Math.max(0, edge.allowanceMm - minOverlapMm) : 0;
}
