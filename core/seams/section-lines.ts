import { type Path, pathExtent, pathSteepness } from '../measure/path.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import {
  type JointShape,
  jointFromGap,
  jointFromLap,
  type LockedSeam,
  type PlanLine,
  type PlanSide,
  type PlanStock,
  type ShapedLine,
  sideLength,
} from './plan-side.ts';
import { isGapAlong, isSeamAllowed } from './seam-limits.ts';
import type { SeamAxis, SeamPlace } from './seam-place.ts';

/** A place where a side may be divided into sections: a body line that hides a seam, a space, or a locked seam. */
export interface SectionLine {
  readonly at: Mm;
  readonly joint: JointShape;
  /** Its path where it is not straight at `at`, and the body line that a seam along it follows. */
  readonly path?: Path;
  readonly follows?: string;
  readonly isLocked: boolean;
  /** Whether a cut along it is allowed from `from` to `to`. */
  isCutAllowed(from: Mm, to: Mm): boolean;
}

/**
 * The section lines of an axis, ascending. A gap gives a body-gap seam, and only where it runs along the whole cut; any
 * other line or space gives a lap. A locked seam replaces a line under it and keeps its joint. Rivet rows (seams stay
 * clear of them) and lines steeper than 60° to their axis are left out.
 */
export function sectionLines(side: PlanSide, stock: PlanStock, axis: SeamAxis): SectionLine[] {
  const found: SectionLine[] = [];
  const isInside = (at: Mm) => at > LENGTH_TOLERANCE_MM && at < sideLength(side, axis) - LENGTH_TOLERANCE_MM;
  const isFree = (at: Mm) =>
    !found.some((line) => !line.path && Math.abs(line.at - at) <= LENGTH_TOLERANCE_MM);

  const gapAt = (at: Mm) => gapsAt(side, axis, at);
  for (const seam of side.locked) {
    if (seam.axis !== axis) continue;
    if (seam.path ? found.some((line) => isFollowing(line, seam)) : !(isInside(seam.at) && isFree(seam.at)))
      continue;
    found.push(lineFromLocked(side, stock, seam, gapAt(seam.at)));
  }
  const lines = side.lines.filter(({ kind }) => kind !== 'rivet-row');
  for (const line of [...lines, ...side.spaces]) {
    if (line.axis !== axis || !isInside(line.at) || !isFree(line.at)) continue;
    const gaps = gapAt(line.at);
    const joint = gaps.length > 0 ? jointFromGap(side, axis) : jointFromLap(stock.lap, axis, side.front);
    found.push({
      at: line.at,
      joint,
      isLocked: false,
      isCutAllowed: (from, to) =>
        (gaps.length === 0 || gaps.some((gap) => isGapAlong(side, gap, from, to))) &&
        isSeamAllowed(side, { axis, at: line.at, from, to }, joint),
    });
  }
  for (const line of side.shapedLines) {
    if (line.axis !== axis || line.kind === 'rivet-row') continue;
    if (!found.some((other) => isFollowing(other, { at: line.at, follows: line.id }))) {
      found.push(...shapedSectionLine(side, stock, line));
    }
  }
  return found.sort((a, b) => a.at - b.at);
}

const isFollowing = (line: SectionLine, { at, follows }: Pick<LockedSeam, 'at' | 'follows'>): boolean =>
  line.path !== undefined && line.at === at && line.follows === follows;

const STEEPEST = Math.sqrt(3);

function shapedSectionLine(side: PlanSide, stock: PlanStock, line: ShapedLine): SectionLine[] {
  const { axis, at, path, kind } = line;
  if (pathSteepness(path, pathExtent(path)) > STEEPEST) return [];
  const isGap = kind === 'body-gap';
  const joint = isGap ? jointFromGap(side, axis) : jointFromLap(stock.lap, axis, side.front);
  const isCutAllowed = (from: Mm, to: Mm) =>
    (!isGap || isGapAlong(side, line, from, to)) && isSeamAllowed(side, { axis, at, from, to, path }, joint);
  return [{ at, path, follows: line.id, joint, isLocked: false, isCutAllowed }];
}

function lineFromLocked(
  side: PlanSide,
  stock: PlanStock,
  seam: LockedSeam,
  gaps: readonly PlanLine[],
): SectionLine {
  const { axis, at, path, follows } = seam;
  const isOnGap = gaps.some((gap) => isGapAlong(side, gap, seam.from, seam.to));
  const joint =
    seam.joint ?? (isOnGap ? jointFromGap(side, axis) : jointFromLap(stock.lap, axis, side.front));
  // The operator approved the locked stretch; the rest of a longer cut must keep the limits.
  const isCutAllowed = (from: Mm, to: Mm) =>
    rests(seam, from, to).every((rest) => isSeamAllowed(side, rest, joint));
  return {
    at,
    ...(path && { path }),
    ...(follows !== undefined && { follows }),
    joint,
    isLocked: true,
    isCutAllowed,
  };
}

function rests(seam: LockedSeam, from: Mm, to: Mm): SeamPlace[] {
  const { axis, at, path } = seam;
  const place = { axis, at, ...(path && { path }) };
  const pieces = [
    { ...place, from, to: Math.min(to, seam.from) },
    { ...place, from: Math.max(from, seam.to), to },
  ];
  return pieces.filter((piece) => piece.to - piece.from > LENGTH_TOLERANCE_MM);
}

const gapsAt = (side: PlanSide, axis: SeamAxis, at: Mm): PlanLine[] =>
  side.lines.filter(
    (line) => line.kind === 'body-gap' && line.axis === axis && Math.abs(line.at - at) <= LENGTH_TOLERANCE_MM,
  );

/**
 * The section lines for a plan of one plain sequence: gaps and locked seams, whose joints differ from those of the
 * sequence, and lines with shape. The positions of the sequence include all other lines.
 */
export const linesWithOwnJoint = (lines: readonly SectionLine[]): SectionLine[] =>
  lines.filter((line) => line.isLocked || line.path || line.joint.kind === 'gap');

/** Whether a locked seam is within an area, so that the area cannot be one panel or a plain sequence. */
export function isLockedWithin(side: PlanSide, left: Mm, top: Mm, right: Mm, bottom: Mm): boolean {
  return side.locked.some((seam) => {
    const isVertical = seam.axis === 'vertical';
    const [start, end] = isVertical ? [left, right] : [top, bottom];
    const [from, to] = isVertical ? [top, bottom] : [left, right];
    return (
      seam.at > start + LENGTH_TOLERANCE_MM &&
      seam.at < end - LENGTH_TOLERANCE_MM &&
      Math.min(seam.to, to) - Math.max(seam.from, from) > LENGTH_TOLERANCE_MM
    );
  });
}
