/** Moving, removing and spreading seams. */
import { type Interval, isStrictlyWithin } from '../../measure/interval.ts';
import { lengthText } from '../../measure/length-text.ts';
import { firstOf, itemAt, lastOf } from '../../measure/present.ts';
import { type Result, resultOk } from '../../measure/result.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../../measure/units.ts';
import { kindMoved } from '../door.ts';
import { rectAcross, regionWithJoints } from '../region.ts';
import type { Job, Joint, Region, SeamDirection, SplitRegion } from '../schema.ts';
import { seamInSplit } from '../seam-range.ts';
import { type EditProblem, type EditResult, editProblem, seamUnknown, sideEdited } from './edit.ts';

interface SeamOfSide {
  readonly sideId: string;
  readonly seamId: string;
}

/**
 * Moves one seam within its region; all ids stay. An overlap moved onto a gap of the body or a door becomes a body-gap
 * seam; a body-gap seam moved off its gap becomes an overlap.
 */
export function seamMove(job: Job, { sideId, seamId, atMm }: SeamOfSide & { readonly atMm: Mm }): EditResult {
  return sideEdited(job, sideId, ({ side, outline }) => {
    const found = seamInSplit(side.layout, outline, seamId);
    if (!found) return seamUnknown(side, seamId);
    const { start, end } = found.range;
    const shown = (mm: Mm) => lengthText(mm, job.displayUnit);
    if (!isStrictlyWithin(atMm, found.range)) {
      return editProblem(
        'seam-outside-region',
        `The seam cannot be moved to ${shown(atMm)}: it must stay between ${shown(start)} and ${shown(end)}.`,
        'Move the seam or edge beside it first, or select a place between these two.',
      );
    }
    const { joint, span } = found;
    const kind = kindMoved(side, { direction: found.split.seams, joint, span }, { ...joint, atMm });
    const layout = regionWithJoints(side.layout, (each) =>
      each.id === seamId ? { ...each, kind, atMm } : each,
    );
    return resultOk({ ...side, layout });
  });
}

/**
 * Removes a seam, so that its two parts become one. Two panels become the first of them. A split next to a panel
 * extends over both. Splits with equal seams are joined part by part. Splits with different seams cannot be joined,
 * because one of the two divisions would be lost.
 */
export function seamRemove(job: Job, { sideId, seamId }: SeamOfSide): EditResult {
  return sideEdited(job, sideId, ({ side, outline }) => {
    const found = seamInSplit(side.layout, outline, seamId);
    if (!found) return seamUnknown(side, seamId);
    const { split } = found;
    const index = split.joints.findIndex(({ id }) => id === seamId);
    const merged = partsMerged(itemAt(split.parts, index), itemAt(split.parts, index + 1), split.seams);
    if (!merged.ok) return merged;
    const shorter: SplitRegion = {
      ...split,
      joints: split.joints.toSpliced(index, 1),
      parts: split.parts.toSpliced(index, 2, merged.value),
    };
    return resultOk({ ...side, layout: regionTidied(regionReplaced(side.layout, split, shorter)) });
  });
}

function partsMerged(first: Region, second: Region, seams: SeamDirection): Result<Region, EditProblem> {
  if (first.kind === 'split' && first.seams === seams) {
    const merged = partsMerged(lastOf(first.parts), second, seams);
    return merged.ok ? resultOk({ ...first, parts: first.parts.with(-1, merged.value) }) : merged;
  }
  if (second.kind === 'split' && second.seams === seams) {
    const merged = partsMerged(first, firstOf(second.parts), seams);
    return merged.ok ? resultOk({ ...second, parts: second.parts.with(0, merged.value) }) : merged;
  }
  if (second.kind === 'panel') return resultOk(first);
  if (first.kind === 'panel') return resultOk(second);
  if (!isCutAlike(first, second)) {
    return editProblem(
      'parts-unlike',
      'The parts on the two sides of this seam are cut at different places, so they cannot become one.',
      'Remove or align the seams in one of the two parts first.',
    );
  }
  const parts: Region[] = [];
  for (const [index, part] of first.parts.entries()) {
    const merged = partsMerged(part, itemAt(second.parts, index), seams);
    if (!merged.ok) return merged;
    parts.push(merged.value);
  }
  return resultOk({ ...first, parts });
}

const isCutAlike = (a: SplitRegion, b: SplitRegion): boolean =>
  a.joints.length === b.joints.length &&
  a.joints.every(({ atMm, shape }, index) => {
    const other = itemAt(b.joints, index);
    const isShapeAlike = JSON.stringify(shape) === JSON.stringify(other.shape);
    return isShapeAlike && Math.abs(atMm - other.atMm) <= LENGTH_TOLERANCE_MM;
  });

function regionReplaced(region: Region, old: SplitRegion, replacement: Region): Region {
  if (region === old) return replacement;
  if (region.kind === 'panel') return region;
  return { ...region, parts: region.parts.map((part) => regionReplaced(part, old, replacement)) };
}

/** The same panels and seams in the simplest tree: no split of one part, no split inside a split of its direction. */
export function regionTidied(region: Region): Region {
  if (region.kind === 'panel') return region;
  const joints: Joint[] = [];
  const parts: Region[] = [];
  for (const [index, part] of region.parts.map(regionTidied).entries()) {
    if (index > 0) joints.push(itemAt(region.joints, index - 1));
    if (part.kind === 'split' && part.seams === region.seams) {
      joints.push(...part.joints);
      parts.push(...part.parts);
    } else {
      parts.push(part);
    }
  }
  return parts.length === 1 ? firstOf(parts) : { ...region, joints, parts };
}

/** What the parts of a split share equally: the visible width, or their film. */
export interface Distribution {
  readonly of?: 'side' | 'film';
  /** Seams are rounded to whole steps of this; absent: not rounded. */
  readonly stepMm?: Mm;
}

/**
 * Spreads the seams of the split that holds `seamId` evenly. Film includes bleed and extensions past seams: 3,100 mm
 * with 50 mm bleed at both ends and a seam of 15 and 10 mm give two films of 1,612.5 mm with the seam at 1,547.5.
 * Locked seams stay; the seams between two of them share that stretch.
 */
export function seamsDistribute(job: Job, { sideId, seamId, ...by }: SeamOfSide & Distribution): EditResult {
  return sideEdited(job, sideId, ({ side, outline }) => {
    const found = seamInSplit(side.layout, outline, seamId);
    if (!found) return seamUnknown(side, seamId);
    const { split, rect } = found;
    if (split.joints.some(({ shape }) => shape)) {
      return editProblem(
        'seam-shaped',
        'One of these seams has the shape of a body line, so they cannot be distributed evenly.',
        'Straighten it first, or move the seams one by one.',
      );
    }
    const across = rectAcross(rect, split.seams);
    const whole = rectAcross(outline, split.seams);
    const [startEdge, endEdge] =
      split.seams === 'vertical' ? (['left', 'right'] as const) : (['top', 'bottom'] as const);
    const ends = {
      start: across.start === whole.start ? side.bleed[startEdge] : 0,
      end: across.end === whole.end ? side.bleed[endEdge] : 0,
    };
    const past = by.of === 'film' ? pastParts(split.joints, ends) : split.parts.map(() => 0);
    const positions = positionsEven(split.joints, across, past, by.stepMm);
    const joints = split.joints.map((joint, index) => ({ ...joint, atMm: itemAt(positions, index) }));
    return resultOk({ ...side, layout: regionReplaced(side.layout, split, { ...split, joints }) });
  });
}

/** Film of each part beyond its width: bleed at the ends of the side, and extensions past its seams. */
const pastParts = (joints: readonly Joint[], ends: Interval): readonly Mm[] =>
  [...joints, undefined].map(
    (after, index) => (joints[index - 1]?.secondMm ?? ends.start) + (after?.firstMm ?? ends.end),
  );

/**
 * Positions between the ends and the locked seams that give parts equal shares, including film beyond their width: `0 _
 * _ 900` → 300, 600.
 */
function positionsEven(
  joints: readonly Joint[],
  across: Interval,
  past: readonly Mm[],
  stepMm: Mm | undefined,
): readonly Mm[] {
  const positions: Mm[] = [];
  let start = across.start;
  let waiting: Mm[] = [];
  const share = (end: Mm) => {
    const each = (end - start + waiting.reduce((sum, beyond) => sum + beyond, 0)) / waiting.length;
    let at = start;
    for (const beyond of waiting.slice(0, -1)) {
      at += each - beyond;
      positions.push(stepMm === undefined ? at : Math.round(at / stepMm) * stepMm);
    }
    start = end;
    waiting = [];
  };
  for (const [index, { locked, atMm }] of joints.entries()) {
    waiting.push(itemAt(past, index));
    if (!locked) continue;
    share(atMm);
    positions.push(atMm);
  }
  waiting.push(lastOf(past));
  share(across.end);
  return positions;
}
