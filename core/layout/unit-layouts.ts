import type { Job } from '../job/schema.ts';
import { type JobUnit, jobOnUnit, jobUnits, sideVehicle } from '../job/vehicles.ts';
import type { SideLayout } from './side-layout.ts';

/** Each layout as often as there are vehicles that are covered by it. */
export const layoutsPerUnit = (
  job: Pick<Job, 'vehicles'>,
  layouts: readonly SideLayout[],
): readonly SideLayout[] =>
  layouts.flatMap((layout) => sideVehicle(job, layout.side).units.map(() => layout));

export interface UnitOfJob {
  readonly unit: JobUnit;
  /** The job as though this were its only vehicle. */
  readonly job: Job;
  readonly layouts: readonly SideLayout[];
}

/** Each vehicle of a job that one of these layouts covers. */
export const unitsOfJob = (job: Job, layouts: readonly SideLayout[]): UnitOfJob[] =>
  jobUnits(job).flatMap((unit) => {
    const own = layouts.filter(({ side }) => sideVehicle(job, side) === unit.vehicle);
    return own.length > 0 ? [{ unit, job: jobOnUnit(job, unit), layouts: own }] : [];
  });
