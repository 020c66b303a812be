/** Changing how parts meet, for one seam, several, or all of a side. */
import { resultOk } from '../../measure/result.ts';
import type { Allowances } from '../../shop/allowances.ts';
import { jobAllowances, lapAllowances } from '../joint-default.ts';
import { trimOff } from '../lap-figures.ts';
import { regionJoints, regionWithJoints } from '../region.ts';
import type { Job, Joint, SeamTrim } from '../schema.ts';
import { type EditResult, seamUnknown, sideEdited } from './edit.ts';

export interface SeamsOfSide {
  readonly sideId: string;
  readonly seamIds: readonly string[] | 'all';
}

export type JointChange = Partial<Pick<Joint, 'kind' | 'firstMm' | 'secondMm' | 'top'>> & {
  readonly locked?: boolean;
};

/**
 * Changes joints. A joint that becomes a butt seam loses its allowances; an overlap or body-gap seam without allowances
 * gets those of a new overlap, unless `change` sets others.
 */
export function jointsChange(
  job: Job,
  { change, ...seams }: SeamsOfSide & { readonly change: JointChange },
): EditResult {
  return jointsEdited(job, seams, (joint) => jointChanged(joint, change, jobAllowances(job)));
}

function jointChanged(joint: Joint, change: JointChange, allowances: Allowances): Joint {
  const changed: Joint = { ...joint, ...change };
  if (changed.kind === 'butt') {
    return { ...changed, firstMm: change.firstMm ?? 0, secondMm: change.secondMm ?? 0 };
  }
  if (joint.kind !== 'butt' || change.firstMm !== undefined || change.secondMm !== undefined) return changed;
  return { ...changed, ...lapAllowances(changed.top, allowances.overlapMm, allowances) };
}

/** Puts the other part on top. The allowances are swapped too, so that the covered width stays the same. Keeps ED7. */
export function jointTopsSwap(job: Job, seams: SeamsOfSide): EditResult {
  return jointsEdited(job, seams, (joint) => ({
    ...joint,
    top: joint.top === 'first' ? 'second' : 'first',
    firstMm: joint.secondMm,
    secondMm: joint.firstMm,
  }));
}

/**
 * Sets how laps are trimmed. For trimming in the shop, the upper part ends on the seam line and its share of the
 * overlap moves to the lower part. For trimming on the vehicle the upper part needs spare image, so a lap without any
 * is divided like a new one.
 */
export function seamTrimChange(
  job: Job,
  { trim, ...seams }: SeamsOfSide & { readonly trim: SeamTrim | 'shop' },
): EditResult {
  return jointsEdited(job, seams, (joint) => {
    if (joint.kind !== 'lap') return joint;
    const overlapMm = joint.firstMm + joint.secondMm;
    if (trim !== 'shop') {
      return {
        ...joint,
        trim,
        ...(trimOff(joint) > 0 ? {} : lapAllowances(joint.top, overlapMm, jobAllowances(job))),
      };
    }
    const [firstMm, secondMm] = joint.top === 'first' ? [0, overlapMm] : [overlapMm, 0];
    return { ...joint, firstMm, secondMm };
  });
}

function jointsEdited(job: Job, { sideId, seamIds }: SeamsOfSide, edit: (joint: Joint) => Joint): EditResult {
  return sideEdited(job, sideId, ({ side }) => {
    const known = new Set(regionJoints(side.layout).map(({ id }) => id));
    const chosen = seamIds === 'all' ? known : new Set(seamIds);
    const unknown = [...chosen].find((id) => !known.has(id));
    if (unknown !== undefined) return seamUnknown(side, unknown);
    const layout = regionWithJoints(side.layout, (joint) => (chosen.has(joint.id) ? edit(joint) : joint));
    return resultOk({ ...side, layout });
  });
}
