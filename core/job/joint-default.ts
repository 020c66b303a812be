import type { Mm } from '../measure/units.ts';
import { DEFAULT_LAP_MM } from './defaults.ts';
import { trimOff } from './lap-figures.ts';
import type { Job, Joint, SeamDirection, SeamTrim, Side } from './schema.ts';

/**
 * Share of a new lap that runs under: 15 of 25 mm stay when the top part is trimmed on the seam line, more
 * than the half inch that holds, and 10 mm are there to trim. Common practice, no source.
 */
const UNDER_SHARE = 0.6;

/** Which part lies on top when the trade chooses: upper over lower, front over rear. */
export function topDefault(seams: SeamDirection, front: Side['front']): Joint['top'] {
  if (seams === 'horizontal') return 'first';
  return front === 'left' ? 'first' : 'second';
}

/** The allowances of a lap of `overlapMm`, most of it under the top part. */
export function lapAllowances(top: Joint['top'], overlapMm: Mm): Pick<Joint, 'firstMm' | 'secondMm'> {
  const under = overlapMm * UNDER_SHARE;
  const over = overlapMm - under;
  return top === 'first' ? { firstMm: over, secondMm: under } : { firstMm: under, secondMm: over };
}

/** How the upper edge of a lap is trimmed: in the shop where it ends on the seam line, else as the seam or the job says. */
export function jointTrim({ limits }: Pick<Job, 'limits'>, joint: Joint): SeamTrim | 'shop' {
  return trimOff(joint) > 0 ? (joint.trim ?? limits.seamTrim ?? 'tape') : 'shop';
}

/** A joint as the trade would make it, with whatever `given` says otherwise. */
export function jointDefault(
  id: string,
  atMm: Mm,
  seams: SeamDirection,
  front: Side['front'],
  given: Partial<Omit<Joint, 'id' | 'atMm'>> = {},
): Joint {
  const top = given.top ?? topDefault(seams, front);
  const kind = given.kind ?? 'lap';
  const allowances = kind === 'butt' ? { firstMm: 0, secondMm: 0 } : lapAllowances(top, DEFAULT_LAP_MM);
  return { id, kind, atMm, ...allowances, top, ...given };
}
