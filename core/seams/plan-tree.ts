import { z } from 'zod';
import { isRectWithin, type Rect, rectFromEdges } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { edgeTrims, JointShape, jointTrims, type PlanSide } from './plan-side.ts';
import { type SeamAxis, SeamPlace } from './seam-place.ts';

export interface PlanJoint extends JointShape {
  readonly at: Mm;
}

/** A layout without names: the same shape as a job's regions, before panels and joints have ids. */
export type PlanTree =
  | { readonly kind: 'panel' }
  | {
      readonly kind: 'split';
      readonly axis: SeamAxis;
      readonly joints: readonly PlanJoint[];
      readonly parts: readonly PlanTree[];
    };

export const PANEL: PlanTree = { kind: 'panel' };

/**
 * A rectangle with how far image runs past each of its edges (bleed at the side's outline, else a joint's allowance),
 * whether the edge is trimmed in the shop (1) or not (0), and the border round the film.
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

/** A frame cut in two at a joint: the part before the seam, the part after. */
export function frameCut(
  frame: PlanFrame,
  axis: SeamAxis,
  joint: PlanJoint,
): readonly [PlanFrame, PlanFrame] {
  const { at, first, second } = joint;
  const trims = jointTrims(joint, frame.border);
  return axis === 'vertical'
    ? [
        { ...frame, right: at, reachRight: first, trimRight: trims.first },
        { ...frame, left: at, reachLeft: second, trimLeft: trims.second },
      ]
    : [
        { ...frame, bottom: at, reachBottom: first, trimBottom: trims.first },
        { ...frame, top: at, reachTop: second, trimTop: trims.second },
      ];
}

export const frameSeam = (frame: PlanFrame, axis: SeamAxis, at: Mm): SeamPlace =>
  axis === 'vertical'
    ? { axis, at, from: frame.top, to: frame.bottom }
    : { axis, at, from: frame.left, to: frame.right };

/** A frame as the seams of an axis see it: its ends along the positions, and where its seams begin and end. */
export function frameAlong(frame: PlanFrame, axis: SeamAxis) {
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

/** Film across and down for a panel that fills a frame. */
export const frameFilm = (frame: PlanFrame): { readonly width: Mm; readonly height: Mm } => ({
  width: frame.right - frame.left + frame.reachLeft + frame.reachRight + 2 * frame.border,
  height: frame.bottom - frame.top + frame.reachTop + frame.reachBottom + 2 * frame.border,
});

/** Edges of a panel that are trimmed in the shop. */
export const frameTrims = ({ trimLeft, trimTop, trimRight, trimBottom }: PlanFrame): number =>
  trimLeft + trimTop + trimRight + trimBottom;

/** Whether a panel lies wholly within a no-film area: no film is printed for it, so it costs nothing and has no limits. */
export const isFrameOpen = (side: PlanSide, frame: PlanFrame): boolean =>
  side.noFilmAreas.some(({ rect }) => isRectWithin(frameNet(frame), rect));

export interface PlannedPanel {
  readonly frame: PlanFrame;
}

export const PlannedSeam = z.strictObject({ place: SeamPlace, joint: JointShape });
export type PlannedSeam = z.infer<typeof PlannedSeam>;

/** The panels and seams of a tree that fills a frame, parts in order, seams outside in. Panels in no-film areas are among them. */
export function treeParts(
  tree: PlanTree,
  frame: PlanFrame,
): { readonly panels: PlannedPanel[]; readonly seams: PlannedSeam[] } {
  if (tree.kind === 'panel') return { panels: [{ frame }], seams: [] };
  const seams: PlannedSeam[] = tree.joints.map((joint) => ({
    place: frameSeam(frame, tree.axis, joint.at),
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

export function partFrame(
  sequence: Extract<PlanTree, { kind: 'split' }>,
  frame: PlanFrame,
  index: number,
): PlanFrame {
  const [before, after] = [sequence.joints[index - 1], sequence.joints[index]];
  let part = frame;
  if (after) part = frameCut(part, sequence.axis, after)[0];
  if (before) part = frameCut(part, sequence.axis, before)[1];
  return part;
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
