import type { FontMetrics } from '../drawing/font-library.ts';
import { styleOf } from '../drawing/text-block.ts';
import { panelNamed } from '../job/job-films.ts';
import type { Job } from '../job/schema.ts';
import { sheetPaper } from '../job/sheet-paper.ts';
import { isFleet, sideVehicle } from '../job/vehicles.ts';
import type { Panel } from '../layout/panel.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { listText } from '../measure/list-text.ts';
import { foundIn } from '../measure/present.ts';
import { type PackedTube, packedTubes } from '../production/packed-tubes.ts';
import { type Cell, signOffBlock, TICK_BOX, tableBlock } from './blocks.ts';
import { columnPages } from './column-pages.ts';
import { type FlowBlock, flowed } from './flow.ts';
import type { Sheet } from './page-frame.ts';
import { type SheetContext, type SheetOptions, sheetContext } from './sheet-context.ts';
import { sheetLengthWithUnit, sheetSize, UNIT_NAME } from './sheet-length.ts';
import { SHEET_SIZES, type SheetSizeName } from './sheet-size.ts';
import { sheetsWithTexts } from './text-pages.ts';

export const PACKING_LIST = 'Packing list';

export interface PackingListOptions extends SheetOptions {
  readonly fonts: FontMetrics;
  readonly sheet?: SheetSizeName;
}

/** Box contents other than panels. */
const boxExtras = ({ displayUnit }: Job): readonly string[] => [
  'Install map, printed',
  'Data sheets of film and laminate',
  `Spare film of the same lot, about ${displayUnit === 'mm' ? '0.5 m' : '20 in'}`,
];

/** `12 panels`, or in a reprint each by label: `REPRINT LH-01, LH-03`. */
export function panelsText({ job, output }: SheetContext, layouts: readonly SideLayout[]): string {
  const panels = layouts.flatMap((layout) => layout.panels);
  if (output?.reprint) return `REPRINT ${panels.map(({ label }) => label).join(', ')}`;
  const count = `${panels.length} ${panels.length === 1 ? 'panel' : 'panels'}`;
  if (!isFleet(job)) return count;
  const unitsOf = ({ side }: SideLayout) => sideVehicle(job, side).units.length;
  const [units, ...others] = new Set(layouts.map(unitsOf));
  if (others.length === 0) return units === 1 ? count : `${count} × ${units} vehicles`;
  const prints = layouts.reduce((sum, layout) => sum + layout.panels.length * unitsOf(layout), 0);
  return `${count}, ${prints} prints`;
}

/** One line per side with its panels, then the extras: short enough for the ticket. */
export function packingEntries(job: Job, layouts: readonly SideLayout[]): string[] {
  const sides = layouts.map(({ side, panels }) => {
    const labels = panels.map(({ label }) => label).toSorted();
    const count = `${panels.length} ${panels.length === 1 ? 'panel' : 'panels'}`;
    return labels.length > 0 ? `${side.name}: ${count}, ${labels.join(', ')}` : `${side.name}: no panels`;
  });
  const totals = job.vehicles.map((vehicle) => {
    const own = layouts.filter(({ side }) => sideVehicle(job, side) === vehicle);
    const total = own.reduce((sum, { panels }) => sum + panels.length, 0);
    const each = vehicle.units.length > 1 ? `each of ${vehicle.units.length}: ` : '';
    return `Together ${total} ${total === 1 ? 'panel' : 'panels'} for ${each}${listText(vehicle.units.map(({ unitNumber }) => unitNumber))}`;
  });
  return [...sides, ...totals, ...boxExtras(job)];
}

/** How the panels are wound, tube by tube, so that they unpack in install order. */
function windingBlock(context: SheetContext, tubes: readonly PackedTube[]): FlowBlock {
  const { displayUnit } = context.job;
  const core = displayUnit === 'mm' ? '76 mm' : '3 in';
  const weight = (kg: number) =>
    displayUnit === 'mm' ? `about ${Math.ceil(kg)} kg` : `about ${Math.ceil(kg * LB_PER_KG)} lb`;
  return tableBlock(
    context,
    `Tubes: core ${core} or wider, print side out, the first to be installed outermost`,
    [
      { head: 'Tube', share: 0.1 },
      { head: 'From the outside inward', share: 0.5 },
      { head: 'Core longer than', share: 0.2 },
      { head: 'Film, estimate', share: 0.2 },
    ],
    tubes.map(({ number, outermostFirst, widestMm, weightKg }): Cell[] => [
      { text: String(number), style: styleOf('bold', 5) },
      { text: labelsShort(outermostFirst) },
      { text: sheetLengthWithUnit(widestMm, displayUnit) },
      { text: weight(weightKg) },
    ]),
  );
}

/** `DS-01, 02, 03`: the side only once, so that many panels fit into one cell. */
function labelsShort(panels: readonly Panel[]): string {
  const [first, ...others] = panels.map(({ label }) => label);
  return [first, ...others.map((label) => label.slice(label.lastIndexOf('-') + 1))].join(', ');
}

const LB_PER_KG = 2.2046226;

/**
 * The sheet that travels in the box: every panel with a box to tick when packed and one when unpacked. Panels are
 * listed in install order; the first to be installed is packed last, so that it is on top.
 */
export function packingList(
  job: Job,
  layouts: readonly SideLayout[],
  options: PackingListOptions,
): readonly Sheet[] {
  const size = SHEET_SIZES[options.sheet ?? sheetPaper(job, 'packing-list')];
  const context = sheetContext(job, options.fonts, size, options);
  const columns = [
    { head: 'In', share: 0.09 },
    { head: 'Out', share: 0.09 },
    { head: 'Panel', share: 0.22 },
    { head: 'Install', share: 0.12, anchor: 'middle' as const },
    { head: 'Size on roll', share: 0.3 },
    { head: 'Tube or box', share: 0.18 },
  ];
  const tubes = packedTubes(job, layouts);
  const tubeOf = (panel: Panel) =>
    foundIn(tubes, ({ outermostFirst }) => outermostFirst.includes(panel)).number;
  const panelTables = layouts.map(({ side, panels }) =>
    tableBlock(
      context,
      `${side.code} ${side.name}, ${panels.length} ${panels.length === 1 ? 'panel' : 'panels'}, sizes in ${UNIT_NAME[job.displayUnit]}`,
      columns,
      panels.map((panel): Cell[] => [
        TICK_BOX,
        TICK_BOX,
        { text: panelNamed(job, panel), style: styleOf('bold', 5) },
        { text: String(panel.order), style: styleOf('bold', 5) },
        { text: sheetSize(panel.film, job.displayUnit) },
        { text: `Tube ${tubeOf(panel)}`, style: styleOf('bold', 4) },
      ]),
    ),
  );
  const extras = tableBlock(
    context,
    'With the panels',
    [
      { head: 'In', share: 0.09 },
      { head: 'Out', share: 0.09 },
      { head: 'What', share: 0.82 },
    ],
    boxExtras(job).map((text): Cell[] => [TICK_BOX, TICK_BOX, { text }]),
  );
  const title = `Packing list · ${job.number} · ${panelsText(context, layouts)}`;
  const filling = columnPages(context, title, 2);
  flowed(
    [
      windingBlock(context, tubes),
      ...panelTables,
      extras,
      signOffBlock(context, 'Sign-off', ['Packed', 'Unpacked']),
    ],
    filling.next,
  );
  return sheetsWithTexts(context, PACKING_LIST, filling.pages);
}
