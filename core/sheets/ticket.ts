/** The ticket: what production prints, how, on what, when it may be laminated, and what must be checked. */

import { type Item, TEXT_ASCENT, THICK } from '../drawing/drawing.ts';
import type { FontMetrics } from '../drawing/font-library.ts';
import { styleOf, textFitted, textLine } from '../drawing/text-block.ts';
import { type Finding, findingKey, type Severity } from '../findings/finding.ts';
import { type FindingGroup, findingGroups } from '../findings/layout/finding-groups.ts';
import type { Job } from '../job/schema.ts';
import { sheetPaper } from '../job/sheet-paper.ts';
import { isFleet } from '../job/vehicles.ts';
import { shopTrims } from '../layout/shop-trims.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { listText } from '../measure/list-text.ts';
import { firstOf } from '../measure/present.ts';
import type { Mm } from '../measure/units.ts';
import { offPrinterTime } from '../output/off-printer-time.ts';
import type { ProductionRecord } from '../output/production-record.ts';
import { DEFAULT_DRYING_RULES, dryingHours } from '../production/drying.ts';
import type { JobEstimates } from '../production/estimate.ts';
import { filledUses } from '../production/fill-list.ts';
import { type FilmProduction, productionFromOffPrinter } from '../production/film-production.ts';
import { isStripJob } from '../production/job-strips.ts';
import { daysOnRolls } from '../rolls/staged-plan.ts';
import type { DateOrder } from '../shop/date-order.ts';
import { localTimeText, MINUTES_PER_HOUR, minutesFromLocal } from '../shop/local-time.ts';
import { itemPanelId } from '../shop/rolls.ts';
import { type Cell, type ListEntry, listBlock, signOffRow, TICK_BOX, tableBlock } from './blocks.ts';
import { colorStripBlocks } from './color-strip-block.ts';
import { columnPages, columnsOf, isTwoColumns } from './column-pages.ts';
import { type FilledPages, fewestPages, pagesFilled, SPACINGS, spacedContext } from './fewest-pages.ts';
import { fillBlocks } from './fill-rows.ts';
import { fleetPrintRows, printsOfEach } from './fleet-print.ts';
import type { Column, FlowBlock } from './flow.ts';
import { packingEntries, panelsText } from './packing-list.ts';
import { bodyRect, type PageDraft, type Sheet } from './page-frame.ts';
import { rollPlanBlock, rollPlanScales } from './roll-plan-block.ts';
import type { RollOnPlan } from './roll-rows.ts';
import { type SheetContext, type SheetOptions, sheetContext } from './sheet-context.ts';
import { sheetLengthWithUnit, UNIT_NAME } from './sheet-length.ts';
import { SHEET_SIZES, type SheetSizeName } from './sheet-size.ts';
import { sheetsWithTexts } from './text-pages.ts';
import { estimatesBlock, togetherBlock } from './ticket-estimates.ts';
import { materialRows, momentText, printRows, stripRows } from './ticket-figures.ts';
import { type OperatorKnown, operatorBlock, tickToTick } from './ticket-operator.ts';

export const TICKET = 'Production ticket';

export interface TicketOptions extends SheetOptions {
  readonly fonts: FontMetrics;
  /** The job's own choice where absent. */
  readonly sheet?: SheetSizeName;
  /** All findings of the job, see core/checks/findings/job-findings.ts. */
  readonly findings: readonly Finding[];
  readonly operator?: OperatorKnown;
  /** Where the job has several films, of which this one is the job's here; see film-tickets.ts. */
  readonly film?: {
    readonly title: string;
    /** What all films take, on the ticket that tells it. */
    readonly together: JobEstimates | undefined;
  };
}

/** Share of the columns of the first page that the roll plan may take. */
const PLAN_SHARE = 0.4;
const BAND_MM: Mm = 17;
/** A ticket is read at arm's length, whatever it is printed on: capitals of 2.5 mm (ISO 3098). */
const TEXT_MM: Mm = 3.5;

/**
 * One page where the job fits on one; a job of many panels goes on to further pages. The roll plan is drawn at the
 * largest scale that lets everything stand on one page, or else that leaves the other blocks their share.
 */
export function ticket(
  job: Job,
  layouts: readonly SideLayout[],
  production: FilmProduction,
  options: TicketOptions,
): readonly Sheet[] {
  const size = {
    ...SHEET_SIZES[options.sheet ?? sheetPaper(job, 'ticket')],
    textMm: TEXT_MM,
  };
  const context = sheetContext(job, options.fonts, size, options);
  const record = options.operator?.record ?? {};
  const offPrinter = offPrinterTime(record);
  const printed =
    offPrinter === undefined ? production : productionFromOffPrinter(job, production, offPrinter);
  const rolls = rollsOnPlan(production);
  const ofFilm = options.film ? ` · ${options.film.title}` : '';
  const title = `Ticket · ${job.number}${ofFilm} · ${panelsText(context, layouts)}`;
  const ways = SPACINGS.map((spacing) => () => {
    const spaced = spacedContext(context, spacing);
    const blocks = ticketBlocks(spaced, layouts, production, options);
    const pagesAt = (oneTo?: number) =>
      ticketPages(spaced, printed, record, title, planPlaced(spaced, blocks, rolls, oneTo));
    return rolls.length === 0 ? pagesAt() : firstOfOnePage(planScales(spaced, rolls), pagesAt);
  });
  return sheetsWithTexts(context, TICKET, fewestPages(ways));
}

function firstOfOnePage(
  [largest, ...others]: readonly [number, ...number[]],
  pagesAt: (oneTo: number) => FilledPages,
): FilledPages {
  const atLargest = pagesAt(largest);
  if (atLargest.pages.length === 1) return atLargest;
  for (const oneTo of others) {
    const filled = pagesAt(oneTo);
    if (filled.pages.length === 1) return filled;
  }
  return atLargest;
}

/** Where the blocks of the first page stand. */
function firstColumns({ size }: SheetContext, page: PageDraft): Column[] {
  const body = bodyRect(size);
  const below = BAND_MM + 3;
  const count = isTwoColumns(body) ? 2 : 1;
  return columnsOf(
    page,
    { xMm: body.x, yMm: body.y + below, widthMm: body.width, heightMm: body.height - below },
    count,
  );
}

function planRoom(context: SheetContext): { readonly widthMm: Mm; readonly heightMm: Mm } {
  const columns = firstColumns(context, { head: { title: '' }, items: [] });
  const heightMm = columns.reduce((sum, column) => sum + column.heightMm, 0) * PLAN_SHARE;
  return { widthMm: firstOf(columns).widthMm, heightMm };
}

function planScales(context: SheetContext, rolls: readonly RollOnPlan[]): readonly [number, ...number[]] {
  const { widthMm, heightMm } = planRoom(context);
  return rollPlanScales(context, rolls, widthMm, heightMm);
}

/** The roll plan stands in front of the tables; one of so many rolls that it fills pages comes last. */
function planPlaced(
  context: SheetContext,
  { first, tables }: TicketBlocks,
  rolls: readonly RollOnPlan[],
  oneTo: number | undefined,
): FlowBlock[] {
  if (oneTo === undefined) return [...first, ...tables];
  const plan = rollPlanBlock(context, rolls, oneTo);
  const { widthMm, heightMm } = planRoom(context);
  const isLong = plan(widthMm).reduce((sum, piece) => sum + piece.heightMm, 0) > heightMm;
  return isLong ? [...first, ...tables, plan] : [...first, plan, ...tables];
}

function ticketPages(
  context: SheetContext,
  production: FilmProduction,
  record: ProductionRecord,
  title: string,
  blocks: readonly FlowBlock[],
): FilledPages {
  const body = bodyRect(context.size);
  const first: PageDraft = { head: { title }, items: bandItems(context, production, record, body) };
  const free = firstColumns(context, first);
  const columns = columnPages(context, title, free.length, { page: first, columns: free });
  return pagesFilled(context, blocks, columns);
}

function rollsOnPlan(production: FilmProduction): RollOnPlan[] {
  return filledUses(production).flatMap((use) => {
    const roll = production.rolls.find(({ id }) => id === use.rollId);
    return roll ? [{ roll, use }] : [];
  });
}

interface BandCell {
  readonly caption: string;
  readonly text: string;
  readonly share: number;
}

/**
 * What must not be missed: the factor for the RIP in white on black, its scale with the feed compensation, and how long
 * prints dry, counted from a time that is entered, or written in by hand: a planned minute is not when the last panel came off.
 * Keeps TK1.
 */
function bandItems(
  context: SheetContext,
  production: FilmProduction,
  record: ProductionRecord,
  body: { x: Mm; y: Mm; width: Mm },
): Item[] {
  const { job, fonts } = context;
  const { clock, rules } = production;
  const size = job.output.size;
  const factor = size.kind === 'reduction' ? `ENLARGE ×${size.factor} IN THE RIP` : 'PRINT AT 100 %';
  const feed = rules.feedCompensationPercent;
  const cells: readonly BandCell[] = [
    {
      caption: isStripJob(job) ? 'Size of the strip files' : 'Size of the panel files',
      text: factor,
      share: 0.34,
    },
    {
      caption: 'RIP scale, across × along',
      text: `100 × ${feed === 0 ? '100' : (100 + feed).toFixed(2)} %`,
      share: 0.2,
    },
    ...dryingCells(production, record, job.dateOrder),
    {
      caption: offPrinterTime(record) ? 'Install from' : 'Install, planned from',
      text: clock ? momentText(clock.install, job.dateOrder) : 'print start not set',
      share: 0.16,
    },
  ];
  let x = body.x;
  return cells.flatMap(({ caption, text, share }, index): Item[] => {
    const rect = { x, y: body.y, width: body.width * share, height: BAND_MM };
    x += rect.width;
    const isReversed = index === 0;
    const black = isReversed ? 0 : 1;
    const tag = `band ${caption}`;
    const value = textFitted(
      fonts,
      text,
      { ...styleOf('bold', isReversed ? 11 : 7), black },
      rect.width - 4,
      2.2,
    );
    return [
      { kind: 'rect', tag, rect, stroke: THICK, ...(isReversed ? { fill: { black: 1 } } : {}) },
      textLine(
        fonts,
        caption,
        { ...styleOf('regular', 2.8), black },
        {
          at: { x: rect.x + 2, y: rect.y + 0.6 + 2.8 * TEXT_ASCENT },
          tag,
        },
      ),
      ...(value
        ? [
            textLine(fonts, value.text, value.style, {
              at: { x: rect.x + 2, y: rect.y + BAND_MM - 3.2 },
              tag,
            }),
          ]
        : []),
    ];
  });
}

/** When the last panel came off, and when it is dry: by the minute that was entered, or else to be counted from it by hand. */
function dryingCells(
  { settings, coverage }: FilmProduction,
  record: ProductionRecord,
  dateOrder: DateOrder | undefined,
): BandCell[] {
  const hours = dryingHours(settings.ink, coverage.worst?.percent, DEFAULT_DRYING_RULES);
  const dry = settings.laminate ? 'Laminate' : 'Dry';
  const came = offPrinterTime(record);
  const off = { caption: 'Last panel off printer', share: 0.15 };
  if (came === undefined) {
    return [
      { ...off, text: record.offPrinter ?? '' },
      { caption: `${dry}, from then`, text: `+ ${hours} h`, share: 0.15 },
    ];
  }
  const minutes = minutesFromLocal(came);
  return [
    { ...off, text: localTimeText(minutes, dateOrder) },
    {
      caption: `${dry} from (+ ${hours} h)`,
      text: localTimeText(minutes + hours * MINUTES_PER_HOUR, dateOrder),
      share: 0.15,
    },
  ];
}

interface TicketBlocks {
  /** In front of everything else. */
  readonly first: readonly FlowBlock[];
  readonly tables: readonly FlowBlock[];
}

function ticketBlocks(
  context: SheetContext,
  layouts: readonly SideLayout[],
  production: FilmProduction,
  { findings, operator = {}, film }: TicketOptions,
): TicketBlocks {
  const { job } = context;
  const wanted = job.sheets?.ticket ?? {};
  const unit = UNIT_NAME[job.displayUnit];
  const entries = findingEntries(job, layouts, findings);
  const first = [
    ...colorStripBlocks(context),
    ...(entries.length > 0 ? [listBlock(context, 'Findings', entries)] : []),
  ];
  const blocks: FlowBlock[] = [
    materialBlock(context, production, operator),
    ...daysBlocks(context, production),
    ...stripBlocks(context, production),
    isFleet(job) && production.settings.fleetOrder !== 'set-by-set'
      ? tableBlock(
          context,
          `${printsOfEach(job, layouts)}, film sizes in ${unit}, width × height`,
          [
            { head: '', share: 0.06 },
            { head: 'Panel', share: 0.15 },
            { head: 'Prints', share: 0.09, anchor: 'end' },
            { head: 'Size on roll', share: 0.21 },
            { head: 'Rolls', share: 0.13 },
            { head: 'Sent length', share: 0.21 },
            { head: 'Ink mean / worst', share: 0.15 },
          ],
          fleetPrintRows(context, layouts, production),
        )
      : tableBlock(
          context,
          `${isStripJob(job) ? 'Panels in the order of printing' : 'Print in this order'}, film sizes in ${unit}, width × height`,
          [
            { head: '', share: 0.06 },
            { head: 'Panel', share: 0.15 },
            { head: 'Size on roll', share: 0.21 },
            { head: 'Roll', share: 0.07, anchor: 'middle' },
            { head: 'From start', share: 0.15 },
            { head: 'Sent length', share: 0.21 },
            { head: 'Ink mean / worst', share: 0.15 },
          ],
          printRows(context, layouts, production),
        ),
    ...fillBlocks(context, production),
  ];
  const trims = layouts.flatMap(shopTrims);
  if (trims.length > 0) {
    const labels = [...new Set(trims.map(({ label }) => label))];
    const entries = labels.map((label) => ({
      mark: label,
      text: `${trims
        .filter((trim) => trim.label === label)
        .map(({ edge }) => edge)
        .join(', ')} edge to the line`,
    }));
    blocks.push(listBlock(context, 'Trim in the shop', entries));
  }
  blocks.push(
    tableBlock(
      context,
      'Checks',
      [
        { head: '', share: 0.06 },
        { head: 'What', share: 0.64 },
        { head: 'Found', share: 0.3 },
      ],
      checkRows(context, layouts, production),
    ),
    ...(wanted.packing ? [packBlock(context, layouts)] : []),
  );
  blocks.push(
    operatorBlock(context, layouts, production, operator),
    listBlock(context, 'Cautions', [...turnedCautions(layouts, production), ...CAUTIONS]),
    signOffRow(context, 'Sign-off', ['Printed', 'Laminated', 'Packed']),
    ...(wanted.estimates || wanted.cost ? [estimatesBlock(context, production, wanted)] : []),
    ...((wanted.estimates || wanted.cost) && film?.together
      ? [togetherBlock(context, production, film.together, wanted)]
      : []),
  );
  return { first, tables: blocks };
}

/**
 * Common practice, no source, but for the loads of one person (HSE L23: 10 and 7 kg from the floor, 25 and 16 kg at
 * elbow height) and rags (29 CFR 1910.106(e), 1910.107(g)).
 */
const CAUTIONS: readonly ListEntry[] = [
  'A full roll weighs 20 kg (44 lb) and more: two people, a trolley or a hoist. Panels over 3 m (10 ft): two people.',
  'Laminator: no loose sleeves, hair or gloves near the nip; know the stop before you feed.',
  'Drying prints give off vapor: moving fresh air, no flame or spark. Rags go into a covered metal can.',
  'Data sheets of ink, film and laminate come before this sheet.',
].map((text) => ({ mark: '!', text }));

/** Panels that lie across the film beside others that do not: the two may differ in color. */
function turnedCautions(layouts: readonly SideLayout[], { plan }: FilmProduction): ListEntry[] {
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

const packBlock = (context: SheetContext, layouts: readonly SideLayout[]): FlowBlock =>
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

/** Of a reprint with what was used first beside blanks for what is used now: two lots of one film differ in color. */
function materialBlock(
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

/** What is sent to the printer where panels are printed strip by strip. */
function stripBlocks(context: SheetContext, production: FilmProduction): FlowBlock[] {
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

/** Two short rows side by side: the first half of them on the left. */
function inPairs(rows: readonly Cell[][]): Cell[][] {
  const half = Math.ceil(rows.length / 2);
  return rows.slice(0, half).map((row, index) => [...row, ...(rows[half + index] ?? [])]);
}

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
 * The findings of the job as everywhere else, equal ones as one line; with each stop and warning who acknowledged it and
 * why, so that whoever prints knows.
 */
export function findingEntries(
  job: Job,
  layouts: readonly SideLayout[],
  findings: readonly Finding[],
): { mark: string; text: string }[] {
  return findingGroups(job, layouts, findings).map((group) => ({
    mark: MARKS[group.severity],
    text: `${group.title} ${answerText(job, group)}`.trim(),
  }));
}

const MARKS: Readonly<Record<Severity, string>> = { stop: '✖', warn: '!', note: '·' };

function answerText(job: Job, { severity, findings, isAcknowledged }: FindingGroup): string {
  if (severity === 'note') return '';
  if (!isAcknowledged) return severity === 'warn' ? 'NOT ACKNOWLEDGED YET.' : 'STOPS THE OUTPUT.';
  const answers = findings.map((finding) => {
    const key = findingKey(finding);
    const given = job.acknowledgements.find((acknowledgement) => acknowledgement.finding === key);
    // Many people end a note as a sentence.
    const note = given?.note.trim().replace(/\.$/, '');
    return `Acknowledged by ${given?.by || 'nobody named'}${note ? `: ${note}` : ''}.`;
  });
  return [...new Set(answers)].join(' ');
}

/** Of a job that is installed on several days: what of each day is when. The panels themselves say their day below. */
function daysBlocks({ job, ...context }: SheetContext, { plan, rolls, clock }: FilmProduction): FlowBlock[] {
  const days = daysOnRolls(plan, rolls);
  if (days.length < 2) return [];
  const at = (local: string | undefined) =>
    local === undefined ? '' : localTimeText(minutesFromLocal(local), job.dateOrder);
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
