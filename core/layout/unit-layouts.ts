import type { Job } from '../job/schema.ts';
import { type JobUnit, jobOnUnit, jobUnits, sideVehicle } from '../job/vehicles.ts';
import type { SideLayout } from './side-layout.ts';

/** Repeats each layout once per vehicle that it covers. */
export const layoutsPerUnit = (
  job: Pick<Job, 'vehicles'>,
  layouts: readonly SideLayout[],
): readonly SideLayout[] =>
  layouts.flatMap((layout) => sideVehicle(job, layout.side).units.map(() => layout));

export interface UnitOfJob {
  readonly unit: JobUnit;
  /** The job with this as its only vehicle. */
  readonly job: Job;
  readonly layouts: readonly SideLayout[];
}

/** Each vehicle of a job that at least one of these layouts covers. */
export const unitsOfJob = (job: Job, layouts: readonly SideLayout[]): UnitOfJob[] =>
  jobUnits(job).flatMap((unit) => {
    const own = layouts.filter(({ side }) => sideVehicle(job, side) === unit.vehicle);
    return own.length > 0 ? [{ unit, job: jobOnUnit(job, unit), layouts: own }] : [];
  });
