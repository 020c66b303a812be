import type { Job } from '../../core/job/schema.ts';
import { type JobUnit, jobUnits, sideVehicle, unitKey } from '../../core/job/vehicles.ts';
import { listText } from '../../core/measure/list-text.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { ManifestPanel } from '../../core/output/manifest.ts';

/** The vehicles that panels of a side are on. */
export const unitsOfSide = (job: Job, sideId: string): JobUnit[] => {
  const side = job.sides.find(({ id }) => id === sideId);
  return side ? jobUnits(job).filter(({ vehicle }) => vehicle === sideVehicle(job, side)) : [];
};

/**
 * The unit number of the vehicle that panels are printed again for; undefined where the job has one vehicle, or one of
 * each type. A fleet has a print of a panel for each of its vehicles, so which of them has to be said.
 */
export function reprintVehicle(
  job: Job,
  panels: readonly Pick<ManifestPanel, 'label' | 'sideId'>[],
  asked: string | undefined,
): Result<string | undefined, Problem> {
  const all = jobUnits(job);
  if (asked === undefined) {
    const several = panels.find(({ sideId }) => unitsOfSide(job, sideId).length > 1);
    if (!several) return resultOk(undefined);
    return resultProblem({
      code: 'reprint-vehicle-needed',
      message: `Panel ${several.label} is on ${unitsOfSide(job, several.sideId).length} vehicles, and nobody said for which it is printed again.`,
      remedy: `Name one of: ${numbersOf(unitsOfSide(job, several.sideId))}.`,
    });
  }
  const unit = all.find(({ unitNumber }) => unitKey(unitNumber) === unitKey(asked));
  if (!unit) {
    return resultProblem({
      code: 'reprint-vehicle-unknown',
      message: `The job had no vehicle ${asked} when this output was written.`,
      remedy: `Name one of: ${numbersOf(all)}.`,
    });
  }
  const elsewhere = panels.find(({ sideId }) => !isOn(job, sideId, unit));
  if (elsewhere) {
    return resultProblem({
      code: 'reprint-vehicle-other',
      message: `Panel ${elsewhere.label} is not on ${unit.unitNumber}, but on ${numbersOf(unitsOfSide(job, elsewhere.sideId))}.`,
      remedy: 'Reprint the panels of each type of vehicle on their own.',
    });
  }
  return resultOk(all.length > 1 ? unit.unitNumber : undefined);
}

const isOn = (job: Job, sideId: string, { unitNumber }: JobUnit): boolean =>
  unitsOfSide(job, sideId).some((each) => each.unitNumber === unitNumber);

const numbersOf = (units: readonly JobUnit[]): string => listText(units.map(({ unitNumber }) => unitNumber));
