import { bodyStyle, longTextBlock } from './blocks.ts';
import { textWrapped } from './drawing/text-block.ts';
import { type Column, type FlowBlock, flowed } from './flow.ts';
import { bodyRect, type PageDraft } from './page-frame.ts';
import type { SheetContext } from './sheet-context.ts';
import { columnsOf } from './side-pages.ts';

/** Pages of running text in two columns. */
export function textPages(context: SheetContext, title: string, blocks: readonly FlowBlock[]): PageDraft[] {
  const body = bodyRect(context.size);
  const pages: PageDraft[] = [];
  const columns: Column[] = [];
  flowed(blocks, () => {
    if (columns.length === 0) {
      const page: PageDraft = {
        head: { title: pages.length === 0 ? title : `${title}, continued` },
        items: [],
      };
      pages.push(page);
      columns.push(...columnsOf(page, body.x, body.y, body.width, body.height, 2));
    }
    return columns.shift()!;
  });
  return pages;
}

/** A text in full, for textPages: its lines are broken for the width of their columns. */
export function wholeText(context: SheetContext, label: string, text: string): FlowBlock {
  const body = bodyRect(context.size);
  const page: PageDraft = { head: { title: label }, items: [] };
  const { widthMm } = columnsOf(page, 0, 0, body.width, body.height, 2)[0]!;
  const heading = label.length > 60 ? `${label.slice(0, 60)}…` : label;
  const { lines } = textWrapped(context.fonts, text, bodyStyle(context), widthMm);
  return longTextBlock(context, heading, lines);
}
