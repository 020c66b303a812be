/** Number of panels of each vehicle in a fleet, and how many of them have arrived where it is installed. */
import type { Job } from '../job/schema.ts';
import { type JobUnit, jobUnits, sideVehicle } from '../job/vehicles.ts';
import type { SideLayout } from './side-layout.ts';

export interface UnitArrival extends JobUnit {
  /** Panels of its sides. */
  readonly panels: number;
}

/** One entry per vehicle, in the order of the job; empty where there is one vehicle. Keeps FLT6. */
export function unitArrivals(job: Job, layouts: readonly SideLayout[]): UnitArrival[] {
  const units = jobUnits(job);
  if (units.length === 1) return [];
  return units.map((unit) => ({ ...unit, panels: unitPanels(job, layouts, unit) }));
}

const unitPanels = (job: Job, layouts: readonly SideLayout[], { vehicle }: JobUnit): number =>
  layouts
    .filter(({ side }) => sideVehicle(job, side) === vehicle)
    .reduce((sum, { panels }) => sum + panels.length, 0);

/** `15 of 17`; undefined where no count was entered. */
export const arrivedText = ({ panels, panelsArrived }: UnitArrival): string | undefined =>
  panelsArrived === undefined ? undefined : `${panelsArrived} of ${panels}`;
