import type { Problem } from '../measure/result.ts';
import { firstOf } from './item-invariants.ts';
import type { Job } from './schema.ts';
import { sideCalled, unitKey } from './vehicles.ts';

export type VehicleInvariantCode =
  | 'vehicle-id-twice'
  | 'vehicle-code-missing'
  | 'vehicle-code-twice'
  | 'unit-number-twice'
  | 'side-vehicle'
  | 'side-code-twice';

/** The first inconsistency among the vehicles of a job and their sides. */
export const vehiclesProblem = (job: Job): Problem<VehicleInvariantCode> | undefined =>
  typesProblem(job) ?? unitsProblem(job) ?? sidesProblem(job);

/** Labels and file names begin with the type's code, so each of several types needs a different one. */
function typesProblem({ vehicles }: Job): Problem<VehicleInvariantCode> | undefined {
  return firstOf(vehicles.entries(), ([index, { id, code }]) => {
    if (vehicles.findIndex((other) => other.id === id) < index) {
      return {
        code: 'vehicle-id-twice',
        message: `Two types of vehicle have the id “${id}” (vehicles[${index}].id).`,
        remedy: 'Give each type of vehicle an id of its own.',
      };
    }
    if (vehicles.length === 1) return undefined;
    if (code === undefined) {
      return {
        code: 'vehicle-code-missing',
        message: `The job has ${vehicles.length} types of vehicle, and one has no code (vehicles[${index}].code).`,
        remedy: 'Give each type a code of 1 to 4 capital letters, such as T for the trailer.',
      };
    }
    if (vehicles.findIndex((other) => other.code === code) === index) return undefined;
    return {
      code: 'vehicle-code-twice',
      message: `Two types of vehicle have the code ${code} (vehicles[${index}].code).`,
      remedy: 'Give each type of vehicle a code of its own.',
    };
  });
}

/** Labels, sheets and reprints identify a vehicle by its unit number alone. */
function unitsProblem({ vehicles }: Job): Problem<VehicleInvariantCode> | undefined {
  const places = new Map<string, string>();
  return firstOf(vehicles.entries(), ([index, { units }]) =>
    firstOf(units.entries(), ([n, { unitNumber }]) => {
      const place = `vehicles[${index}].units[${n}].unitNumber`;
      const before = places.get(unitKey(unitNumber));
      places.set(unitKey(unitNumber), place);
      if (before === undefined) return undefined;
      return {
        code: 'unit-number-twice',
        message: `The unit number “${unitNumber}” is there twice, at ${before} and at ${place}.`,
        remedy: 'Give each vehicle a unit number of its own.',
      };
    }),
  );
}

/**
 * Panel labels and file names begin with the side's code: with two sides LH on one vehicle, panels would overwrite each
 * other.
 */
function sidesProblem(job: Job): Problem<VehicleInvariantCode> | undefined {
  const firsts = new Map<string, string>();
  return firstOf(job.sides.entries(), ([index, side]) => {
    const { name, vehicleId } = side;
    if (vehicleId !== undefined && !job.vehicles.some(({ id }) => id === vehicleId)) {
      return {
        code: 'side-vehicle',
        message: `The side “${name}” belongs to the type of vehicle “${vehicleId}” (sides[${index}].vehicleId), which the job does not have.`,
        remedy: 'Name a type of vehicle of the job, or leave out `vehicleId`.',
      };
    }
    const { code } = sideCalled(job, side);
    const first = firsts.get(code);
    firsts.set(code, first ?? name);
    if (first === undefined) return undefined;
    return {
      code: 'side-code-twice',
      message: `The sides “${first}” and “${name}” (sides[${index}].code) both have the code ${side.code}.`,
      remedy: 'Give each side a code of its own, such as LH and RH.',
    };
  });
}
