/** The ticket: what production prints, how, on what, when it may be laminated, and what must be checked. */
import type { Job } from '../job/schema.ts';
import { type Finding, findingKey } from '../layout/finding.ts';
import { shopTrims } from '../layout/shop-trims.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import type { Mm } from '../measure/units.ts';
import type { JobProduction } from '../production/job-production.ts';
import { type Cell, listBlock, signOffRow, TICK_BOX, tableBlock } from './blocks.ts';
import { type Item, TEXT_ASCENT, THICK } from './drawing/drawing.ts';
import type { FontMetrics } from './drawing/font-library.ts';
import { styleOf, textFitted, textLine } from './drawing/text-block.ts';
import { type FlowBlock, flowed } from './flow.ts';
import { packingEntries } from './packing-list.ts';
import { bodyRect, type PageDraft, type Sheet, sheetsFromDrafts } from './page-frame.ts';
import { type RollOnPlan, rollsPicture, rollsThatFit } from './roll-picture.ts';
import { type SheetContext, sheetContext } from './sheet-context.ts';
import { sheetLength, sheetLengthWithUnit, UNIT_NAME } from './sheet-length.ts';
import { scaleDesignation } from './sheet-scale.ts';
import { SHEET_SIZES, type SheetSizeName } from './sheet-size.ts';
import { columnsOf, isTwoColumns } from './side-pages.ts';
import { textPages, wholeText } from './text-pages.ts';
import { estimateRows, materialRows, momentText, printRows } from './ticket-figures.ts';

export const TICKET = 'Production ticket';

export interface TicketOptions {
  readonly fonts: FontMetrics;
  /** The job's own choice where absent. */
  readonly sheet?: SheetSizeName;
  /** Findings of the layout and the artwork; those of rolls, materials and drying come with the production. */
  readonly findings?: readonly Finding[];
}

/** Share of the body that the roll plan may take. */
const PLAN_SHARE = 0.36;
const BAND_MM: Mm = 18;

/** One page where the job fits on one; a job of many panels goes on to further pages. */
export function ticket(
  job: Job,
  layouts: readonly SideLayout[],
  production: JobProduction,
  options: TicketOptions,
): readonly Sheet[] {
  const size = SHEET_SIZES[options.sheet ?? job.output.mapSheet];
  const context = sheetContext(job, options.fonts, size);
  const body = bodyRect(size);
  const rolls = rollsOnPlan(production);
  const pictureOf = (some: readonly RollOnPlan[], height: Mm) =>
    rollsPicture(options.fonts, some, { width: body.width, height }, (each) => rollCaption(context, each));
  const onFirst = rollsThatFit(body.height * PLAN_SHARE);
  const picture = pictureOf(rolls.slice(0, onFirst), body.height * PLAN_SHARE);
  const panelCount = layouts.reduce((sum, { panels }) => sum + panels.length, 0);
  const title = `Ticket · ${job.number} · ${panelCount} ${panelCount === 1 ? 'panel' : 'panels'}`;
  const head = rolls.length > 0 ? { title, scale: scaleDesignation(picture.oneTo) } : { title };
  const first: PageDraft = { head, items: [] };
  const planY = body.y + BAND_MM + 2;
  first.items.push(...bandItems(context, production, body), ...picture.draw(body.x, planY));

  const pages = [first];
  const below = planY + (rolls.length > 0 ? picture.heightMm : 0);
  const count = isTwoColumns(body) ? 2 : 1;
  const columns = columnsOf(first, body.x, below, body.width, body.y + body.height - below, count);
  flowed(ticketBlocks(context, layouts, production, options.findings ?? []), () => {
    if (columns.length === 0) {
      const page: PageDraft = { head: { title: `${title}, continued` }, items: [] };
      pages.push(page);
      columns.push(...columnsOf(page, body.x, body.y, body.width, body.height, count));
    }
    return columns.shift()!;
  });
  for (let from = onFirst; from < rolls.length; from += rollsThatFit(body.height)) {
    const more = pictureOf(rolls.slice(from, from + rollsThatFit(body.height)), body.height);
    const scale = scaleDesignation(more.oneTo);
    pages.push({ head: { title: `${title}, further rolls`, scale }, items: [...more.draw(body.x, body.y)] });
  }
  sheetsFromDrafts(context, TICKET, pages);
  const long = context.longTexts.map(({ label, text }) => wholeText(context, label, text));
  if (long.length > 0) pages.push(...textPages(context, 'Texts in full', long));
  return sheetsFromDrafts(context, TICKET, pages);
}

function rollsOnPlan({ plan, rolls }: JobProduction): RollOnPlan[] {
  return plan.uses.flatMap((use) => {
    const roll = rolls.find(({ id }) => id === use.rollId);
    return roll ? [{ roll, use }] : [];
  });
}

function rollCaption({ job }: SheetContext, { roll, use }: RollOnPlan): string {
  const used = sheetLengthWithUnit(use.usedLengthMm, job.displayUnit);
  const wide = sheetLengthWithUnit(roll.widthMm, job.displayUnit);
  return `${roll.label} · ${wide} wide · ${used} used · ${use.wastePercent.toFixed(1)} % of it waste`;
}

/** What must not be missed: the factor for the RIP in white on black, then feed and the earliest lamination. */
function bandItems(
  context: SheetContext,
  production: JobProduction,
  body: { x: Mm; y: Mm; width: Mm },
): Item[] {
  const { job, fonts } = context;
  const { clock, rules, settings } = production;
  const size = job.output.size;
  const factor = size.kind === 'reduction' ? `ENLARGE ×${size.factor} IN THE RIP` : 'PRINT AT 100 %';
  const feed = rules.feedCompensationPercent;
  const cells: readonly { caption: string; text: string; share: number }[] = [
    { caption: 'Size of the panel files', text: factor, share: 0.4 },
    {
      caption: 'Feed compensation, along the film',
      text: feed === 0 ? 'none' : `${feed > 0 ? '+' : ''}${feed.toFixed(2)} %`,
      share: 0.18,
    },
    {
      caption: settings.laminate ? 'Laminate not before' : 'Dry not before',
      text: clock ? momentText(clock.laminate ?? clock.dry) : 'print start not set',
      share: 0.22,
    },
    {
      caption: 'Install not before',
      text: clock ? momentText(clock.install) : 'print start not set',
      share: 0.2,
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
      3,
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

function ticketBlocks(
  context: SheetContext,
  layouts: readonly SideLayout[],
  production: JobProduction,
  findings: readonly Finding[],
): FlowBlock[] {
  const { job } = context;
  const unit = UNIT_NAME[job.displayUnit];
  const warnings = warningEntries(job, [...findings, ...production.findings]);
  const blocks: FlowBlock[] = [
    ...(warnings.length > 0 ? [listBlock(context, 'Warnings', warnings)] : []),
    tableBlock(
      context,
      'Film and laminate',
      [
        { head: '', share: 0.17 },
        { head: 'Name', share: 0.33 },
        { head: 'Kind', share: 0.25 },
        { head: 'Batch used', share: 0.25 },
      ],
      materialRows(job, production.settings),
    ),
    tableBlock(
      context,
      `Print in this order, film sizes in ${unit}, width × height`,
      [
        { head: '', share: 0.06 },
        { head: 'Panel', share: 0.16 },
        { head: 'Film size', share: 0.24 },
        { head: 'Roll', share: 0.1, anchor: 'middle' },
        { head: 'From the start', share: 0.19 },
        { head: 'Sent length', share: 0.25 },
      ],
      printRows(context, layouts, production),
    ),
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
      checkRows(context),
    ),
    tableBlock(
      context,
      'Pack',
      [
        { head: '', share: 0.06 },
        { head: '', share: 0.94 },
      ],
      packingEntries(job, layouts).map((text): Cell[] => [TICK_BOX, { text }]),
    ),
  );
  blocks.push(
    signOffRow(context, 'Sign-off', ['Printed', 'Laminated', 'Packed']),
    tableBlock(
      context,
      'Estimates, worked out ahead and not measured',
      [
        { head: 'What', share: 0.2 },
        { head: 'Estimate', share: 0.22, anchor: 'end' },
        { head: 'From', share: 0.58 },
      ],
      estimateRows(production.estimates),
    ),
  );
  return blocks;
}

function checkRows({ job }: SheetContext): Cell[][] {
  const bar = `The 100 mm bar in the border of the first panel, in ${job.displayUnit} (${sheetLength(100, job.displayUnit)})`;
  return [
    'Nozzle check without gaps',
    'Colour against the proof, in good light',
    bar,
    'Labels in the borders readable, right job number',
    'Dry: no smell, no mark from a pressed thumb wrapped in cloth',
  ].map((text): Cell[] => [TICK_BOX, { text }, { text: '' }]);
}

/** Every stop and warn with its acknowledgement, so that whoever prints knows what was accepted, by whom and why. */
export function warningEntries(job: Job, findings: readonly Finding[]): { mark: string; text: string }[] {
  return findings
    .filter(({ severity }) => severity !== 'note' || findings.length < 12)
    .map((finding) => {
      const key = findingKey(finding);
      const accepted = job.acknowledgements.find((acknowledgement) => acknowledgement.finding === key);
      const answer = accepted
        ? `Accepted by ${accepted.by || 'nobody named'}${accepted.note ? `: ${accepted.note}` : ''}.`
        : finding.severity === 'note'
          ? ''
          : 'NOT ACCEPTED YET.';
      const mark = finding.severity === 'stop' ? '✖' : finding.severity === 'warn' ? '!' : '·';
      return { mark, text: `${finding.message} ${answer}`.trim() };
    });
}
