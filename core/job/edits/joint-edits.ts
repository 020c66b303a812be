/** Changing how parts meet, for one seam, several, or all of a side. */
import { resultOk } from '../../measure/result.ts';
import { DEFAULT_LAP_MM } from '../defaults.ts';
import { lapAllowances } from '../joint-default.ts';
import { regionJoints, regionWithJoints } from '../region.ts';
import type { Job, Joint } from '../schema.ts';
import { type EditResult, seamUnknown, sideEdited } from './edit.ts';

export interface SeamsOfSide {
  readonly sideId: string;
  readonly seamIds: readonly string[] | 'all';
}

export type JointChange = Partial<Pick<Joint, 'kind' | 'firstMm' | 'secondMm' | 'top'>> & {
  readonly locked?: boolean;
};

/**
 * Changes joints. A joint that becomes a butt loses its allowances; one that becomes a lap or a break and has
 * none gets those of a new lap, unless `change` says otherwise.
 */
export function jointsChange(
  job: Job,
  { change, ...seams }: SeamsOfSide & { readonly change: JointChange },
): EditResult {
  return jointsEdited(job, seams, (joint) => jointChanged(joint, change));
}

function jointChanged(joint: Joint, change: JointChange): Joint {
  const changed: Joint = { ...joint, ...change };
  if (changed.kind === 'butt') {
    return { ...changed, firstMm: change.firstMm ?? 0, secondMm: change.secondMm ?? 0 };
  }
  if (joint.kind !== 'butt' || change.firstMm !== undefined || change.secondMm !== undefined) return changed;
  return { ...changed, ...lapAllowances(changed.top, DEFAULT_LAP_MM) };
}

/** Puts the other part on top. The allowances change places too, so that as much stays underneath as before. */
export function jointTopsSwap(job: Job, seams: SeamsOfSide): EditResult {
  return jointsEdited(job, seams, (joint) => ({
    ...joint,
    top: joint.top === 'first' ? 'second' : 'first',
    firstMm: joint.secondMm,
    secondMm: joint.firstMm,
  }));
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
