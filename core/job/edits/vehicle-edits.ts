/** Types of vehicle of a job, and the units of each. */
import { listText } from '../../measure/list-text.ts';
import { foundIn } from '../../measure/present.ts';
import type { Job, Vehicle, VehicleKind, VehicleUnit } from '../schema.ts';
import { jobUnits, sideVehicle, unitKey } from '../vehicles.ts';
import { type EditResult, editFinished, editProblem } from './edit.ts';

/** Suggested when a job gets its second type of vehicle. */
const USUAL_CODES: Readonly<Record<VehicleKind, string>> = {
  van: 'V',
  truck: 'K',
  trailer: 'T',
  'box-body': 'B',
  bus: 'U',
  car: 'C',
  other: 'X',
};

const LETTERS = [...'ABCDEFGHIJKLMNOPQRSTUVWXYZ'];

const freeCode = (kind: VehicleKind, taken: readonly (string | undefined)[]): string =>
  foundIn([USUAL_CODES[kind], ...LETTERS], (code) => !taken.includes(code));

/** Adds a type of vehicle. Types without a code get one, because labels of several types begin with the code. */
export function vehicleAdd(
  job: Job,
  { kind, unitNumber }: { readonly kind: VehicleKind; readonly unitNumber: string },
): EditResult {
  const numbers = job.vehicles.map(({ id }) => Number(/\d{1,9}$/.exec(id)?.[0] ?? 0));
  const added: Vehicle = {
    id: `v${Math.max(...numbers) + 1}`,
    kind,
    units: [{ unitNumber, licensePlate: '' }],
  };
  const taken = job.vehicles.map(({ code }) => code);
  const vehicles = [...job.vehicles, added].map((vehicle): Vehicle => {
    if (vehicle.code !== undefined) return vehicle;
    const code = freeCode(vehicle.kind, taken);
    taken.push(code);
    return { ...vehicle, code };
  });
  return editFinished(job, { ...job, vehicles });
}

/** Removes a type of vehicle without sides; if only one type remains, it needs no code. */
export function vehicleRemove(job: Job, { vehicleId }: { readonly vehicleId: string }): EditResult {
  const vehicle = job.vehicles.find(({ id }) => id === vehicleId);
  if (!vehicle) return vehicleUnknown(vehicleId);
  const sides = job.sides.filter((side) => sideVehicle(job, side) === vehicle);
  if (sides.length > 0) {
    return editProblem(
      'vehicle-has-sides',
      `The ${sides.length === 1 ? 'side' : 'sides'} ${listText(sides.map(({ name }) => name))} belong${sides.length === 1 ? 's' : ''} to this type of vehicle.`,
      'Remove the sides first, or move them to another type of vehicle.',
    );
  }
  if (job.vehicles.length === 1) {
    return editProblem(
      'vehicle-last',
      'The job has no other type of vehicle.',
      'Change this one, or add another first.',
    );
  }
  const left = job.vehicles.filter((each) => each !== vehicle);
  return editFinished(job, { ...job, vehicles: left.length === 1 ? left.map(withoutCode) : left });
}

const withoutCode = ({ code: _, ...vehicle }: Vehicle): Vehicle => vehicle;

/** `null` removes the name. */
export type VehicleChange = Partial<Pick<Vehicle, 'kind' | 'code' | 'units'>> & {
  readonly name?: string | null;
};

export function vehicleSet(
  job: Job,
  { vehicleId, change }: { readonly vehicleId: string; readonly change: VehicleChange },
): EditResult {
  if (!job.vehicles.some(({ id }) => id === vehicleId)) return vehicleUnknown(vehicleId);
  const vehicles = job.vehicles.map((vehicle): Vehicle => {
    if (vehicle.id !== vehicleId) return vehicle;
    const { name: before, ...rest } = vehicle;
    const { name: given, ...changed } = change;
    const name = given === undefined ? before : (given ?? undefined);
    return { ...rest, ...changed, ...(name !== undefined && { name }) };
  });
  return editFinished(job, { ...job, vehicles });
}

/** Replaces the list of units of a type of vehicle. Notes on a unit number stay with it. */
export function unitsSet(
  job: Job,
  { vehicleId, units }: { readonly vehicleId: string; readonly units: readonly VehicleUnit[] },
): EditResult {
  const before = new Map(jobUnits(job).map((unit) => [unitKey(unit.unitNumber), unit]));
  const kept = units.map((unit): VehicleUnit => {
    const { installNote, panelsArrived } = before.get(unitKey(unit.unitNumber)) ?? {};
    return unitTidied({ installNote, panelsArrived, ...unit });
  });
  return vehicleSet(job, { vehicleId, change: { units: kept } });
}

/** Notes on one vehicle of a fleet; an empty note and an absent count are removed. */
export function unitNoted(
  job: Job,
  {
    unitNumber,
    change,
  }: {
    readonly unitNumber: string;
    readonly change: { readonly installNote?: string; readonly panelsArrived?: number | undefined };
  },
): EditResult {
  const found = jobUnits(job).find((unit) => unitKey(unit.unitNumber) === unitKey(unitNumber));
  if (!found) {
    return editProblem(
      'unit-unknown',
      `The job has no vehicle “${unitNumber}”.`,
      `Select from: ${jobUnits(job)
        .map((unit) => unit.unitNumber)
        .join(', ')}.`,
    );
  }
  const vehicles = job.vehicles.map((vehicle) => ({
    ...vehicle,
    units: vehicle.units.map((unit) =>
      unit.unitNumber === found.unitNumber ? unitTidied({ ...unit, ...change }) : unit,
    ),
  }));
  return editFinished(job, { ...job, vehicles });
}

type UnitGiven = Pick<VehicleUnit, 'unitNumber' | 'licensePlate'> & {
  readonly installNote?: string | undefined;
  readonly panelsArrived?: number | undefined;
};

const unitTidied = ({ installNote, panelsArrived, ...unit }: UnitGiven): VehicleUnit => ({
  ...unit,
  ...(installNote?.trim() && { installNote: installNote.trim() }),
  ...(panelsArrived !== undefined && { panelsArrived }),
});

const vehicleUnknown = (vehicleId: string) =>
  editProblem(
    'vehicle-unknown',
    `The job has no type of vehicle “${vehicleId}”.`,
    'Select a type of vehicle of this job.',
  );
