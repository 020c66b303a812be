import { present } from '../measure/present.ts';
import type { Mm } from '../measure/units.ts';
import type { ColumnPages } from './column-pages.ts';
import { BLOCK_GAP_MM, blockInNewColumn, type FlowBlock, flowed } from './flow.ts';
import type { PageDraft } from './page-frame.ts';
import type { SheetContext } from './sheet-context.ts';

/** Usual space first, then what still reads well. */
export const SPACINGS: readonly number[] = [1, 0.5];

export const spacedContext = (context: SheetContext, spacing: number): SheetContext => ({
  ...context,
  spacing,
});

/** The text of the small sheets, on a larger one that it saves a page. */
const SMALL_TEXT_MM: Mm = 3.5;

export const smallTextContext = (context: SheetContext): SheetContext => ({
  ...context,
  size: { ...context.size, textMm: Math.min(context.size.textMm, SMALL_TEXT_MM) },
});

/** The context as it is, more closely set, and with small text where the sheet has a larger one: best first. */
export function closerContexts(context: SheetContext): readonly SheetContext[] {
  const small = smallTextContext(context);
  const texts = small.size.textMm < context.size.textMm ? [context, small] : [context];
  return texts.flatMap((text) => SPACINGS.map((spacing) => spacedContext(text, spacing)));
}

/** Space above a block. */
const blockGap = ({ spacing }: SheetContext): number => BLOCK_GAP_MM * (0.4 + 0.6 * spacing);

/** How many of the last blocks may move on to the last page, to join a small rest. */
export const TAKEN_ALONG: readonly number[] = [2, 3, 4, 5];

/** The blocks, of which the last `count` begin in a new column. */
export const blocksTakenAlong = (blocks: readonly FlowBlock[], count: number): readonly FlowBlock[] =>
  blocks.map((block, index) => (index === blocks.length - count ? blockInNewColumn(block) : block));

/** A rest of less than this share of a page should not be alone. */
const SMALL_REST = 0.3;

export interface FilledPages {
  readonly pages: readonly PageDraft[];
  /** Whether the last page holds next to nothing. */
  readonly hasSmallRest: boolean;
  /** Tables and lists that are torn, and first pages that are left half empty. */
  readonly faults: number;
}

/** Fills the columns with blocks as closely as the context asks for. */
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
 * Of several ways to fill pages, best first, the first that takes the fewest pages and splits the fewest tables: to
 * avoid a small rest alone on a page, a little less space between blocks is worth it. Where a rest remains, the first
 * of `rescues` that leaves none and needs no further page.
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
