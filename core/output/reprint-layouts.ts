import { jobWithLocked } from '../job/job-copy.ts';
import { jobWithoutFill } from '../job/job-fill.ts';
import type { Job, OtherFilm } from '../job/schema.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import { isFleet, jobOnUnit, jobUnits } from '../job/vehicles.ts';
import type { Panel } from '../layout/panel.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import type { ProductionSettings } from '../shop/production-settings.ts';
import type { ManifestPanel } from './manifest.ts';

/**
 * The sides with only some of their panels, for the ticket or packing list of a reprint. Numbers and neighbors stay
 * those of the whole side. Maps and labels use the whole layouts and the ids instead, because they show the
 * surroundings.
 */
export function layoutsOfPanels(layouts: readonly SideLayout[], panelIds: readonly string[]): SideLayout[] {
  const wanted = new Set(panelIds);
  return layouts.flatMap((layout) => {
    const panels = layout.panels.filter(({ id }) => wanted.has(id));
    return panels.length > 0 ? [{ ...layout, panels }] : [];
  });
}

/** The layouts with the panels of an output as its manifest lists them; a patch is next to its panel. */
export function layoutsAsWritten(
  layouts: readonly SideLayout[],
  written: readonly ManifestPanel[],
): SideLayout[] {
  const sizes = new Map(written.map((panel) => [panel.panelId, panel]));
  return layouts.map((layout) => ({
    ...layout,
    panels: layout.panels.flatMap((panel) => {
      const size = sizes.get(panel.id);
      const patches = written.filter(({ patch }) => patch?.of === panel.id);
      return [
        size ? panelAsWritten(panel, size) : panel,
        ...patches.map((patch) => panelAsWritten(panel, patch)),
      ];
    }),
  }));
}

const panelAsWritten = (panel: Panel, { panelId, label, ...size }: ManifestPanel): Panel => ({
  ...panel,
  id: panelId,
  label,
  net: rectFromStored<'finished'>(size.finishedBox),
  printed: rectFromStored<'finished'>(size.printedBox),
  film: rectFromStored<'finished'>(size.filmBox),
});

/**
 * The job for producing some of its panels again: panel by panel, without the places on the roll, the fill list, the
 * print start and the promised time of the first output, which no longer apply. For one vehicle, or one of each type
 * where none is named.
 */
export function jobOfReprint(job: Job, unitNumber?: string): Job {
  const unit = jobUnits(job).find((each) => each.unitNumber === unitNumber);
  const ofOne = unit ? jobOnUnit(job, unit) : withOneOfEach(job);
  const { production, otherFilms, ...rest } = jobWithLocked(jobWithoutFill(ofOne), () => []);
  const { printStart: _, promised: __, ...kept } = production ?? {};
  return {
    ...rest,
    output: { ...job.output, files: 'panels' },
    ...(production && { production: kept as ProductionSettings }),
    ...(otherFilms && { otherFilms: otherFilms.map(withoutPrintStart) }),
  };
}

function withoutPrintStart({ production, ...other }: OtherFilm): OtherFilm {
  if (!production) return other;
  const { printStart: _, ...kept } = production;
  return { ...other, production: kept };
}

const withOneOfEach = (job: Job): Job =>
  isFleet(job)
    ? { ...job, vehicles: job.vehicles.map((vehicle) => ({ ...vehicle, units: vehicle.units.slice(0, 1) })) }
    : job;
