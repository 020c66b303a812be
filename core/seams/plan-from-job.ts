import { type AreaShape, areaPoints } from '../job/area-shape.ts';
import { bodyLineSpan } from '../job/body-line.ts';
import { sideLines } from '../job/door.ts';
import { isLaminated, jobCostCard } from '../job/job-cost-card.ts';
import { jobOnFilm, sideFilmId } from '../job/job-films.ts';
import { jobAllowances, lapAllowances } from '../job/joint-default.ts';
import { linePath } from '../job/line-path.ts';
import { regionPanels, regionsPlaced, seamSpan } from '../job/region.ts';
import type { BodyLine, Job, Joint, LineShape, Region, Side } from '../job/schema.ts';
import { sideOutline } from '../job/side-outline.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import { sideVehicle } from '../job/vehicles.ts';
import { groundSurfaceRatio } from '../layout/ground-stretch.ts';
import { longestPrintOnFilm } from '../layout/panel-fit.ts';
import { printedWindows } from '../layout/window-panels.ts';
import { pointsHull, polygonArea } from '../measure/outline.ts';
import { pathSimplified } from '../measure/path.ts';
import { itemAt } from '../measure/present.ts';
import type { Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { rollStockFromPrinter } from '../rolls/from-job.ts';
import type {
  FilmRoll,
  LapPolicy,
  LockedSeam,
  PlanArea,
  PlanLine,
  PlanSide,
  PlanWindow,
  ShapedLine,
  ZoneFilm,
} from './plan-side.ts';
import { PANEL, type PlanJoint, type PlanTree } from './plan-tree.ts';
import type { SeamAxis } from './seam-place.ts';
import { sectionSpaces } from './section-spaces.ts';

/** A seam within half a millimeter of a body line is on it. */
const LINE_WIDTH_MM = 1;
/** Image carried round an edge at a body gap. Common practice, no source. */
export const DEFAULT_GAP_ALLOWANCE_MM = 15;

/** Inputs that a plan needs and a job document does not hold. Each defaults to a value derived from the job. */
export type PlanExtras = Partial<
  Pick<PlanSide, 'rolls' | 'laps' | 'gapAllowance' | 'card' | 'lettering' | 'energy' | 'earlier'>
>;

/**
 * A side of a job as the planner sees it, on the film of the side and of those panels that use other films. Locked
 * joints of the present layout stay, and so do the joints where two films meet.
 */
export function planSideFromJob(ofJob: Job, side: Side, extras: PlanExtras = {}): PlanSide {
  const job = jobOnFilm(ofJob, sideFilmId(side));
  const outline = sideOutline(side, job.scale);
  const planned = {
    width: outline.width,
    height: outline.height,
    ...(side.front === 'none' ? {} : { front: side.front }),
    lines: sideLines(side).flatMap((line) => planLines(line, outline)),
    shapedLines: sideLines(side).flatMap((line) => shapedLine(line, outline)),
    noSeamAreas: side.noSeamAreas.map(planArea),
    lettering: [],
    ground: side.ground.map((ground) => ({
      ...planArea(ground),
      kind: ground.kind,
      surfaceRatio: groundSurfaceRatio(ground),
    })),
    noFilmAreas: side.noFilmAreas.map((area) => ({ ...planArea(area), margin: area.clearanceMm })),
    windows: sideWindows(job, side),
    bleed: side.bleed,
    border: job.output.borderMm,
    rolls: [rollForSide(ofJob, side)],
    ...filmZones(ofJob, side, outline),
    longestPanel: job.limits.longestPanelMm,
    rivetClearance: job.limits.rivetClearanceMm + job.limits.rivetHeadMm / 2,
    laps: [lapFromJob(job, side)],
    gapAllowance: DEFAULT_GAP_ALLOWANCE_MM,
    minPanel: job.limits.minPanelMm,
    card: jobCostCard(job),
    isLaminated: isLaminated(job),
    locked: lockedSeams(side, outline),
    ...extras,
  } satisfies Omit<PlanSide, 'spaces'>;
  const own = [...planned.lines, ...planned.locked].filter(
    (line) => !('kind' in line && line.kind === 'rivet-row'),
  );
  return { ...planned, spaces: sectionSpaces(planned, own) };
}

const sideWindows = ({ output }: Job, side: Side): PlanWindow[] =>
  printedWindows(side).map(({ windowFilm, points }) => {
    const { width, height } = pointsHull(points);
    const more = 2 * (windowFilm.bleedMm + output.borderMm);
    return {
      film: { width: width + more, height: height + more },
      squareMeters: polygonArea(points) / 1e6,
    };
  });

const planArea = (area: AreaShape & { readonly id: string }): PlanArea => ({
  id: area.id,
  rect: rectFromStored(area.rect),
  ...(area.outline && { outline: areaPoints(area) }),
});

/**
 * A sloping rivet row is replaced by places for seams to avoid, at most this far apart; a stretch has at most
 * `MOST_STAIRS` of them.
 */
const STAIR_MM = 5;
const MOST_STAIRS = 60;

/**
 * A straight line is returned as it is. For a line with shape, each level stretch hides a straight seam. A sloping
 * rivet row becomes stairs: both ends of each step count over the whole step, so nothing comes nearer to the row than
 * to the stairs.
 */
function planLines(line: BodyLine, outline: Rect<'finished'>): PlanLine[] {
  const common = { id: line.id, kind: line.kind, axis: line.direction, width: LINE_WIDTH_MM };
  const span = bodyLineSpan(line, outline);
  if (!line.shape) return [{ ...common, at: line.atMm, from: span.start, to: span.end }];
  const path = pathSimplified(linePath(line), LINE_WIDTH_MM / 2);
  return path.slice(1).flatMap((to, index) => {
    const from = itemAt(path, index);
    const rise = to.across - from.across;
    if (Math.abs(rise) <= LINE_WIDTH_MM) {
      return [{ ...common, at: (from.across + to.across) / 2, from: from.along, to: to.along }];
    }
    if (line.kind !== 'rivet-row') return [];
    const steps = Math.min(MOST_STAIRS, Math.ceil(Math.abs(rise) / STAIR_MM));
    const place = (nth: number) => from.along + ((to.along - from.along) * nth) / steps;
    return Array.from({ length: steps + 1 }, (_, nth) => ({
      ...common,
      at: from.across + (rise * nth) / steps,
      from: place(Math.max(0, nth - 1)),
      to: place(Math.min(steps, nth + 1)),
    }));
  });
}

const shapedLine = (line: BodyLine, outline: Rect<'finished'>): ShapedLine[] => {
  if (!line.shape) return [];
  const { start, end } = bodyLineSpan(line, outline);
  const { id, kind, direction: axis, atMm: at } = line;
  return [{ id, kind, axis, at, from: start, to: end, path: linePath(line), shape: line.shape }];
};

/**
 * The film in the job's printer. Unequal margins are replaced by their mean, because only their sum matters. No panel
 * is placed on the lead-in or tail of the roll.
 */
export function rollFromJob({ printer, film }: Job): FilmRoll {
  const { usableLengthMm, leadInMm, tailMm } = rollStockFromPrinter(printer, 'roll', film.name);
  return {
    name: film.name,
    width: printer.rollWidthMm,
    sideMargin: (printer.marginLeftMm + printer.marginRightMm) / 2,
    longest: Math.max(0, Math.min(longestPrintOnFilm(printer), usableLengthMm - leadInMm - tailMm)),
  };
}

/** The film of a side, at any width. */
export function rollForSide(job: Job, side: Side, widthMm?: Mm): FilmRoll {
  const own = rollFromJob(jobOnFilm(job, sideFilmId(side)));
  return { ...own, width: widthMm ?? own.width };
}

const filmsOf = (side: Side, region: Region): ReadonlySet<string> =>
  new Set(regionPanels(region).map(({ filmId }) => filmId ?? sideFilmId(side)));

/** Which part of a side is on which film, where its panels use several. Keeps FM9. */
function filmZones(job: Job, side: Side, outline: Rect<'finished'>): Pick<PlanSide, 'filmZones'> {
  const used = filmsOf(side, side.layout);
  if (used.size < 2) return {};
  const others = [...used].filter((id) => id !== sideFilmId(side));
  const films = new Map(others.map((id) => [id, zoneFilm(jobOnFilm(job, id))]));
  return {
    filmZones: regionsPlaced(side.layout, outline).flatMap(({ region, rect }) =>
      region.kind === 'panel' ? [{ rect, film: films.get(region.filmId ?? sideFilmId(side)) }] : [],
    ),
  };
}

function zoneFilm(job: Job): ZoneFilm {
  const { filmPerSquareMeter, laminatePerSquareMeter } = jobCostCard(job);
  return {
    roll: rollFromJob(job),
    filmPerSquareMeter,
    laminatePerSquareMeter,
    isLaminated: isLaminated(job),
  };
}

/** Shift laps on trailers and box bodies, whose flat sides are installed from marks; body laps on everything else. */
export function lapFromJob(job: Job, side: Pick<Side, 'vehicleId'>): LapPolicy {
  const { kind } = sideVehicle(job, side);
  const allowances = jobAllowances(job);
  const isShifted = kind === 'trailer' || kind === 'box-body';
  const { firstMm: under, secondMm: over } = lapAllowances(
    'second',
    isShifted ? allowances.shiftOverlapMm : allowances.overlapMm,
    allowances,
  );
  return { name: isShifted ? 'shift lap' : 'body lap', under, over };
}

function lockedSeams(side: Side, outline: ReturnType<typeof sideOutline>): LockedSeam[] {
  return regionsPlaced(side.layout, outline).flatMap(({ region, ...place }) => {
    if (region.kind === 'panel') return [];
    return region.joints.flatMap((joint, index): LockedSeam[] => {
      const beside = region.parts.slice(index, index + 2).map((part) => [...filmsOf(side, part)]);
      const isFilmEdge = !joint.locked && new Set(beside.flat()).size > 1;
      if (!joint.locked && !isFilmEdge) return [];
      const { start, end } = seamSpan(region, index, place);
      const { at, path, follows, ...shape } = planJoint(joint);
      const run = {
        ...(path && joint.shape && { path, shape: joint.shape }),
        ...(follows !== undefined && { follows }),
        ...(isFilmEdge && { isFilmEdge }),
      };
      return [{ axis: region.seams, at, from: start, to: end, joint: shape, ...run }];
    });
  });
}

/** A layout of the job as the planner's tree. */
export const treeFromLayout = (region: Region): PlanTree =>
  region.kind === 'panel'
    ? PANEL
    : {
        kind: 'split',
        axis: region.seams,
        joints: region.joints.map(planJoint),
        parts: region.parts.map(treeFromLayout),
      };

const planJoint = (joint: Joint): PlanJoint => ({
  kind: joint.kind,
  at: joint.atMm,
  first: joint.firstMm,
  second: joint.secondMm,
  top: joint.top,
  ...(joint.shape && { path: linePath(joint) }),
  ...(joint.follows !== undefined && { follows: joint.follows }),
});

/**
 * A plan's tree as a layout of the job. Ids count from 1 in reading order of the tree; the edit that replaces a layout
 * then restores the old ids of panels and seams that stay. A seam on a locked seam is locked again.
 */
export function layoutFromPlan(side: PlanSide, tree: PlanTree): Region {
  let panels = 0;
  let joints = 0;
  const region = (node: PlanTree): Region =>
    node.kind === 'panel'
      ? { kind: 'panel', id: `panel-${++panels}` }
      : {
          kind: 'split',
          seams: node.axis,
          joints: node.joints.map((joint) =>
            jointNamed(joint, `seam-${++joints}`, isLocked(node.axis, joint), shapeOf(joint)),
          ),
          parts: node.parts.map(region),
        };
  const isLocked = (axis: SeamAxis, { at, path }: PlanJoint) =>
    side.locked.some(
      (seam) => !seam.isFilmEdge && seam.axis === axis && seam.at === at && seam.path === path,
    );
  const shapeOf = ({ path }: PlanJoint) =>
    path && [...side.shapedLines, ...side.locked].find((one) => one.path === path)?.shape;
  return region(tree);
}

const jointNamed = (joint: PlanJoint, id: string, locked: boolean, shape: LineShape | undefined): Joint => ({
  id,
  kind: joint.kind,
  atMm: joint.at,
  firstMm: joint.first,
  secondMm: joint.second,
  top: joint.top,
  ...(shape && { shape }),
  ...(joint.follows !== undefined && { follows: joint.follows }),
  ...(locked ? { locked } : {}),
});

/** The seams of a job's present layout, for a plan that should change little. */
export const earlierFromLayout = (layout: Region): NonNullable<PlanSide['earlier']> =>
  layout.kind === 'panel'
    ? []
    : [
        ...layout.joints.map((joint) => ({
          axis: layout.seams,
          at: joint.atMm,
          ...(joint.shape && { path: linePath(joint) }),
        })),
        ...layout.parts.flatMap(earlierFromLayout),
      ];
