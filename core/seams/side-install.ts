/**
 * Estimates installation. The planner uses it to compare layouts, and production to estimate the layout of a job. Seams
 * count by their ground, panels by their length and the people they need, the surface by its area.
 */
import { regionPanels } from '../job/region.ts';
import type { Job, Side } from '../job/schema.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { printedWindows } from '../layout/window-panels.ts';
import { polygonArea, polygonClipped } from '../measure/outline.ts';
import { polygonCoveredArea } from '../measure/polygon.ts';
import { type Point, type Rect, rectPoints } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { panelHandlingMinutes, panelPeople } from '../shop/cost-card.ts';
import { busyMeters } from './picture-energy.ts';
import { planSideFromJob, treeFromLayout } from './plan-from-job.ts';
import type { PlanArea, PlanSide } from './plan-side.ts';
import {
  frameFilm,
  isFrameOpen,
  type PlannedPanel,
  type PlannedSeam,
  sideFrame,
  treeParts,
} from './plan-tree.ts';
import { crossingMinutes, type SeamCost, type SeamParts, seamCost, seamParts } from './seam-parts.ts';

export interface SeamFigures {
  readonly seam: PlannedSeam;
  readonly parts: SeamParts;
  readonly cost: SeamCost;
}

export function seamFigures(side: PlanSide, seam: PlannedSeam): SeamFigures {
  const { place, joint } = seam;
  const busy = side.energy ? busyMeters(side.energy, place, joint.first, joint.second) : 0;
  const parts = { ...seamParts(side, place), busy };
  return { seam, parts, cost: seamCost(side, joint, parts) };
}

export interface SideInstall {
  /** Sum over all people, without `matchingMinutes`. */
  readonly minutes: number;
  /** Matching picture and lettering across seams; known only once the artwork has been scanned. */
  readonly matchingMinutes: number;
  readonly panelCount: number;
  /** Longest film of its panels, border included. */
  readonly longestFilm: Mm;
  /** Number of people needed for the largest panel. */
  readonly people: number;
  readonly seamMeters: number;
  readonly squareMeters: number;
}

/**
 * Install estimate of a side with these panels and seams and the film on its windows; panels in no-film areas are left
 * out. Keeps SP33.
 */
export function sideInstall(
  side: PlanSide,
  panels: readonly PlannedPanel[],
  seams: readonly SeamFigures[],
): SideInstall {
  const { card } = side;
  const { windows = [] } = side;
  const films = [...panels.map(({ frame }) => frameFilm(frame)), ...windows.map(({ film }) => film)];
  const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0);
  const longestFilm = Math.max(0, ...films.flatMap(({ width, height }) => [width, height]));
  const squareMeters = coveredSquareMeters(side) + sum(windows.map((window) => window.squareMeters));
  return {
    minutes:
      sum(seams.map(({ cost }) => cost.installMinutes - cost.matchingMinutes)) +
      sum(films.map(({ width, height }) => panelHandlingMinutes(card, width, height))) +
      crossingMinutes(side) +
      squareMeters * card.installMinutesPerSquareMeter,
    matchingMinutes: sum(seams.map(({ cost }) => cost.matchingMinutes)),
    panelCount: films.length,
    longestFilm,
    people: panelPeople(card, longestFilm),
    seamMeters: sum(seams.map(({ parts: { ground } }) => ground.flat + ground.curve + ground.recess)),
    squareMeters,
  };
}

/** The surface of a side without its no-film areas, including the extra surface of recesses and curves. */
function coveredSquareMeters(side: PlanSide): number {
  const outline: Rect<'finished'> = { x: 0, y: 0, width: side.width, height: side.height };
  const points = ({ rect, outline: own }: PlanArea) => own ?? rectPoints(rect);
  const open = side.noFilmAreas.map(points);
  const bare = (polygon: readonly Point[]) => polygonArea(polygon) - polygonCoveredArea(polygon, open);
  const deeper = side.ground.reduce((sum, area) => {
    const { surfaceRatio = 1 } = area;
    return surfaceRatio === 1 ? sum : sum + bare(polygonClipped(points(area), outline)) * (surfaceRatio - 1);
  }, 0);
  return (bare(rectPoints(outline)) + deeper) / 1e6;
}

/** Install estimate of a side of a job with its present layout. */
function installOfSide(job: Job, side: Side): SideInstall {
  const planSide = planSideFromJob(job, side);
  const { panels, seams } = treeParts(treeFromLayout(side.layout), sideFrame(planSide));
  return sideInstall(
    planSide,
    panels.filter(({ frame }) => !isFrameOpen(planSide, frame)),
    seams.map((seam) => seamFigures(planSide, seam)),
  );
}

/**
 * Install estimate of each of these sides; undefined where some of their panels are missing, as in a reprint, for which
 * there is no rule.
 */
export function jobInstall(job: Job, layouts: readonly SideLayout[]): SideInstall[] | undefined {
  const isWhole = ({ side, panels, droppedPanelIds }: SideLayout) =>
    panels.length + droppedPanelIds.length === regionPanels(side.layout).length + printedWindows(side).length;
  return layouts.every(isWhole) ? layouts.map(({ side }) => installOfSide(job, side)) : undefined;
}
