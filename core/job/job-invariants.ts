/**
 * What must be true of a job beyond the shape of its fields. Layout, edits and the archive rely on it, so a
 * job that breaks one of these is refused at the border; everything that can be worked with but should not
 * be printed is a finding instead (core/layout/findings).
 */
import { decimalText } from '../measure/length-text.ts';
import type { Rect } from '../measure/rect.ts';
import type { Problem } from '../measure/result.ts';
import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';
import { jobIds } from './job-ids.ts';
import { rectAcross, regionPanels, splitPartRects } from './region.ts';
import type { BodyLine, Job, Joint, Region, Side, SplitRegion } from './schema.ts';
import { sideOutline } from './side-outline.ts';

/** Far beyond any real side, small enough that a tree is walked without fear. */
export const MAX_LAYOUT_DEPTH = 64;
export const MAX_PANELS = 10_000;
/** A side under a millimeter or over 100 m is a slip of the scale. */
export const SIDE_LENGTH_RANGE_MM = { least: 1, greatest: 100_000 };

/** Job files count in mm, whatever the job shows. */
const shown = (mm: number): string => decimalText(mm, 2);

export type InvariantCode =
  | 'id-twice'
  | 'side-code-twice'
  | 'acknowledged-twice'
  | 'side-size'
  | 'line-extent'
  | 'line-shape'
  | 'layout-too-deep'
  | 'too-many-panels'
  | 'parts-unlike-joints'
  | 'seam-order'
  | 'seam-outside-region'
  | 'butt-with-overlap';

/** The first broken invariant, or undefined where the job holds together. */
export function jobInvariantProblem(job: Job): Problem<InvariantCode> | undefined {
  return (
    layoutSizeProblem(job) ??
    idProblem(job) ??
    codeProblem(job) ??
    acknowledgementProblem(job) ??
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
  const count = job.sides.reduce((sum, side) => sum + regionPanels(side.layout).length, 0);
  if (count <= MAX_PANELS) return undefined;
  return {
    code: 'too-many-panels',
    message: `The job has ${count} panels; ${MAX_PANELS} is the most that a job can hold.`,
    remedy: 'Split the work into several jobs.',
  };
}

function isDeeperThan(region: Region, depth: number): boolean {
  if (depth < 0) return true;
  return region.kind === 'split' && region.parts.some((part) => isDeeperThan(part, depth - 1));
}

/** Ids name panels, seams and items in outputs, acknowledgements and undo, so one id means one thing in a job. */
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
      remedy: 'Give every side, panel, seam, line and area an id of its own.',
    };
  });
}

interface IdAtPlace {
  readonly id: string;
  readonly place: string;
}

/** The same ids as jobIds, each with its path in the document. */
function* idsWithPlaces(job: Job): Generator<IdAtPlace> {
  for (const [index, side] of job.sides.entries()) {
    const path = `sides[${index}]`;
    yield { id: side.id, place: `${path}.id` };
    for (const list of ['bodyLines', 'noSeamAreas', 'ground', 'noFilmAreas', 'guides'] as const) {
      for (const [n, item] of (side[list] ?? []).entries())
        yield { id: item.id, place: `${path}.${list}[${n}].id` };
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

/** Codes begin panel labels and file names: two sides LH would overwrite each other's panels. */
function codeProblem(job: Job): Problem<InvariantCode> | undefined {
  return firstOf(job.sides.entries(), ([index, side]) => {
    const first = job.sides.findIndex((other) => other.code === side.code);
    if (first === index) return undefined;
    return {
      code: 'side-code-twice',
      message: `The sides “${job.sides[first]!.name}” and “${side.name}” (sides[${index}].code) both have the code ${side.code}.`,
      remedy: 'Give each side a code of its own, such as LH and RH.',
    };
  });
}

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
    firstOf(side.bodyLines.entries(), ([n, line]) =>
      bodyLineProblem(line, `sides[${index}].bodyLines[${n}]`),
    ) ?? regionProblem(side.layout, outline, `sides[${index}].layout`)
  );
}

function bodyLineProblem(
  { name, extent, shape }: BodyLine,
  path: string,
): Problem<InvariantCode> | undefined {
  if (extent && extent.toMm <= extent.fromMm) {
    return {
      code: 'line-extent',
      message: `The body line “${name}” ends before it begins (${path}.extent).`,
      remedy: 'Give it an end beyond its beginning.',
    };
  }
  if (extent && shape) {
    return {
      code: 'line-shape',
      message: `The body line “${name}” has points and an extent beside them (${path}).`,
      remedy: 'Leave out the extent: a line with points begins at the first and ends at the last.',
    };
  }
  const back = shape?.findIndex(
    ({ alongMm }, at) => at > 0 && alongMm - shape[at - 1]!.alongMm < LEAST_RUN_MM,
  );
  if (shape === undefined || back === undefined || back < 1) return undefined;
  return {
    code: 'line-shape',
    message: `The body line “${name}” does not run on from ${shown(shape[back - 1]!.alongMm)} to ${shown(shape[back]!.alongMm)} mm (${path}.shape[${back}].alongMm).`,
    remedy: 'List its points in order along its direction, each beyond the one before.',
  };
}

/** Points nearer to each other along a line than a hair are one. */
const LEAST_RUN_MM = 0.01;

function regionProblem(
  region: Region,
  rect: Rect<'finished'>,
  path: string,
): Problem<InvariantCode> | undefined {
  if (region.kind === 'panel') return undefined;
  if (region.parts.length !== region.joints.length + 1) {
    return {
      code: 'parts-unlike-joints',
      message: `The split at ${path} has ${region.joints.length} joints and ${region.parts.length} parts.`,
      remedy: 'A split has one part more than it has joints.',
    };
  }
  const rects = splitPartRects(region, rect);
  return (
    jointsProblem(region, rect, path) ??
    firstOf(region.parts.entries(), ([n, part]) => regionProblem(part, rects[n]!, `${path}.parts[${n}]`))
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

function firstOf<T>(
  items: Iterable<T>,
  check: (item: T) => Problem<InvariantCode> | undefined,
): Problem<InvariantCode> | undefined {
  for (const item of items) {
    const problem = check(item);
    if (problem) return problem;
  }
  return undefined;
}
