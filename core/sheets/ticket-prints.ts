/** Print files on the ticket: film, days, strips, panels in order. */

import { styleOf } from '../drawing/text-block.ts';
import { isFleet } from '../job/vehicles.ts';
import { shopTrims } from '../layout/shop-trims.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { offPrinterTime } from '../output/off-printer-time.ts';
import type { ProductionRecord } from '../output/production-record.ts';
import { recordPart } from '../output/record-parts.ts';
import type { FilmProduction } from '../production/film-production.ts';
import { isStripJob } from '../production/job-strips.ts';
import { daysOnRolls, stagesOnRolls } from '../rolls/staged-plan.ts';
import { localTimeText, minutesFromLocal, momentText } from '../shop/local-time.ts';
import { type Cell, listBlock, tableBlock } from './blocks.ts';
import { fleetPrintRows, printsOfEach } from './fleet-print.ts';
import type { FlowBlock } from './flow.ts';
import type { SheetContext } from './sheet-context.ts';
import { UNIT_NAME } from './sheet-length.ts';
import { materialRows, printRows, stripRows } from './ticket-figures.ts';
import type { OperatorKnown } from './ticket-operator.ts';

/** In a reprint, the lots used first beside blanks for the present ones: two lots of one film differ in color. */
export function materialBlock(
  context: SheetContext,
  { settings }: FilmProduction,
  { first, record }: OperatorKnown,
): FlowBlock {
  const reprint = context.output?.reprint;
  const lot = 'Lot number, roll number';
  return tableBlock(
    context,
    'Film and laminate',
    reprint
      ? [
          { head: '', share: 0.15 },
          { head: 'Name', share: 0.25 },
          { head: 'Kind', share: 0.2 },
          { head: `${lot}: Output ${reprint.of}`, share: 0.2 },
          { head: 'now', share: 0.2 },
        ]
      : [
          { head: '', share: 0.17 },
          { head: 'Name', share: 0.33 },
          { head: 'Kind', share: 0.25 },
          { head: lot, share: 0.25 },
        ],
    materialRows(context.job, settings, { first, record, isReprint: reprint !== undefined }),
  );
}

/** For a job installed on several days: when the panels of each day are due. Each panel lists its day below. */
export function daysBlocks(
  { job, ...context }: SheetContext,
  { plan, rolls, clock }: FilmProduction,
): FlowBlock[] {
  const days = daysOnRolls(plan, rolls);
  if (days.length < 2) return [];
  const at = (local: string | undefined) => (local === undefined ? '' : momentText(local, job.dateOrder));
  return [
    tableBlock(
      { job, ...context },
      'Install days: print and laminate in this order',
      [
        { head: 'Day', share: 0.1 },
        { head: 'Panels', share: 0.14, anchor: 'middle' },
        { head: 'Printed by, estimate', share: 0.26 },
        { head: 'Laminate from', share: 0.25 },
        { head: 'Ready to install', share: 0.25 },
      ],
      days.map(({ day, panelIds }): Cell[] => {
        const own = clock?.days?.find((each) => each.day === day);
        return [
          { text: String(day), style: styleOf('bold', 5) },
          { text: String(panelIds.length) },
          { text: at(own?.printEnd) },
          { text: at(own?.laminate) },
          { text: at(own?.ready) },
        ];
      }),
    ),
  ];
}

/** For a fleet printed set by set: when the panels of each vehicle are due. Keeps PR17. */
export function setsBlocks(
  context: SheetContext,
  { clock, plan, rolls, settings }: FilmProduction,
  record: ProductionRecord,
): FlowBlock[] {
  const { dateOrder } = context.job;
  const isBySet = settings.fleetOrder === 'set-by-set';
  const sets = Map.groupBy(stagesOnRolls(plan, rolls, { isBySet }), ({ unitNumber }) => unitNumber);
  if (!isBySet || sets.size < 2) return [];
  const at = (local: string | undefined) => (local === undefined ? '' : momentText(local, dateOrder));
  return [
    tableBlock(
      context,
      'Vehicles: print and laminate in this order',
      [
        { head: 'Vehicle', share: 0.16 },
        { head: 'Panels', share: 0.09, anchor: 'middle' },
        { head: 'Printed by', share: 0.16 },
        { head: 'Laminate from', share: 0.16 },
        { head: 'Ready to install', share: 0.17 },
        { head: 'Lots: film, laminate', share: 0.26 },
      ],
      [...sets].map(([unitNumber, stages]): Cell[] => {
        const own = clock?.sets?.find((each) => each.unitNumber === unitNumber);
        const { filmLot, laminateLot, ...entered } = recordPart(record, { unitNumber });
        const cameOff = offPrinterTime(entered);
        return [
          { text: unitNumber ?? '', style: styleOf('bold', 4) },
          { text: String(stages.reduce((sum, { panelIds }) => sum + panelIds.length, 0)) },
          { text: cameOff ? localTimeText(minutesFromLocal(cameOff), dateOrder) : at(own?.printEnd) },
          { text: at(own?.laminate) },
          { text: at(own?.ready) },
          { text: [filmLot, laminateLot].filter(Boolean).join(', ') },
        ];
      }),
    ),
  ];
}

/** Files to print where panels are printed strip by strip. */
export function stripBlocks(context: SheetContext, production: FilmProduction): FlowBlock[] {
  const { job } = context;
  if (!isStripJob(job)) return [];
  return [
    tableBlock(
      context,
      `Print these strips, then cut them apart: across first; lengths in ${UNIT_NAME[job.displayUnit]}`,
      [
        { head: '', share: 0.06 },
        { head: 'File', share: 0.4 },
        { head: 'From', share: 0.12 },
        { head: 'Sent length', share: 0.14 },
        { head: 'Panels', share: 0.28 },
      ],
      stripRows(context, production),
    ),
  ];
}

/** The panels in print order; for a fleet printed panel by panel, the count of each. */
export function panelsBlock(
  context: SheetContext,
  layouts: readonly SideLayout[],
  production: FilmProduction,
): FlowBlock {
  const { job } = context;
  const isByPanel = isFleet(job) && production.settings.fleetOrder !== 'set-by-set';
  const order = isStripJob(job) ? 'Panels in the order of printing' : 'Print in this order';
  return tableBlock(
    context,
    `${isByPanel ? printsOfEach(job, layouts) : order}, film sizes in ${UNIT_NAME[job.displayUnit]}, width × height`,
    [
      { head: '', share: 0.06 },
      { head: 'Panel', share: 0.15 },
      ...(isByPanel ? [{ head: 'Prints', share: 0.09, anchor: 'end' } as const] : []),
      { head: 'Size on roll', share: 0.21 },
      ...(isByPanel
        ? [{ head: 'Rolls', share: 0.13 }]
        : [{ head: 'Roll', share: 0.07, anchor: 'middle' } as const, { head: 'From start', share: 0.15 }]),
      { head: 'Sent length', share: 0.21 },
      { head: 'Ink mean / worst', share: 0.15 },
    ],
    isByPanel ? fleetPrintRows(context, layouts, production) : printRows(context, layouts, production),
  );
}

/** Edges to cut to the seam line before the panel leaves the shop. */
export function trimBlocks(context: SheetContext, layouts: readonly SideLayout[]): FlowBlock[] {
  const trims = layouts.flatMap(shopTrims);
  if (trims.length === 0) return [];
  const labels = [...new Set(trims.map(({ label }) => label))];
  const entries = labels.map((mark) => {
    const edges = trims.filter(({ label }) => label === mark).map(({ edge }) => edge);
    return { mark, text: `${edges.join(', ')} edge to the line` };
  });
  return [listBlock(context, 'Trim in the shop', entries)];
}
