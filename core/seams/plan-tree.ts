import { z } from 'zod';
import {
  type EdgePaths,
  edgesGrown,
  type Outline,
  outlineFromEdges,
  rectEdgePaths,
  straightEdges,
} from '../measure/outline.ts';
import { isPathStraight, type Path, pathRange, pathsDistance, straightPath } from '../measure/path.ts';
import { firstOf } from '../measure/present.ts';
import {
  type Edge,
  type EdgeLengths,
  type Rect,
  rectFromEdges,
  rectHorizontal,
  rectVertical,
} from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { isRectInArea } from './area-meeting.ts';
import { edgeTrims, JointShape, jointTrims, type PlanSide } from './plan-side.ts';
import { type SeamAxis, SeamPlace } from './seam-place.ts';

export interface PlanJoint extends JointShape {
  readonly at: Mm;
  /** Path of the seam, where it is not straight at `at`. */
  readonly path?: Path;
  /** The body line that the seam follows. */
  readonly follows?: string;
}

/** A layout without ids: the same shape as a job's regions, before panels and joints are named. */
export type PlanTree = { readonly kind: 'panel' } | PlanSplit;

export interface PlanSplit {
  readonly kind: 'split';
  readonly axis: SeamAxis;
  readonly joints: readonly PlanJoint[];
  readonly parts: readonly PlanTree[];
}

export const PANEL: PlanTree = { kind: 'panel' };

/** Whether a seam of a layout slopes or curves. */
export const isTreeShaped = (tree: PlanTree): boolean =>
  tree.kind === 'split' && (tree.joints.some(({ path }) => path) || tree.parts.some(isTreeShaped));

/**
 * A rectangle (or the bounding rectangle, where an edge slopes or curves), with how far the image extends past each
 * edge (bleed at the side's outline, else a joint's allowance), whether the edge is trimmed in the shop (1) or not (0),
 * and the border round the film.
 */
export interface PlanFrame {
  readonly left: Mm;
  readonly top: Mm;
  readonly right: Mm;
  readonly bottom: Mm;
  readonly reachLeft: Mm;
  readonly reachTop: Mm;
  readonly reachRight: Mm;
  readonly reachBottom: Mm;
  readonly trimLeft: number;
  readonly trimTop: number;
  readonly trimRight: number;
  readonly trimBottom: number;
  readonly border: Mm;
  /** Set where an edge slopes or curves. */
  readonly outline?: Outline;
}

export const sideFrame = (side: PlanSide): PlanFrame => ({
  left: 0,
  top: 0,
  right: side.width,
  bottom: side.height,
  reachLeft: side.bleed.left,
  reachTop: side.bleed.top,
  reachRight: side.bleed.right,
  reachBottom: side.bleed.bottom,
  trimLeft: edgeTrims(side.bleed.left, side.border),
  trimTop: edgeTrims(side.bleed.top, side.border),
  trimRight: edgeTrims(side.bleed.right, side.border),
  trimBottom: edgeTrims(side.bleed.bottom, side.border),
  border: side.border,
});

/**
 * Cuts a frame in two at a joint: the part before the seam, the part after it. A part whose edges enclose no area is
 * undefined.
 */
export function frameCut(
  frame: PlanFrame,
  axis: SeamAxis,
  joint: PlanJoint,
): readonly [PlanFrame, PlanFrame] {
  const { at, first, second } = joint;
  const trims = jointTrims(joint, frame.border);
  const [before, after]: [PlanFrame, PlanFrame] =
    axis === 'vertical'
      ? [
          { ...frame, right: at, reachRight: first, trimRight: trims.first },
          { ...frame, left: at, reachLeft: second, trimLeft: trims.second },
        ]
      : [
          { ...frame, bottom: at, reachBottom: first, trimBottom: trims.first },
          { ...frame, top: at, reachTop: second, trimTop: trims.second },
        ];
  if (!joint.path && !frame.outline) return [before, after];
  const edges = frame.outline?.edges ?? rectEdgePaths(frameNet(frame));
  const path = joint.path ?? straightPath(at);
  const [start, last] = axisEdges(axis);
  return [frameShaped(before, { ...edges, [last]: path }), frameShaped(after, { ...edges, [start]: path })];
}

/** The edges at which the parts of a split begin and end. */
export const axisEdges = (axis: SeamAxis): readonly [Edge, Edge] =>
  axis === 'vertical' ? ['left', 'right'] : ['top', 'bottom'];

function frameShaped({ outline: _, ...frame }: PlanFrame, edges: EdgePaths): PlanFrame {
  const straight = straightEdges(edges);
  if (straight) return { ...frame, ...straight };
  const outline = outlineFromEdges(edges);
  if (!outline) return { ...frame, left: Number.NaN, top: Number.NaN, right: Number.NaN, bottom: Number.NaN };
  const [across, down] = [rectHorizontal(outline.rect), rectVertical(outline.rect)];
  return { ...frame, left: across.start, right: across.end, top: down.start, bottom: down.end, outline };
}

/** The course of a joint inside a frame. */
export function frameSeam(
  frame: PlanFrame,
  axis: SeamAxis,
  joint: Pick<PlanJoint, 'at' | 'path'>,
): SeamPlace {
  const { at, path } = joint;
  const [start, end] = axis === 'vertical' ? [frame.top, frame.bottom] : [frame.left, frame.right];
  if (!path && !frame.outline) return { axis, at, from: start, to: end };
  const edges = frame.outline?.edges ?? rectEdgePaths(frameNet(frame));
  const [, last] = axisEdges(axis);
  const span = outlineFromEdges({ ...edges, [last]: path ?? straightPath(at) })?.spans[last];
  return { axis, at, from: span?.start ?? start, to: span?.end ?? end, ...(path && { path }) };
}

const frameReaches = ({ reachTop, reachRight, reachBottom, reachLeft }: PlanFrame): EdgeLengths => ({
  top: reachTop,
  right: reachRight,
  bottom: reachBottom,
  left: reachLeft,
});

/** Whether a frame has an edge along a joint. */
export function isEdgeOn(frame: PlanFrame, edge: Edge, { at, path }: PlanJoint): boolean {
  const own = frame.outline?.edges[edge];
  if (!own) return !path && frame[edge] === at;
  return path ? own === path : isPathStraight(own) && firstOf(own).across === at;
}

/** The narrowest width of a frame in either direction. */
export function frameNarrowest(frame: PlanFrame): Mm {
  const { outline } = frame;
  if (!outline) return Math.min(frame.right - frame.left, frame.bottom - frame.top);
  const { edges, rect } = outline;
  return Math.min(
    pathsDistance(edges.left, edges.right, rectVertical(rect)),
    pathsDistance(edges.top, edges.bottom, rectHorizontal(rect)),
  );
}

/**
 * A frame relative to the seams of an axis: its ends along the positions, and where its seams begin and end. At a
 * sloping or curved edge, seams stay clear of its innermost place and the image extends to its outermost.
 */
export function frameAlong(frame: PlanFrame, axis: SeamAxis) {
  const needed = frame.outline && outlineFromEdges(edgesGrown(frame.outline.edges, frameReaches(frame)));
  if (frame.outline && needed) {
    const { edges, rect } = frame.outline;
    const [first, last] = axisEdges(axis);
    const [along, across] =
      axis === 'vertical'
        ? [rectHorizontal(needed.rect), rectVertical(needed.rect)]
        : [rectVertical(needed.rect), rectHorizontal(needed.rect)];
    const start = pathRange(edges[first], across).end;
    const end = pathRange(edges[last], across).start;
    const seams = axis === 'vertical' ? rectVertical(rect) : rectHorizontal(rect);
    return {
      start,
      end,
      startReach: start - along.start,
      endReach: along.end - end,
      from: seams.start,
      to: seams.end,
      acrossPrinted: across.end - across.start,
    };
  }
  const width = frame.right - frame.left + frame.reachLeft + frame.reachRight;
  const height = frame.bottom - frame.top + frame.reachTop + frame.reachBottom;
  return axis === 'vertical'
    ? {
        start: frame.left,
        end: frame.right,
        startReach: frame.reachLeft,
        endReach: frame.reachRight,
        from: frame.top,
        to: frame.bottom,
        /** Printed size across the positions, the same for all panels of a plain sequence. */
        acrossPrinted: height,
      }
    : {
        start: frame.top,
        end: frame.bottom,
        startReach: frame.reachTop,
        endReach: frame.reachBottom,
        from: frame.left,
        to: frame.right,
        acrossPrinted: width,
      };
}

export const frameNet = (frame: PlanFrame): Rect<'finished'> =>
  rectFromEdges<'finished'>(frame.left, frame.top, frame.right, frame.bottom);

/** Film width and height for a panel that fills a frame. */
export function frameFilm(frame: PlanFrame): { readonly width: Mm; readonly height: Mm } {
  const { outline, border } = frame;
  if (outline) {
    const needed = outlineFromEdges(edgesGrown(outline.edges, frameReaches(frame)));
    const { width, height } = needed?.rect ?? { width: Number.NaN, height: Number.NaN };
    return { width: width + 2 * border, height: height + 2 * border };
  }
  return {
    width: frame.right - frame.left + frame.reachLeft + frame.reachRight + 2 * border,
    height: frame.bottom - frame.top + frame.reachTop + frame.reachBottom + 2 * border,
  };
}

/** Number of edges of a panel that are trimmed in the shop. */
export const frameTrims = ({ trimLeft, trimTop, trimRight, trimBottom }: PlanFrame): number =>
  trimLeft + trimTop + trimRight + trimBottom;

/** Whether a panel is wholly within a no-film area: no film is printed for it, so it costs nothing and has no limits. */
export const isFrameOpen = (side: PlanSide, frame: PlanFrame): boolean =>
  side.noFilmAreas.some((area) => isRectInArea(frameNet(frame), area));

export interface PlannedPanel {
  readonly frame: PlanFrame;
}

export const PlannedSeam = z.strictObject({ place: SeamPlace, joint: JointShape });
export type PlannedSeam = z.infer<typeof PlannedSeam>;

/**
 * The panels and seams of a tree that fills a frame: parts in order, outer seams before inner ones. Panels in no-film
 * areas are included.
 */
export function treeParts(
  tree: PlanTree,
  frame: PlanFrame,
): { readonly panels: PlannedPanel[]; readonly seams: PlannedSeam[] } {
  if (tree.kind === 'panel') return { panels: [{ frame }], seams: [] };
  const seams: PlannedSeam[] = tree.joints.map((joint) => ({
    place: frameSeam(frame, tree.axis, joint),
    joint,
  }));
  const panels: PlannedPanel[] = [];
  for (const [index, part] of tree.parts.entries()) {
    const inner = treeParts(part, partFrame(tree, frame, index));
    panels.push(...inner.panels);
    seams.push(...inner.seams);
  }
  return { panels, seams };
}

export const partFrame = (split: PlanSplit, frame: PlanFrame, index: number): PlanFrame =>
  frameBetween(frame, split.axis, split.joints[index - 1], split.joints[index]);

/** The frame of the two parts beside a joint as one. */
export const pairFrame = (split: PlanSplit, frame: PlanFrame, index: number): PlanFrame =>
  frameBetween(frame, split.axis, split.joints[index - 1], split.joints[index + 1]);

function frameBetween(
  frame: PlanFrame,
  axis: SeamAxis,
  before: PlanJoint | undefined,
  after: PlanJoint | undefined,
): PlanFrame {
  const first = after ? frameCut(frame, axis, after)[0] : frame;
  return before ? frameCut(first, axis, before)[1] : first;
}

/** Splits along one axis are one split: cuts found one by one become a row of parts. */
export function treeFromCut(axis: SeamAxis, joint: PlanJoint, before: PlanTree, after: PlanTree): PlanTree {
  const row = (tree: PlanTree) =>
    tree.kind === 'split' && tree.axis === axis ? tree : { joints: [], parts: [tree] };
  const [a, b] = [row(before), row(after)];
  return {
    kind: 'split',
    axis,
    joints: [...a.joints, joint, ...b.joints],
    parts: [...a.parts, ...b.parts],
  };
}
