/** The vehicles of a job: types of different shape, each with its identical units. */
import { listText } from '../measure/list-text.ts';
import { firstOf } from '../measure/present.ts';
import type { Job, Side, Vehicle, VehicleKind, VehicleUnit } from './schema.ts';

type WithVehicles = Pick<Job, 'vehicles'>;

export const firstVehicle = ({ vehicles }: WithVehicles): Vehicle => firstOf(vehicles);

/** The type of vehicle that a side belongs to. */
export const sideVehicle = (job: WithVehicles, { vehicleId }: Pick<Side, 'vehicleId'>): Vehicle =>
  job.vehicles.find(({ id }) => id === vehicleId) ?? firstVehicle(job);

/** One vehicle of a job. */
export interface JobUnit extends VehicleUnit {
  readonly vehicle: Vehicle;
  /** Number among the units of its type, from 1. */
  readonly place: number;
}

export const jobUnits = ({ vehicles }: WithVehicles): JobUnit[] =>
  vehicles.flatMap((vehicle) => vehicle.units.map((unit, index) => ({ ...unit, vehicle, place: index + 1 })));

/** Whether several vehicles are identical, so that their panels are printed more than once. */
export const isFleet = ({ vehicles }: WithVehicles): boolean =>
  vehicles.some(({ units }) => units.length > 1);

/** Unit numbers are equal where they differ only in case and spaces. */
export const unitKey = (unitNumber: string): string =>
  unitNumber.trim().replaceAll(/\s+/g, ' ').toLowerCase();

const MOST_NAMED = 3;

/** `12, 14 and 15`, or `12 vehicles: 12, 14, 15 and 9 more`. */
export function unitsText(units: readonly VehicleUnit[]): string {
  const numbers = units.map(({ unitNumber }) => unitNumber);
  if (units.length <= MOST_NAMED) return listText(numbers);
  const named = numbers.slice(0, MOST_NAMED).join(', ');
  return `${units.length} vehicles: ${named} and ${units.length - MOST_NAMED} more`;
}

/** `12 · AL 4471`; for several vehicles their unit numbers. */
export function vehicleText({ vehicles }: WithVehicles): string {
  const units = vehicles.flatMap((vehicle) => vehicle.units);
  if (units.length > 1) return unitsText(units);
  const { unitNumber, licensePlate } = firstOf(units);
  return [unitNumber, licensePlate].filter(Boolean).join(' · ');
}

/**
 * A side with the code that begins its panel labels and file names: `T-LH` where its type of vehicle has a code (as
 * with several types), else the side's code.
 */
export function sideCalled(job: WithVehicles, side: Side): Side {
  const { code } = sideVehicle(job, side);
  return code === undefined ? side : { ...side, code: `${code}-${side.code}` };
}

/** A side in a sentence: `LH`, or in a job with several types of vehicle `T-LH (Left side of Outreach trailer)`. */
export function sideSaid(job: WithVehicles, side: Side): string {
  const { code } = sideCalled(job, side);
  return job.vehicles.length === 1
    ? code
    : `${code} (${side.name} of ${vehicleName(sideVehicle(job, side))})`;
}

/** The side with this code: `T-LH`, or `LH` where only one side has it. */
export function sideByCode(job: Pick<Job, 'vehicles' | 'sides'>, code: string): Side | undefined {
  const called = job.sides.find((side) => sideCalled(job, side).code === code);
  const alike = job.sides.filter((side) => side.code === code);
  return called ?? (alike.length === 1 ? alike[0] : undefined);
}

/** Codes of all sides as shown to people. Keeps VEH1. */
export const sideCodes = (job: Pick<Job, 'vehicles' | 'sides'>): string =>
  job.sides.map((side) => sideCalled(job, side).code).join(', ');

/** The job with this as its only vehicle: for papers and reprints of one vehicle. */
export const jobOnUnit = (job: Job, { vehicle, place: _, ...unit }: JobUnit): Job => ({
  ...job,
  vehicles: [{ ...vehicle, units: [unit] }],
  sides: job.sides.filter((side) => sideVehicle(job, side) === vehicle),
});

/** The job with its first type of vehicle of this kind. */
export function withFirstKind(job: Job, kind: VehicleKind): Job {
  return { ...job, vehicles: [{ ...firstVehicle(job), kind }, ...job.vehicles.slice(1)] };
}

/** For a list of jobs: the vehicle of a job, or how many it has. */
export const vehiclesShort = ({
  unitNumber,
  vehicleCount,
}: {
  readonly unitNumber: string;
  readonly vehicleCount: number;
}): string => (vehicleCount === 1 ? unitNumber : `${vehicleCount} vehicles`);

const KIND_NAMES: Readonly<Record<VehicleKind, string>> = {
  van: 'Van',
  truck: 'Truck',
  trailer: 'Trailer',
  'box-body': 'Box body',
  bus: 'Bus',
  car: 'Car',
  other: 'Other',
};

export const VEHICLE_KIND_CHOICES = (Object.keys(KIND_NAMES) as VehicleKind[]).map((value) => ({
  value,
  label: KIND_NAMES[value],
}));

/** Name of a type for people: its name, its only unit, or its kind. */
export const vehicleName = ({ name, kind, units }: Vehicle): string =>
  name ?? (units.length === 1 ? firstOf(units).unitNumber : KIND_NAMES[kind]);
