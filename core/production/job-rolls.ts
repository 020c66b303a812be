/** What of a job is printed on which rolls, and whether a side of it can print in one direction. */
import type { Finding } from '../findings/finding.ts';
import type { Job } from '../job/schema.ts';
import { isFleet, jobUnits, sideVehicle } from '../job/vehicles.ts';
import type { Panel } from '../layout/panel.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';
import { printLabel } from '../output/printed-panels.ts';
import { packItemFromPanel, rollStockFromPrinter, type UnitCopy } from '../rolls/from-job.ts';
import { rollPrintWidth } from '../rolls/roll-lengths.ts';
import type { ProductionSettings } from '../shop/production-settings.ts';
import { MAX_LABEL, type PackItem, type RollStock } from '../shop/rolls.ts';

/** Rolls that are offered to the plan where the shop names none; a job that needs more is told so. */
const ASSUMED_ROLLS = 6;

/** Of a fleet vehicle by vehicle. */
export function packItems(
  job: Job,
  layouts: readonly SideLayout[],
  { mayTurn, locked, fleetOrder }: ProductionSettings,
): PackItem[] {
  const lockedPlaces = new Map(locked.map(({ panelId, ...place }) => [panelId, place]));
  const itemOf = (panel: Panel, copy?: UnitCopy): PackItem => {
    const alike = packItemFromPanel(panel, job.id, mayTurn, copy);
    // Nested together, any print of a panel serves any vehicle.
    const isNamed = copy !== undefined && fleetOrder === 'set-by-set';
    const item = isNamed ? { ...alike, label: printLabel(panel.label, copy.unitNumber) } : alike;
    const place = lockedPlaces.get(item.panelId);
    return place ? { ...item, locked: place } : item;
  };
  if (!isFleet(job)) return layouts.flatMap(({ panels }) => panels.map((panel) => itemOf(panel)));
  return jobUnits(job).flatMap(({ vehicle, ...copy }) =>
    layouts
      .filter(({ side }) => sideVehicle(job, side) === vehicle)
      .flatMap(({ panels }) => panels.map((panel) => itemOf(panel, copy))),
  );
}

/**
 * Sides whose panels cannot all print in one direction, because some fit the rolls only upright and some only
 * turned: a side that mixes sections. One direction for the side is then not to be had on this film.
 */
export function mixedSides(
  jobId: string,
  layouts: readonly SideLayout[],
  items: readonly PackItem[],
  rolls: readonly RollStock[],
): SideLayout[] {
  const widest = Math.max(...rolls.map(rollPrintWidth));
  const fits = (across: number) => across <= widest + LENGTH_TOLERANCE_MM;
  return layouts.filter(({ panels }) => {
    const ids = new Set(panels.map(({ id }) => `${jobId}/${id}`));
    const ofSide = items.filter(({ panelId }) => ids.has(panelId));
    const isOnly = (across: 'widthMm' | 'lengthMm', along: 'widthMm' | 'lengthMm') =>
      ofSide.some((item) => item.mayTurn && fits(item[across]) && !fits(item[along]));
    return isOnly('widthMm', 'lengthMm') && isOnly('lengthMm', 'widthMm');
  });
}

/** Those of a job that is to print each side in one direction. Keeps PR16. */
export const sidesPrintedBothWays = (
  job: Job,
  layouts: readonly SideLayout[],
  settings: ProductionSettings,
): SideLayout[] =>
  settings.rules.sideInOneDirection
    ? mixedSides(job.id, layouts, packItems(job, layouts, settings), jobRolls(job, settings))
    : [];

/** `code`: how the side is called where several jobs lie together. */
export const printsBothWays = ({ side }: SideLayout, code = side.code): Finding => ({
  code: 'roll-side-mixed-directions',
  severity: 'warn',
  where: { sideId: side.id },
  message: `Panels of side ${code} print in two directions, because some fit the film only upright and some only turned.`,
  remedy:
    'Compare the color of neighbors before lamination, or cut the side so that all its panels run one way.',
});

export function jobRolls(job: Job, { rolls, film }: ProductionSettings): readonly RollStock[] {
  if (rolls.length > 0) return rolls;
  const name = film?.name ?? job.film.name;
  // A vehicle more takes a roll more, or two where its panels are many.
  const count = ASSUMED_ROLLS + 2 * (jobUnits(job).length - 1);
  return Array.from({ length: count }, (_, index) =>
    rollStockFromPrinter(job.printer, `roll-${index + 1}`, rollLabel(name, index + 1)),
  );
}

/** A film may be named at any length, a roll may not. */
function rollLabel(film: string, count: number): string {
  const end = `, full roll ${count}`;
  return `${film.slice(0, MAX_LABEL - end.length)}${end}`;
}
