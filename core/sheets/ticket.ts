/** The ticket: what production prints, how and on what, when to laminate, and what to check. */

import type { Job } from '../job/schema.ts';
import { sheetPaper } from '../job/sheet-paper.ts';
import type { SideLayout } from '../layout/side-layout.ts';
import { firstOf } from '../measure/present.ts';
import type { Mm } from '../measure/units.ts';
import type { ProductionRecord } from '../output/production-record.ts';
import { printedTimes } from '../output/record-parts.ts';
import { filledUses } from '../production/fill-list.ts';
import { filmClocks } from '../production/film-clock.ts';
import type { FilmProduction } from '../production/film-production.ts';
import { columnPages, columnsOf, isTwoColumns } from './column-pages.ts';
import { type FilledPages, fewestPages, pagesFilled, SPACINGS, spacedContext } from './fewest-pages.ts';
import type { Column, FlowBlock } from './flow.ts';
import { panelsText } from './packing-list.ts';
import { bodyRect, type PageDraft, type Sheet } from './page-frame.ts';
import { rollPlanBlock, rollPlanScales } from './roll-plan-block.ts';
import type { RollOnPlan } from './roll-rows.ts';
import { type SheetContext, sheetContext } from './sheet-context.ts';
import { SHEET_SIZES } from './sheet-size.ts';
import { sheetsWithTexts } from './text-pages.ts';
import { BAND_MM, bandItems } from './ticket-band.ts';
import { type TicketBlocks, type TicketOptions, ticketBlocks } from './ticket-blocks.ts';

export const TICKET = 'Production ticket';

/** Share of the first page's columns for the roll drawing. */
const PLAN_SHARE = 0.4;

/** A ticket is read at arm's length on any size of paper: capitals of 2.5 mm (ISO 3098). */
const TEXT_MM: Mm = 3.5;

/**
 * One page where the job fits on one; a job of many panels takes further pages. The rolls are drawn at the largest
 * scale that puts everything on one page, or else leaves the other blocks their share.
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
  const [clock] = options.film
    ? [production.clock]
    : filmClocks(job, [{ made: production, printed: printedTimes(record) }]);
  const printed: FilmProduction = { ...production, clock };
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

/** The columns for the blocks of the first page. */
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

/** The rolls come before the tables, or last where they fill whole pages. */
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
