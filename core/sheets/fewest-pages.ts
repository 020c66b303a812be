import { present } from '../measure/present.ts';
import type { Mm } from '../measure/units.ts';
import type { ColumnPages } from './column-pages.ts';
import { BLOCK_GAP_MM, blockInNewColumn, type FlowBlock, flowed } from './flow.ts';
import type { PageDraft } from './page-frame.ts';
import type { SheetContext } from './sheet-context.ts';

/** Usual spacing first, then the tightest that still reads well. */
export const SPACINGS: readonly number[] = [1, 0.5];

export const spacedContext = (context: SheetContext, spacing: number): SheetContext => ({
  ...context,
  spacing,
});

/** Text size of the small sheets, used on a larger sheet where it saves a page. */
const SMALL_TEXT_MM: Mm = 3.5;

export const smallTextContext = (context: SheetContext): SheetContext => ({
  ...context,
  size: { ...context.size, textMm: Math.min(context.size.textMm, SMALL_TEXT_MM) },
});

/** The context unchanged, with tighter spacing, and with small text where the sheet has larger: best first. */
export function closerContexts(context: SheetContext): readonly SheetContext[] {
  const small = smallTextContext(context);
  const texts = small.size.textMm < context.size.textMm ? [context, small] : [context];
  return texts.flatMap((text) => SPACINGS.map((spacing) => spacedContext(text, spacing)));
}

/** Space above a block. */
const blockGap = ({ spacing }: SheetContext): number => BLOCK_GAP_MM * (0.4 + 0.6 * spacing);

/** How many of the last blocks may move to the last page, to join a small rest. */
export const TAKEN_ALONG: readonly number[] = [2, 3, 4, 5];

/** The blocks, of which the last `count` begin in a new column. */
export const blocksTakenAlong = (blocks: readonly FlowBlock[], count: number): readonly FlowBlock[] =>
  blocks.map((block, index) => (index === blocks.length - count ? blockInNewColumn(block) : block));

/** A rest below this share of a page should not be alone. */
const SMALL_REST = 0.3;

export interface FilledPages {
  readonly pages: readonly PageDraft[];
  /** Whether the last page is almost empty. */
  readonly hasSmallRest: boolean;
  /** Number of divided tables and lists, and of half-empty first pages. */
  readonly faults: number;
}

/** Fills the columns with blocks at the context's spacing. */
export function pagesFilled(
  context: SheetContext,
  blocks: readonly FlowBlock[],
  columns: ColumnPages,
): FilledPages {
  const { pages, count } = columns;
  const { tears, lastFill } = flowed(blocks, columns.next, blockGap(context));
  const isInFirstColumn = columns.left === count - 1;
  return {
    pages,
    hasSmallRest: pages.length > 1 && isInFirstColumn && lastFill < SMALL_REST,
    faults: tears,
  };
}

/**
 * Of several page layouts, best first, returns the first with the fewest pages and fewest divided tables; tighter
 * spacing is acceptable to avoid a small rest alone on a page. Where a rest remains, returns the first of `rescues`
 * without one that needs no further page.
 */
export function fewestPages(
  [best, ...others]: readonly (() => FilledPages)[],
  rescues: readonly (() => FilledPages)[] = [],
): readonly PageDraft[] {
  let found = present(best, 'A way to fill pages')();
  for (const way of others) {
    if (found.pages.length === 1 && found.faults === 0) break;
    const other = way();
    const more = other.pages.length - found.pages.length || other.faults - found.faults;
    if (more < 0) found = other;
  }
  if (!found.hasSmallRest) return found.pages;
  for (const way of rescues) {
    const other = way();
    if (!other.hasSmallRest && other.pages.length <= found.pages.length) return other.pages;
  }
  return found.pages;
}
