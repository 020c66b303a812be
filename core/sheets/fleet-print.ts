/** Fleet section of the ticket, where panels are nested together: print count of each panel. */
import { styleOf } from '../drawing/text-block.ts';
import type { Job } from '../job/schema.ts';
import { sideVehicle } from '../job/vehicles.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { firstOf } from '../measure/present.ts';
import type { FilmProduction } from '../production/film-production.ts';
import { sentLength } from '../rolls/roll-lengths.ts';
import { printOrderOf } from '../rolls/roll-use.ts';
import { itemPanelId } from '../shop/rolls.ts';
import { type Cell, TICK_BOX } from './blocks.ts';
import type { SheetContext } from './sheet-context.ts';
import { sheetLength, sheetSize } from './sheet-length.ts';
import { itemNamed } from './ticket-figures.ts';

/** `Print 12 of each panel`; with several counts, as the table states. */
export function printsOfEach(job: Job, layouts: readonly SideLayout[]): string {
  const counts = new Set(layouts.map(({ side }) => sideVehicle(job, side).units.length));
  const [only] = counts;
  return counts.size === 1 ? `Print ${only} of each panel` : 'Print each panel as often as it says here';
}

/** One row per panel, or two where some prints are turned, in order of the first print. */
export function fleetPrintRows(
  { job }: SheetContext,
  layouts: readonly SideLayout[],
  { plan, rules, items, coverage, before }: FilmProduction,
): Cell[][] {
  const unit = job.displayUnit;
  const filmOf = new Map(layouts.flatMap(({ panels }) => panels.map(({ id, film }) => [id, film] as const)));
  const inkOf = new Map(coverage.panels.map((panel) => [panel.panelId, panel]));
  const used = plan.uses.map(({ rollId }) => rollId);
  const row = (panelId: string, label: string, count: number, where: string, sent: string): Cell[] => {
    const film = filmOf.get(panelId);
    const ink = inkOf.get(panelId);
    return [
      TICK_BOX,
      { text: label, style: styleOf('bold', 4) },
      { text: String(count), style: styleOf('bold', 4) },
      { text: film ? sheetSize(film, unit) : '' },
      { text: where },
      { text: sent },
      { text: ink ? `${Math.round(ink.meanPercent)} / ${Math.round(ink.worstPercent)} %` : '' },
    ];
  };
  const alike = Map.groupBy(
    printOrderOf(plan.uses),
    ({ item, place }) => `${itemPanelId(item.panelId)}${place.turned ? ' turned' : ''}`,
  );
  const placed = [...alike.values()].map((prints): Cell[] => {
    const { item, place, size } = firstOf(prints);
    const rolls = [
      ...new Set(prints.map((print) => (before?.rolls ?? 0) + used.indexOf(print.place.rollId) + 1)),
    ];
    const sent = sheetLength(sentLength(size.along, rules), unit);
    return row(
      itemPanelId(item.panelId),
      itemNamed(job, item),
      prints.length,
      numbersShort(rolls),
      place.turned ? `${sent}, turned` : sent,
    );
  });
  const left = items.filter(({ panelId }) => plan.unplacedPanelIds.includes(panelId));
  const unplaced = [...Map.groupBy(left, ({ panelId }) => itemPanelId(panelId))].map(([panelId, prints]) =>
    row(panelId, firstOf(prints).label, prints.length, 'no room', 'see warnings'),
  );
  return [...placed, ...unplaced];
}

/** `1 to 4, 7`. */
export function numbersShort(numbers: readonly number[]): string {
  const runs: [number, number][] = [];
  for (const number of numbers.toSorted((a, b) => a - b)) {
    const last = runs.at(-1);
    if (last && number === last[1] + 1) last[1] = number;
    else runs.push([number, number]);
  }
  return runs
    .map(([from, to]) =>
      from === to ? String(from) : to === from + 1 ? `${from}, ${to}` : `${from} to ${to}`,
    )
    .join(', ');
}
