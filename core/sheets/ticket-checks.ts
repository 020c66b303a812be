/** Checks during printing, and cautions for the operator. */

import type { SideLayout } from '../layout/side-layout.ts';
import { listText } from '../measure/list-text.ts';
import type { FilmProduction } from '../production/film-production.ts';
import { itemPanelId } from '../shop/rolls.ts';
import { type Cell, type ListEntry, TICK_BOX, tableBlock } from './blocks.ts';
import type { FlowBlock } from './flow.ts';
import { packingEntries } from './packing-list.ts';
import type { SheetContext } from './sheet-context.ts';
import { sheetLengthWithUnit } from './sheet-length.ts';
import { tickToTick } from './ticket-operator.ts';

export const checksBlock = (
  context: SheetContext,
  layouts: readonly SideLayout[],
  production: FilmProduction,
): FlowBlock =>
  tableBlock(
    context,
    'Checks',
    [
      { head: '', share: 0.06 },
      { head: 'What', share: 0.64 },
      { head: 'Found', share: 0.3 },
    ],
    checkRows(context, layouts, production),
  );

function checkRows(
  { job }: SheetContext,
  layouts: readonly SideLayout[],
  production: FilmProduction,
): Cell[][] {
  const bar = `The bar of ${job.displayUnit === 'in' ? '4 in' : '100 mm'} in the border of the first panel`;
  const check = tickToTick(layouts, production);
  const ticks =
    check &&
    `Feed, tick to tick over the longest panel ${check.label}: ${sheetLengthWithUnit(check.lengthMm, job.displayUnit)}`;
  return [
    'Nozzle check without gaps',
    ...(ticks ? [ticks] : []),
    'Color against the color target, in good light',
    bar,
    'Labels in the borders readable, right job number',
    'Dry: no smell, no mark from a pressed thumb wrapped in cloth',
  ].map((text): Cell[] => [TICK_BOX, { text }, { text: '' }]);
}

/**
 * Common practice, no source, except for the loads of one person (HSE L23: 10 and 7 kg from the floor, 25 and 16 kg at
 * elbow height) and rags (29 CFR 1910.106(e), 1910.107(g)).
 */
export const CAUTIONS: readonly ListEntry[] = [
  'A full roll weighs 20 kg (44 lb) and more: two people, a trolley or a hoist. Panels over 3 m (10 ft): two people.',
  'Laminator: no loose sleeves, hair or gloves near the nip; know the stop before you feed.',
  'Drying prints give off vapor: moving fresh air, no flame or spark. Rags go into a covered metal can.',
  'Data sheets of ink, film and laminate come before this sheet.',
].map((text) => ({ mark: '!', text }));

/** Panels across the film next to others along it: the two may differ in color. */
export function turnedCautions(layouts: readonly SideLayout[], { plan }: FilmProduction): ListEntry[] {
  const turnedPlaces = plan.placements.filter(({ turned }) => turned);
  const turnedIds = new Set(turnedPlaces.map(({ panelId }) => itemPanelId(panelId)));
  const turned = layouts.flatMap(({ panels }) =>
    panels.filter(({ id }) => turnedIds.has(id)).map(({ label }) => label),
  );
  if (turned.length === 0 || turnedPlaces.length === plan.placements.length) return [];
  const [are, they] = turned.length === 1 ? ['is', 'it'] : ['are', 'they'];
  return [
    {
      mark: '!',
      text: `${listText(turned)} ${are} printed turned: color can shift against panels printed upright. Compare ${they === 'it' ? 'it' : 'them'} with a neighbor before you laminate.`,
    },
  ];
}

export const packBlock = (context: SheetContext, layouts: readonly SideLayout[]): FlowBlock =>
  tableBlock(
    context,
    'Pack',
    [
      { head: '', share: 0.06 },
      { head: '', share: 0.44 },
      { head: '', share: 0.06 },
      { head: '', share: 0.44 },
    ],
    inPairs(packingEntries(context.job, layouts).map((text): Cell[] => [TICK_BOX, { text }])),
  );

/** Sets short rows in two columns: the first half on the left. */
function inPairs(rows: readonly Cell[][]): Cell[][] {
  const half = Math.ceil(rows.length / 2);
  return rows.slice(0, half).map((row, index) => [...row, ...(rows[half + index] ?? [])]);
}
