import type { Mm } from '../measure/units.ts';
import { type Allowances, finishedShare, METRIC_ALLOWANCES } from '../shop/allowances.ts';
import { trimOff } from './lap-figures.ts';
import type { Job, Joint, SeamDirection, SeamTrim, Side } from './schema.ts';

/** Starting values of new seams, sides and no-film areas of a job. */
export const jobAllowances = ({ allowances }: Pick<Job, 'allowances'>): Allowances =>
  allowances ?? METRIC_ALLOWANCES;

/** Which part is on top by trade custom: upper over lower, front over rear. */
export function topDefault(seams: SeamDirection, front: Side['front']): Joint['top'] {
  if (seams === 'horizontal') return 'first';
  return front === 'left' ? 'first' : 'second';
}

/** The shares of a lap of `overlapMm`: the finished overlap is under the top part. */
export function lapAllowances(
  top: Joint['top'],
  overlapMm: Mm,
  allowances: Allowances,
): Pick<Joint, 'firstMm' | 'secondMm'> {
  const under = overlapMm * finishedShare(allowances);
  const over = overlapMm - under;
  return top === 'first' ? { firstMm: over, secondMm: under } : { firstMm: under, secondMm: over };
}

/**
 * How the upper edge of a lap is trimmed: in the shop where it ends on the seam line, else by the seam's or the job's
 * setting.
 */
export function jointTrim({ limits }: Pick<Job, 'limits'>, joint: Joint): SeamTrim | 'shop' {
  return trimOff(joint) > 0 ? (joint.trim ?? limits.seamTrim ?? 'tape') : 'shop';
}

/** A joint by trade custom, with the values in `given` replaced. */
export function jointDefault(
  { id, atMm }: { readonly id: string; readonly atMm: Mm },
  seams: SeamDirection,
  front: Side['front'],
  given: Partial<Omit<Joint, 'id' | 'atMm'>>,
  allowances: Allowances,
): Joint {
  const top = given.top ?? topDefault(seams, front);
  const kind = given.kind ?? 'lap';
  const shares =
    kind === 'butt' ? { firstMm: 0, secondMm: 0 } : lapAllowances(top, allowances.overlapMm, allowances);
  return { id, kind, atMm, ...shares, top, ...given };
}
