import type { JointKind } from '../job/schema.ts';
import type { Mm } from '../measure/units.ts';

/**
 * Where film ends along a seam, as offsets from its line: the visible edge on the line, and at an overlap the hidden
 * edge under it. At a gap both edges are tucked in, so none is on the surface.
 */
export function filmEdges(joint: {
  readonly kind: JointKind;
  readonly first: Mm;
  readonly second: Mm;
  readonly top: 'first' | 'second';
}): readonly Mm[] {
  if (joint.kind === 'gap') return [];
  if (joint.kind === 'butt') return [0];
  return [0, joint.top === 'first' ? -joint.second : joint.first];
}
