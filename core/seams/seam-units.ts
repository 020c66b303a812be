import { busyMeters } from './picture-energy.ts';
import { type PlanWeights, seamUnits } from './plan-objective.ts';
import type { JointShape, PlanSide } from './plan-side.ts';
import { type SeamCost, seamCost, seamParts } from './seam-parts.ts';
import type { SeamPlace } from './seam-place.ts';
import { isMovedSeam } from './slice-costs.ts';

/** Cost of one seam including the picture in its band, without limits. */
export function seamCostAt(side: PlanSide, place: SeamPlace, joint: JointShape): SeamCost {
  const parts = seamParts(side, place);
  const busy = side.energy ? busyMeters(side.energy, place, joint.first, joint.second) : 0;
  return seamCost(side, joint, { ...parts, busy });
}

/** The same in units of an objective. */
export const seamUnitsAt = (
  side: PlanSide,
  weights: PlanWeights,
  place: SeamPlace,
  joint: JointShape,
): number =>
  seamUnits(weights, seamCostAt(side, place, joint), isMovedSeam(side, place.axis, place.at, place.path));
