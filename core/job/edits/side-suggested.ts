/** Suggests the name of a side and its direction of travel. */
import type { Rect } from '../../measure/rect.ts';
import { LEFT_RIGHT_SIDES, type SidePair } from '../../shop/side-names.ts';
import type { Job, Side, Vehicle } from '../schema.ts';
import { storedFromRect } from '../stored-rect.ts';
import { firstVehicle, sideVehicle } from '../vehicles.ts';
import type { SideNew } from './side-edits.ts';

type SideName = Pick<Side, 'code' | 'name' | 'front'>;

/** The long sides of a vehicle, named as in the job's shop. */
function sidePair({ sideNames }: Pick<Job, 'sideNames'>, { kind }: Pick<Vehicle, 'kind'>): SidePair {
  const { vehicle, trailer } = sideNames ?? LEFT_RIGHT_SIDES;
  return kind === 'trailer' || kind === 'bus' ? trailer : vehicle;
}

/** In the order in which a shop draws sides. In the trade RR and RF mean the right rear and the right front. */
function usualSides(job: Pick<Job, 'sideNames'>, vehicle: Pick<Vehicle, 'kind'>): readonly SideName[] {
  const { left, right } = sidePair(job, vehicle);
  return [
    { ...left, front: 'left' },
    { ...right, front: 'right' },
    { code: 'REAR', name: 'Rear', front: 'none' },
    { code: 'FRONT', name: 'Front', front: 'none' },
    { code: 'ROOF', name: 'Roof', front: 'none' },
    { code: 'HOOD', name: 'Hood', front: 'none' },
  ];
}

/** The usual roles of a side, in the order of `usualSides`. */
export const USUAL_SIDES = ['left', 'right', 'rear', 'front', 'roof', 'hood'] as const;
export type UsualSide = (typeof USUAL_SIDES)[number] | 'other';

/** The role of a side by its code. */
export function roleOfSide(job: Pick<Job, 'sideNames' | 'vehicles'>, side: Side): UsualSide {
  const at = usualSides(job, sideVehicle(job, side)).findIndex(({ code }) => code === side.code);
  return USUAL_SIDES[at] ?? 'other';
}

type WithSides = Pick<Job, 'sides' | 'sideNames' | 'vehicles'>;

const codesTaken = (job: WithSides, vehicle: Vehicle): ReadonlySet<string> =>
  new Set(job.sides.filter((side) => sideVehicle(job, side) === vehicle).map(({ code }) => code));

/**
 * Code, name and front of a side by its role on the first vehicle; a number where the vehicle already has a side with
 * that code.
 */
export function sideOfRole(job: WithSides, role: UsualSide): SideName {
  const vehicle = firstVehicle(job);
  const usual = role === 'other' ? undefined : usualSides(job, vehicle)[USUAL_SIDES.indexOf(role)];
  const taken = codesTaken(job, vehicle);
  return usual !== undefined && !taken.has(usual.code) ? usual : numberedSide(taken);
}

function numberedSide(taken: ReadonlySet<string>): SideName {
  let number = taken.size + 1;
  while (taken.has(`S${number}`)) number += 1;
  return { code: `S${number}`, name: `Side ${number}`, front: 'none' };
}

/** The next side of a vehicle: the first usual one that is missing, else a number. `rect` is in drawn millimeters. */
export function sideSuggested(job: Job, page: number, rect: Rect, vehicle = firstVehicle(job)): SideNew {
  const taken = codesTaken(job, vehicle);
  const free = usualSides(job, vehicle).find(({ code }) => !taken.has(code));
  return {
    ...(free ?? numberedSide(taken)),
    ...(vehicle !== firstVehicle(job) && { vehicleId: vehicle.id }),
    page,
    artworkRect: storedFromRect(rect),
  };
}
