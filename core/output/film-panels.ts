/** The panels of an output by film, each film with the vehicles that they are printed for. */
import type { Job } from '../job/schema.ts';
import { isFleet, sideVehicle } from '../job/vehicles.ts';
import { jobLayout } from '../layout/side-layout.ts';

export interface FilmPanels {
  readonly filmId: string;
  readonly panelLabels: readonly string[];
  /** Of a fleet; empty where there is one vehicle. */
  readonly unitNumbers: readonly string[];
}

interface Written {
  /** Of a patch: of the panel under it. */
  readonly panelId: string;
  readonly label: string;
}

export function filmPanels(job: Job, written: readonly Written[]): FilmPanels[] {
  const panels = jobLayout(job).flatMap((layout) =>
    layout.panels.flatMap(({ id, filmId }) => {
      const units = isFleet(job) ? sideVehicle(job, layout.side).units : [];
      const labels = written.filter(({ panelId }) => panelId === id).map(({ label }) => label);
      return labels.map((label) => ({ filmId, label, units }));
    }),
  );
  return [...Map.groupBy(panels, ({ filmId }) => filmId)].map(([filmId, own]) => ({
    filmId,
    panelLabels: own.map(({ label }) => label),
    unitNumbers: [...new Set(own.flatMap(({ units }) => units.map(({ unitNumber }) => unitNumber)))],
  }));
}
