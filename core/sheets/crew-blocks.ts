import { styleOf } from '../drawing/text-block.ts';
import { isLaminated } from '../job/job-cost-card.ts';
import { hasSeveralFilms, jobFilms, jobOnFilm } from '../job/job-films.ts';
import { jobProductionSettings } from '../job/job-production-settings.ts';
import { NO_FILM_ACTS } from '../job/no-film-acts.ts';
import type { Film, Job } from '../job/schema.ts';
import { rectFromStored } from '../job/stored-rect.ts';
import { isFleet, jobUnits } from '../job/vehicles.ts';
import { isPerforated } from '../job/window-film.ts';
import { checkInDimensions, checkInName } from '../layout/check-in.ts';
import { layoutsOnFilm } from '../layout/film-layouts.ts';
import { endName } from '../layout/seam-datums.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { arrivedText, unitArrivals } from '../layout/unit-arrivals.ts';
import { EDGES, type Edge, rectIntersection } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import { DEFAULT_DRYING_RULES, dryingHours } from '../production/drying.ts';
import { coverageInUse, type MeasuredCoverage } from '../production/job-coverage.ts';
import {
  boldStyle,
  type Cell,
  type ListEntry,
  listBlock,
  type TableColumn,
  TICK_BOX,
  tableBlock,
} from './blocks.ts';
import { BLANK, heatSentence } from './cautions.ts';
import { blockWhole, type FlowBlock } from './flow.ts';
import { type InstallTime, type InstallTimes, peopleText } from './install-hours.ts';
import { generalSteps } from './install-steps.ts';
import { seamLines } from './seam-line.ts';
import type { SheetContext } from './sheet-context.ts';
import { sheetLength, sheetSize, UNIT_NAME } from './sheet-length.ts';
import { noFilmPlace, type SideKeys, sideKeys } from './side-keys.ts';

/** A narrower table omits columns that another part of the page covers. */
const NARROW_MM: Mm = 160;
const STRONG = styleOf('bold', 5.6);
const FIGURE = styleOf('bold', 4.9);
const entry = (text: string): ListEntry => ({ mark: '•', text });

/**
 * What a crew needs before the first panel: install order of the sides, tape checks, how panels overlap, what to call
 * things.
 */
export function crewBlocks(
  context: SheetContext,
  layouts: readonly SideLayout[],
  times: InstallTimes,
  measured: MeasuredCoverage | undefined,
): FlowBlock[] {
  const { reprintedIds } = context;
  // In a reprint the pictures show the whole side, but only reprinted panels are counted.
  const made =
    reprintedIds.size > 0
      ? layouts.map((layout) => ({
          ...layout,
          panels: layout.panels.filter(({ id }) => reprintedIds.has(id)),
          droppedPanelIds: [],
        }))
      : layouts;
  return [
    ...vehiclesTable(context, layouts),
    sidesTable(context, made, times),
    tapeTable(context, layouts),
    listBlock(context, 'Every panel', everyPanel(context.job, made, times.all !== undefined)),
    ...filmBlocks(context, layouts, measured),
    ...noFilmTable(context, made),
    ...(context.job.notes.trim() ? [listBlock(context, 'Notes on the job', [entry(context.job.notes)])] : []),
  ];
}

/** The vehicles that these sides go on, with tick boxes; empty where there is only one. */
function vehiclesTable(context: SheetContext, layouts: readonly SideLayout[]): FlowBlock[] {
  const { job } = context;
  const notes = unitNotes(context);
  const units = unitArrivals(job, layouts);
  if (units.length === 0) return notes;
  const title = isFleet(job) ? `${units.length} vehicles: every panel goes on each of its type` : 'Vehicles';
  return [
    tableBlock(
      context,
      title,
      [
        { head: '', share: 0.07 },
        { head: 'Unit number', share: 0.32 },
        { head: 'License plate', share: 0.25 },
        { head: 'Panels', share: 0.14 },
        { head: 'Arrived', share: 0.22 },
      ],
      units.map((unit): Cell[] => [
        TICK_BOX,
        { text: unit.unitNumber, style: STRONG },
        { text: unit.licensePlate },
        { text: unit.vehicle.code === undefined ? 'all' : `${unit.vehicle.code}-…` },
        { text: arrivedText(unit) ?? `____ of ${unit.panels}` },
      ]),
    ),
    ...notes,
  ];
}

/** Notes on single vehicles, one entry each. Keeps FLT6. */
function unitNotes(context: SheetContext): FlowBlock[] {
  const noted = jobUnits(context.job).flatMap(({ unitNumber, installNote }) =>
    installNote === undefined ? [] : [entry(`${unitNumber}: ${installNote}`)],
  );
  return noted.length > 0 ? [listBlock(context, 'Notes by vehicle', noted)] : [];
}

interface SidesColumn extends TableColumn {
  /** Only in wide tables. */
  readonly isWide?: boolean;
  readonly cell: (layout: SideLayout, index: number) => Cell;
}

const hoursText = (time: InstallTime | undefined): string => (time ? `${time.hours} h` : '');

function sidesTable(context: SheetContext, layouts: readonly SideLayout[], times: InstallTimes): FlowBlock {
  const { job } = context;
  const cell = (text: string): Cell => ({ text });
  const strong = (text: string): Cell => ({ text, style: STRONG });
  const timeOf = ({ side }: SideLayout) => times.sides.get(side.id);
  const columns: readonly SidesColumn[] = [
    { head: '', share: 0.05, cell: () => TICK_BOX },
    { head: 'Install', share: 0.11, anchor: 'middle', cell: (_, index) => strong(String(index + 1)) },
    { head: 'Side', share: 0.11, cell: ({ side }) => strong(side.code) },
    // The pictures above also have the names.
    { head: 'Name', share: 0.21, isWide: true, cell: ({ side }) => cell(side.name) },
    {
      head: 'Panels',
      share: 0.11,
      anchor: 'middle',
      cell: ({ panels }) => strong(String(panels.length)),
    },
    // Hours of a reprint are unknown, so those columns are left out.
    ...(times.sides.size > 0
      ? ([
          {
            head: 'People',
            share: 0.11,
            anchor: 'middle',
            cell: (layout) => cell(String(timeOf(layout)?.people ?? '')),
          },
          { head: 'Hours*', share: 0.11, anchor: 'end', cell: (layout) => cell(hoursText(timeOf(layout))) },
        ] satisfies SidesColumn[])
      : []),
    {
      head: 'Finished size',
      share: 0.19,
      anchor: 'end',
      cell: ({ outline }) => cell(sheetSize(outline, job.displayUnit)),
    },
  ];
  const ofFleet = job.vehicles.length === 1 ? 'for each vehicle' : 'for one vehicle of each type';
  const whole = isFleet(job) ? ofFleet : 'in all';
  const all = times.all ? `, ${times.all.hours} h ${whole}` : '';
  const title = `Sides in install order${all}, sizes in ${UNIT_NAME[job.displayUnit]}`;
  const tableOf = (shown: readonly SidesColumn[]) => {
    const whole = shown.reduce((sum, { share }) => sum + share, 0);
    return tableBlock(
      context,
      title,
      shown.map((column) => ({ ...column, share: column.share / whole })),
      layouts.map((layout, index) => shown.map((column) => column.cell(layout, index))),
    );
  };
  return (widthMm) => tableOf(columns.filter(({ isWide }) => !isWide || widthMm >= NARROW_MM))(widthMm);
}

/** Three to five dimensions per side: if the vehicle differs from the drawing, no liner is peeled. */
export function tapeTable(context: SheetContext, layouts: readonly SideLayout[]): FlowBlock {
  const unit = context.job.displayUnit;
  const rows = layouts.flatMap((layout) =>
    checkInDimensions(layout).map((dimension): Cell[] => [
      { text: layout.side.code, style: boldStyle(context) },
      { text: checkInName(layout, dimension) },
      { text: sheetLength(dimension.drawnMm, unit), style: FIGURE },
      { text: '____________' },
      { text: sheetLength(dimension.toleranceMm, unit) },
    ]),
  );
  return tableBlock(
    context,
    `Tape this before you peel, in ${UNIT_NAME[unit]}: stop and call where one is off by more`,
    [
      { head: 'Side', share: 0.11 },
      { head: 'From, to', share: 0.45 },
      { head: 'Drawn', share: 0.19, anchor: 'end' },
      { head: 'Measured', share: 0.17 },
      { head: '±', share: 0.08, anchor: 'end' },
    ],
    rows,
  );
}

/** `front edge = front edge of the cab`: what the edges that tapes count from are on the vehicle. */
export function edgesOnVehicle({ side }: SideLayout): string | undefined {
  const named = EDGES.flatMap((edge: Edge) => {
    const onVehicle = side.edgesOnVehicle?.[edge]?.trim();
    return onVehicle ? [`${endName(edge, side)} edge = ${onVehicle}`] : [];
  });
  return named.length > 0 ? named.join('; ') : undefined;
}

function everyPanel(job: Job, layouts: readonly SideLayout[], hasHours: boolean): ListEntry[] {
  const count = layouts.reduce((sum, { panels }) => sum + panels.length, 0);
  const whole = layouts.reduce(
    (sum, { panels, droppedPanelIds }) => sum + panels.length + droppedPanelIds.length,
    0,
  );
  const dropped = whole - count;
  return [
    ...seamLines(job, layouts),
    ...(layouts.length > 1
      ? ['Where two sides wrap one corner, the side that you install later lies on top.']
      : []),
    ...generalSteps(job),
    `Count the panels before you begin: ${count} ${count === 1 ? 'is' : 'are'} to be here${dropped > 0 ? `, and ${dropped} of the layout ${dropped === 1 ? 'is' : 'are'} not printed` : ''}.`,
    ...(hasHours ? ['* Hours are estimates, of all people together.'] : []),
    `Something does not fit? Stop and call ${callText(job)}.`,
  ].map(entry);
}

const callText = ({ shop }: Job): string =>
  shop?.phone.trim() ? `${shop.name}, ${shop.phone}` : `${shop?.name ?? 'the shop'}, ${BLANK}${BLANK}`;

const lotText = (lotNumber: string): string => `lot ${lotNumber.trim() || BLANK}`;

/** For several films, one list per film with its panels. */
function filmBlocks(
  context: SheetContext,
  layouts: readonly SideLayout[],
  measured: MeasuredCoverage | undefined,
): FlowBlock[] {
  const { job } = context;
  if (!hasSeveralFilms(job))
    return [listBlock(context, 'Film, heat and time', oneFilmEntries(context, layouts, measured))];
  return jobFilms(job).flatMap(({ id, letter }) => {
    const onFilm = layoutsOnFilm(job, layouts, id);
    if (onFilm.length === 0) return [];
    const labels = onFilm.map(
      ({ side, panels }) => `${side.code} ${panels.map(({ number }) => number).join(', ')}`,
    );
    const entries = oneFilmEntries({ ...context, job: jobOnFilm(job, id) }, onFilm, measured);
    const on = { mark: letter, text: `FILM ${letter}: ${labels.join('; ')}` };
    return [blockWhole(listBlock(context, `Film ${letter}, heat and time`, [on, ...entries]))];
  });
}

function oneFilmEntries(
  context: SheetContext,
  layouts: readonly SideLayout[],
  measured: MeasuredCoverage | undefined,
): ListEntry[] {
  const { job, reprintedIds } = context;
  const settings = jobProductionSettings(job);
  const film: Pick<Film, 'name' | 'lotNumber'> = settings.film ?? job.film;
  const laminate: Pick<Film, 'name' | 'lotNumber'> | undefined = settings.laminate ?? job.laminate;
  const worst = coverageInUse(layouts, settings, measured).worst?.percent;
  const drying = dryingHours(settings.ink, worst, DEFAULT_DRYING_RULES);
  const rest =
    isLaminated(job) && settings.restHours > 0 ? ` + ${settings.restHours} h after lamination` : '';
  const sign = job.displayUnit === 'in' ? '°F' : '°C';
  const reprinted = reprintedIds.size > 0 ? 'the panels of this reprint' : 'the last panel';
  return [
    `Film: ${film.name}, ${lotText(film.lotNumber)}`,
    ...(laminate ? [`Laminate: ${laminate.name}, ${lotText(laminate.lotNumber)}`] : []),
    `Air, surface and film at ${BLANK} to ${BLANK} ${sign} (data sheet of ${film.name}).`,
    isPerforated(job, jobFilms(job)[0])
      ? 'No heat on glass: it cracks. Press the film on dry.'
      : heatSentence(job),
    `Not before ${BLANK}${BLANK}: ${reprinted} came off the printer at ${BLANK}${BLANK} + ${drying} h of drying${worst === undefined ? ' (ink not measured)' : ''}${rest}.`,
  ].map(entry);
}

/** No-film areas of all sides by action; the page of each side has the distances. */
function noFilmTable(context: SheetContext, layouts: readonly SideLayout[]): FlowBlock[] {
  const areas = layouts.flatMap((layout) =>
    noFilmAreasShown(context, layout, sideKeys(layout)).map((area) => ({ ...area, layout })),
  );
  const byAct = Map.groupBy(areas, ({ noFilmArea }) => NO_FILM_ACTS[noFilmArea.kind].act);
  const bold = boldStyle(context);
  const rows = [...byAct].flatMap(([act, ofAct]): Cell[][] => [
    [{ text: '' }, { text: act, style: bold, isGroupHead: true }],
    ...ofAct.map(({ layout, key, noFilmArea }): Cell[] => [
      { text: layout.side.code, style: bold },
      { text: `${key} ${noFilmArea.name}${glassText(layout, noFilmArea.id)}` },
      { text: noFilmPlace(layout, noFilmArea, context.job.displayUnit) },
    ]),
  ]);
  if (rows.length === 0) return [];
  const isGlassPrinted = layouts.some(({ panels }) => panels.some(({ glass }) => glass));
  return [
    tableBlock(
      context,
      `${isGlassPrinted ? 'No body film here' : 'No film here'}, in ${UNIT_NAME[context.job.displayUnit]}`,
      [
        { head: 'Side', share: 0.12 },
        { head: 'What', share: 0.48 },
        { head: 'From the end, up', share: 0.4 },
      ],
      rows,
    ),
  ];
}

/** `, then REAR-04 on its glass` */
function glassText({ panels }: SideLayout, areaId: string): string {
  const panel = panels.find(({ glass }) => glass?.areaId === areaId);
  return panel ? `, then ${panel.label} on its glass` : '';
}

/** The areas of a side; in a reprint only those on reprinted panels. */
export function noFilmAreasShown(
  { reprintedIds }: SheetContext,
  { panels }: SideLayout,
  { noFilmAreas }: SideKeys,
): SideKeys['noFilmAreas'] {
  if (reprintedIds.size === 0) return noFilmAreas;
  const again = panels.filter(({ id }) => reprintedIds.has(id));
  return noFilmAreas.filter(({ noFilmArea: { rect } }) =>
    again.some(({ printed }) => rectIntersection(printed, rectFromStored<'finished'>(rect)) !== undefined),
  );
}

/** `2 people · 4.5 h`, for captions. */
export const timeText = (times: InstallTimes, sideId: string): string => {
  const time = times.sides.get(sideId);
  return time ? ` · ${peopleText(time.people)} · ${time.hours} h` : '';
};
