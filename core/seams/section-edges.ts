import type { Mm } from '../measure/units.ts';
import { edgeTrims, jointTrims, type PlanSide, type PlanStock, sideLength } from './plan-side.ts';
import type { SeamAxis } from './seam-place.ts';
import { linesWithOwnJoint, type SectionLine, sectionLines } from './section-lines.ts';

/** Which layouts are searched: one plain sequence in either direction, or sections in both. */
export type PlanScope = SeamAxis | 'mixed';

/** A place where a rectangle of the search may end: the outline, or a section line. */
export interface SectionEdge {
  readonly at: Mm;
  /** How far the image of a part that begins here extends before the edge, and of a part that ends here beyond it. */
  readonly reachBefore: Mm;
  readonly reachBeyond: Mm;
  /** Number of shop trims along the edge, 1 or 0, for a part that begins here and for one that ends here. */
  readonly trimBefore: number;
  readonly trimBeyond: number;
  readonly line?: SectionLine;
}

/** The edges of an axis's rectangles: the side's outline, and its section lines between. */
export function sectionEdges(
  side: PlanSide,
  stock: PlanStock,
  scope: PlanScope,
  axis: SeamAxis,
): SectionEdge[] {
  const all = sectionLines(side, stock, axis);
  const lines = scope === 'mixed' ? all : scope === axis ? linesWithOwnJoint(all) : [];
  const { bleed, border } = side;
  const [start, end] = axis === 'vertical' ? [bleed.left, bleed.right] : [bleed.top, bleed.bottom];
  const outline = { reachBefore: 0, reachBeyond: 0, trimBefore: 0, trimBeyond: 0 };
  return [
    { ...outline, at: 0, reachBefore: start, trimBefore: edgeTrims(start, border) },
    ...lines.map((line): SectionEdge => {
      const trims = jointTrims(line.joint, border);
      return {
        at: line.at,
        reachBefore: line.joint.second,
        reachBeyond: line.joint.first,
        trimBefore: trims.second,
        trimBeyond: trims.first,
        line,
      };
    }),
    { ...outline, at: sideLength(side, axis), reachBeyond: end, trimBeyond: edgeTrims(end, border) },
  ];
}
