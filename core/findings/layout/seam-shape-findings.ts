/** The extra film that a seam with shape costs, and places where its film would have a sharp corner. */
import { DEFAULT_SHAPE_LIMITS } from '../../job/defaults.ts';
import { jobOnFilm } from '../../job/job-films.ts';
import { jobProductionSettings } from '../../job/job-production-settings.ts';
import { materialPrice } from '../../job/material-price.ts';
import type { Job } from '../../job/schema.ts';
import type { Panel, Seam } from '../../layout/panel.ts';
import { seamPath } from '../../layout/seam-line-place.ts';
import { decimalText } from '../../measure/length-text.ts';
import { sentence } from '../../measure/list-text.ts';
import { polygonArea } from '../../measure/outline.ts';
import { type Path, type PathPoint, pathPart, pathRange } from '../../measure/path.ts';
import { itemAt } from '../../measure/present.ts';
import { rectArea } from '../../measure/rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../../measure/units.ts';
import { type Finding, finding, withFigure } from '../finding.ts';
import { areaText, type SideContext, seamName } from './finding-context.ts';

/** Keeps LIN9. */
export const seamShapeFindings = (context: SideContext): Finding[] =>
  context.layout.seams.flatMap((seam) => [...filmFindings(seam, context), ...cornerFindings(seam, context)]);

/** Panels are printed as rectangles: the film between outline and rectangle is waste. */
function filmFindings(seam: Seam, context: SideContext): Finding[] {
  if (!seam.path) return [];
  const { start, end } = pathRange(seam.path, seam.span);
  const rise = end - start;
  const { mostRiseMm = DEFAULT_SHAPE_LIMITS.mostRiseMm } = context.job.limits;
  if (rise <= mostRiseMm + LENGTH_TOLERANCE_MM) return [];
  const panels = [...seam.firstPanelIds, ...seam.secondPanelIds].flatMap(
    (id) => context.panels.get(id) ?? [],
  );
  const wasteMm2 = panels.reduce((sum, panel) => sum + panelWasteMm2(panel), 0);
  const cost = panels.reduce(
    (sum, panel) => sum + (panelWasteMm2(panel) / 1e6) * filmPrice(context.job, panel),
    0,
  );
  const { currency } = jobProductionSettings(context.job).figures;
  const money = `${decimalText(cost, 2)} ${currency}`;
  return [
    withFigure(
      rise,
      finding(
        'seam-shape-film',
        'warn',
        { sideId: seam.sideId, seamId: seam.id },
        `${sentence(seamName(context, seam))} rises by ${context.length(rise)}, so its panels are printed with ${areaText(context.job, wasteMm2)} more film than they need: ${money} at the price of the film (an estimate).`,
        'Follow the line over a shorter length, straighten the seam, or acknowledge what it takes.',
      ),
    ),
  ];
}

const filmPrice = (job: Job, { filmId }: Panel): number =>
  materialPrice(jobOnFilm(job, filmId), 'film').perM2;

/** Printed film of a panel beyond what it needs, in mm². */
export const panelWasteMm2 = ({ printed, shape }: Pick<Panel, 'printed' | 'shape'>): number =>
  shape ? Math.max(0, rectArea(printed) - polygonArea(shape.needed.points)) : 0;

/** Film lifts first at a corner. Common practice, no source. */
function cornerFindings(seam: Seam, context: SideContext): Finding[] {
  if (!seam.path) return [];
  const { leastCornerRadiusMm: radius = DEFAULT_SHAPE_LIMITS.leastCornerRadiusMm } = context.job.limits;
  const { corners, curves } = tightTurns(pathPart(seamPath(seam), seam.span), radius);
  if (corners.length + curves.length === 0) return [];
  const edge = seam.direction === 'horizontal' ? 'left' : 'top';
  const told = (what: string, places: readonly Mm[]) =>
    places.length === 0 ? [] : [`${what} at ${places.map((along) => context.length(along)).join(', ')}`];
  const turns = [
    ...told('turns by more than 90°', corners),
    ...told(`bends with a radius of less than ${context.length(radius)}`, curves),
  ];
  return [
    withFigure(
      corners.length + curves.length,
      finding(
        'seam-shape-sharp',
        'warn',
        { sideId: seam.sideId, seamId: seam.id },
        `${sentence(seamName(context, seam))} ${turns.join(' and ')} from the ${edge}, where film lifts first.`,
        'Move its points so that the line bends there more gently.',
      ),
    ),
  ];
}

/** A smaller bend is only a kink, where film lies flat as on a straight edge. */
const LEAST_BEND = Math.PI / 6;

/**
 * Places along a path where it turns by more than a right angle at one point, and where it does so over several points
 * within less than a radius.
 */
function tightTurns(path: Path, radius: Mm): { readonly corners: Mm[]; readonly curves: Mm[] } {
  const turns = path.slice(1, -1).map((at, index) => {
    const [before, after] = [itemAt(path, index), itemAt(path, index + 2)];
    return headingOf(at, after) - headingOf(before, at);
  });
  const alongOf = (turn: number): Mm => itemAt(path, turn + 1).along;
  const corners = turns.flatMap((turn, index) =>
    Math.abs(turn) > Math.PI / 2 + ANGLE_TOLERANCE ? [alongOf(index)] : [],
  );
  const curves: Mm[] = [];
  for (let first = 0; first < turns.length; first += 1) {
    const last = tightBendEnd(path, turns, first, radius);
    if (last === undefined) continue;
    if (turns.slice(first, last + 1).every((turn) => Math.abs(turn) <= Math.PI / 2 + ANGLE_TOLERANCE)) {
      curves.push((alongOf(first) + alongOf(last)) / 2);
    }
    first = last;
  }
  return { corners, curves };
}

/**
 * The last of the turns, counted from the first, that bend in one direction within less than a radius; undefined where
 * there is none.
 */
function tightBendEnd(path: Path, turns: readonly number[], first: number, radius: Mm): number | undefined {
  let end: number | undefined;
  let turned = Math.abs(itemAt(turns, first));
  let length = 0;
  for (let last = first + 1; last < turns.length; last += 1) {
    if (itemAt(turns, last) * itemAt(turns, first) <= 0) break;
    length += distance(itemAt(path, last), itemAt(path, last + 1));
    turned += Math.abs(itemAt(turns, last));
    // Between its first and last point, an arc turns by the total minus half of the turns at these two points.
    const within = turned - (Math.abs(itemAt(turns, first)) + Math.abs(itemAt(turns, last))) / 2;
    if (length >= radius * within * (1 - ANGLE_TOLERANCE)) {
      if (end !== undefined) break;
    } else if (turned >= LEAST_BEND - ANGLE_TOLERANCE) end = last;
  }
  return end;
}

const ANGLE_TOLERANCE = 1e-6;
const headingOf = (from: PathPoint, to: PathPoint): number =>
  Math.atan2(to.across - from.across, to.along - from.along);
const distance = (from: PathPoint, to: PathPoint): Mm =>
  Math.hypot(to.along - from.along, to.across - from.across);
