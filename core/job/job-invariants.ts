/**
 * Invariants of a job beyond the types of its fields. Layout, edits and the archive rely on them, so a job that breaks
 * one is rejected on input. A fault that still allows work but should not be printed is a finding instead
 * (core/layout/findings).
 */
import { pathSteepness, pathsGap } from '../measure/path.ts';
import { itemAt } from '../measure/present.ts';
import { EDGES, type Rect } from '../measure/rect.ts';
import type { Problem } from '../measure/result.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { doorLineId, sideLines } from './door.ts';
import { firstOf, type ItemInvariantCode, itemsProblem, shown } from './item-invariants.ts';
import { FIRST_FILM_ID, jobFilms } from './job-films.ts';
import { jobIds } from './job-ids.ts';
import {
  type RegionPlace,
  rectAcross,
  rectAlong,
  regionJoints,
  regionPanels,
  regionSplits,
  splitEdges,
  splitPartPlaces,
} from './region.ts';
import type { Job, Joint, LineShape, Region, Side, SplitRegion } from './schema.ts';
import { sideOutline } from './side-outline.ts';
import { type VehicleInvariantCode, vehiclesProblem } from './vehicle-invariants.ts';
import { sideVehicle } from './vehicles.ts';
import { windowPanelId } from './window-film.ts';

/** Far beyond any real side, but small enough for recursion. */
export const MAX_LAYOUT_DEPTH = 64;
export const MAX_PANELS = 10_000;
/** A side under a millimeter or over 100 m is a scale error. */
export const SIDE_LENGTH_RANGE_MM = { least: 1, greatest: 100_000 };

export type InvariantCode =
  | ItemInvariantCode
  | VehicleInvariantCode
  | 'id-twice'
  | 'acknowledged-twice'
  | 'side-size'
  | 'layout-too-deep'
  | 'too-many-panels'
  | 'parts-unlike-joints'
  | 'seam-order'
  | 'seam-outside-region'
  | 'seam-follows'
  | 'seam-shape'
  | 'butt-with-overlap'
  | 'film-unknown';

/** The first broken invariant, or undefined where the job is sound. */
export function jobInvariantProblem(job: Job): Problem<InvariantCode> | undefined {
  return (
    vehiclesProblem(job) ??
    layoutSizeProblem(job) ??
    idProblem(job) ??
    acknowledgementProblem(job) ??
    filmProblem(job) ??
    firstOf(job.sides.entries(), ([index, side]) => sideProblem(job, side, index))
  );
}

function layoutSizeProblem(job: Job): Problem<InvariantCode> | undefined {
  for (const [index, side] of job.sides.entries()) {
    if (isDeeperThan(side.layout, MAX_LAYOUT_DEPTH)) {
      return {
        code: 'layout-too-deep',
        message: `The layout of side ${side.code} (sides[${index}].layout) nests more than ${MAX_LAYOUT_DEPTH} splits.`,
        remedy: 'Lay out the side with fewer splits inside each other.',
      };
    }
  }
  const count = job.sides.reduce(
    (sum, side) => sum + regionPanels(side.layout).length * sideVehicle(job, side).units.length,
    0,
  );
  if (count <= MAX_PANELS) return undefined;
  return {
    code: 'too-many-panels',
    message: `The job has ${count} panels for all its vehicles; ${MAX_PANELS} is the most that a job can hold.`,
    remedy: 'Split the work into several jobs.',
  };
}

function isDeeperThan(region: Region, depth: number): boolean {
  if (depth < 0) return true;
  return region.kind === 'split' && region.parts.some((part) => isDeeperThan(part, depth - 1));
}

/** Ids name panels, seams and items in outputs, acknowledgements and undo, so each id must be unique in a job. */
function idProblem(job: Job): Problem<InvariantCode> | undefined {
  const ids = jobIds(job);
  if (new Set(ids).size === ids.length) return undefined;
  const seen = new Map<string, string>();
  return firstOf(idsWithPlaces(job), ({ id, place }) => {
    const before = seen.get(id);
    if (before === undefined) {
      seen.set(id, place);
      return undefined;
    }
    return {
      code: 'id-twice',
      message: `The id “${id}” is used twice, at ${before} and at ${place}.`,
      remedy: 'Give every side, panel, seam, line, area, door and film an id of its own.',
    };
  });
}

interface IdAtPlace {
  readonly id: string;
  readonly place: string;
}

/** The same ids as jobIds, each with its path in the document. */
function* idsWithPlaces(job: Job): Generator<IdAtPlace> {
  for (const [n, { id }] of (job.otherFilms ?? []).entries()) yield { id, place: `otherFilms[${n}].id` };
  for (const [index, side] of job.sides.entries()) {
    const path = `sides[${index}]`;
    yield { id: side.id, place: `${path}.id` };
    for (const list of ['bodyLines', 'noSeamAreas', 'ground', 'noFilmAreas', 'guides'] as const) {
      for (const [n, item] of (side[list] ?? []).entries())
        yield { id: item.id, place: `${path}.${list}[${n}].id` };
    }
    for (const [n, { id, windowFilm }] of side.noFilmAreas.entries())
      if (windowFilm) yield { id: windowPanelId(id), place: `${path}.noFilmAreas[${n}].windowFilm` };
    for (const [n, { id }] of (side.doors ?? []).entries()) {
      yield { id, place: `${path}.doors[${n}].id` };
      for (const edge of EDGES) yield { id: doorLineId(id, edge), place: `${path}.doors[${n}].gap.${edge}` };
    }
    yield* regionIds(side.layout, `${path}.layout`);
  }
}

function* regionIds(region: Region, path: string): Generator<IdAtPlace> {
  if (region.kind === 'panel') {
    yield { id: region.id, place: `${path}.id` };
    return;
  }
  for (const [n, joint] of region.joints.entries()) yield { id: joint.id, place: `${path}.joints[${n}].id` };
  for (const [n, part] of region.parts.entries()) yield* regionIds(part, `${path}.parts[${n}]`);
}

/** The film of each panel must be a film of the job. */
function filmProblem(job: Job): Problem<InvariantCode> | undefined {
  const known = new Set<string | undefined>([undefined, ...jobFilms(job).map(({ id }) => id)]);
  return firstOf(job.sides.entries(), ([index, side]) =>
    firstOf(
      [
        { filmId: side.filmId, place: `sides[${index}].filmId` },
        ...side.noFilmAreas.map(({ windowFilm }, n) => ({
          filmId: windowFilm?.filmId,
          place: `sides[${index}].noFilmAreas[${n}].windowFilm.filmId`,
        })),
        ...panelFilms(side, `sides[${index}].layout`),
      ],
      ({ filmId, place }) =>
        known.has(filmId)
          ? undefined
          : {
              code: 'film-unknown' as const,
              message: `The film “${filmId}” (${place}) is no film of the job.`,
              remedy: `Name a film of \`otherFilms\`, ${FIRST_FILM_ID} for the first, or leave out \`filmId\`.`,
            },
    ),
  );
}

const panelFilms = ({ layout }: Side, path: string) =>
  regionPanels(layout).map(({ id, filmId }) => ({ filmId, place: `panel ${id} of ${path}` }));

function acknowledgementProblem(job: Job): Problem<InvariantCode> | undefined {
  const seen = new Set<string>();
  return firstOf(job.acknowledgements.entries(), ([index, { finding }]) => {
    if (!seen.has(finding)) {
      seen.add(finding);
      return undefined;
    }
    return {
      code: 'acknowledged-twice',
      message: `The finding “${finding}” is acknowledged twice (acknowledgements[${index}]).`,
      remedy: 'Keep one of the two acknowledgements.',
    };
  });
}

function sideProblem(job: Job, side: Side, index: number): Problem<InvariantCode> | undefined {
  const outline = sideOutline(side, job.scale);
  const { least, greatest } = SIDE_LENGTH_RANGE_MM;
  const isSane = [outline.width, outline.height].every((mm) => mm >= least && mm <= greatest);
  if (!isSane) {
    return {
      code: 'side-size',
      message: `Side ${side.code} (sides[${index}].artworkRect) is ${shown(outline.width)} × ${shown(outline.height)} mm at scale 1:${job.scale}; a side is from ${least} mm to ${greatest} mm each way.`,
      remedy: 'Check the scale and the rectangle of the side on the page.',
    };
  }
  return (
    itemsProblem(side, outline, `sides[${index}]`) ??
    followProblem(side, `sides[${index}].layout`) ??
    regionProblem(side.layout, { rect: outline }, `sides[${index}].layout`, mostPast(side))
  );
}

/** A seam that follows a line must have its shape, so that both are shown alike. */
function followProblem(side: Side, path: string): Problem<InvariantCode> | undefined {
  const lines = sideLines(side);
  return firstOf(regionSplits(side.layout), ({ seams, joints }) =>
    firstOf(joints, ({ id, follows, shape }) => {
      if (follows === undefined) return undefined;
      const line = lines.find((each) => each.id === follows);
      if (line?.direction === seams && isShapeSame(line.shape, shape)) return undefined;
      return {
        code: 'seam-follows',
        message: line
          ? `The seam “${id}” (${path}) follows the body line “${line.name}”, but has another direction or shape.`
          : `The seam “${id}” (${path}) follows the body line “${follows}”, which the side does not have.`,
        remedy: 'Give the seam the direction and shape of the line, or leave out `follows`.',
      };
    }),
  );
}

const isShapeSame = (a: LineShape = [], b: LineShape = []): boolean =>
  a.length === b.length &&
  a.every(
    ({ alongMm, offMm }, index) => alongMm === itemAt(b, index).alongMm && offMm === itemAt(b, index).offMm,
  );

/** The greatest image past an edge of any part of a side. */
const mostPast = ({ bleed, layout }: Side): Mm =>
  Math.max(
    ...EDGES.map((edge) => bleed[edge]),
    ...regionJoints(layout).flatMap(({ firstMm, secondMm }) => [firstMm, secondMm]),
  );

function regionProblem(
  region: Region,
  place: RegionPlace,
  path: string,
  past: Mm,
): Problem<InvariantCode> | undefined {
  if (region.kind === 'panel') return undefined;
  if (region.parts.length !== region.joints.length + 1) {
    return {
      code: 'parts-unlike-joints',
      message: `The split at ${path} has ${region.joints.length} joints and ${region.parts.length} parts.`,
      remedy: 'A split has one part more than it has joints.',
    };
  }
  const places = splitPartPlaces(region, place);
  return (
    jointsProblem(region, place.rect, path) ??
    firstOf(places.entries(), ([n, part]) => partShapeProblem(region, n, part, path, past)) ??
    firstOf(region.parts.entries(), ([n, part]) =>
      regionProblem(part, itemAt(places, n), `${path}.parts[${n}]`, past),
    )
  );
}

/** Edges of a shaped panel that are nearer than this count as one. */
const LEAST_APART_MM = 1;
const STEEPEST = Math.sqrt(3);

/** Whether the edges of a part each meet once and stay apart, also as far as its film extends past it. */
function partShapeProblem(
  split: SplitRegion,
  index: number,
  { rect, edges, outline }: RegionPlace,
  path: string,
  past: Mm,
): Problem<InvariantCode> | undefined {
  if (!edges) return undefined;
  const [first, last] = splitEdges(split.seams);
  const shaped = (joint: Joint | undefined) => joint?.shape !== undefined;
  const n = shaped(split.joints[index]) || index === 0 ? Math.min(index, split.joints.length - 1) : index - 1;
  const seam = `The seam “${itemAt(split.joints, n).id}” (${path}.joints[${n}])`;
  const along = rectAlong(rect, split.seams);
  const span = { start: along.start - past, end: along.end + past };
  const problem = (message: string, remedy: string) => ({
    code: 'seam-shape' as const,
    message: `${seam} ${message}`,
    remedy,
  });
  if (!outline) {
    return problem(
      'meets an edge of its part more than once, or not between the seams beside it.',
      'Straighten it, or give its line a flatter shape.',
    );
  }
  if (Math.max(pathSteepness(edges[first], span), pathSteepness(edges[last], span)) > STEEPEST + 1e-9) {
    return problem('is steeper than 60° to its axis.', 'Follow the line with a seam of the other direction.');
  }
  const gap = pathsGap(edges[first], edges[last], span);
  if (gap >= LEAST_APART_MM) return undefined;
  return problem(
    `${gap < 0 ? 'crosses' : `comes within ${shown(gap)} mm of`} the seam or edge beside it.`,
    'Move one of the two, or straighten it.',
  );
}

function jointsProblem(
  split: SplitRegion,
  rect: Rect<'finished'>,
  path: string,
): Problem<InvariantCode> | undefined {
  const across = rectAcross(rect, split.seams);
  return firstOf(split.joints.entries(), ([n, joint]) => {
    const place = `${path}.joints[${n}].atMm`;
    const before = split.joints[n - 1];
    if (joint.shape || before?.shape) return buttProblem(joint, `${path}.joints[${n}]`);
    if (before && joint.atMm <= before.atMm + LENGTH_TOLERANCE_MM) {
      return {
        code: 'seam-order',
        message: `The seam at ${shown(joint.atMm)} mm (${place}) does not lie beyond the seam before it at ${shown(before.atMm)} mm.`,
        remedy: 'List the joints of a split in order of position, each at a place of its own.',
      };
    }
    const isInside =
      joint.atMm > across.start + LENGTH_TOLERANCE_MM && joint.atMm < across.end - LENGTH_TOLERANCE_MM;
    if (!isInside) {
      return {
        code: 'seam-outside-region',
        message: `The seam at ${shown(joint.atMm)} mm (${place}) is outside its region, which reaches from ${shown(across.start)} to ${shown(across.end)} mm.`,
        remedy: 'Move the seam to a place between the edges of its region.',
      };
    }
    return buttProblem(joint, `${path}.joints[${n}]`);
  });
}

function buttProblem(joint: Joint, path: string): Problem<InvariantCode> | undefined {
  if (joint.kind !== 'butt' || (joint.firstMm === 0 && joint.secondMm === 0)) return undefined;
  return {
    code: 'butt-with-overlap',
    message: `The butt seam at ${shown(joint.atMm)} mm (${path}) has an overlap of ${shown(joint.firstMm + joint.secondMm)} mm.`,
    remedy: 'Set firstMm and secondMm to 0, or make it an overlap seam.',
  };
}
