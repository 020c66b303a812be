import { textWrapped } from '../drawing/text-block.ts';
import { firstOf } from '../measure/present.ts';
import { bodyStyle, longTextBlock } from './blocks.ts';
import { columnPages, columnsOf } from './column-pages.ts';
import { type FlowBlock, flowed } from './flow.ts';
import { bodyRect, type PageDraft, type Sheet, type SheetSubject, sheetsFromDrafts } from './page-frame.ts';
import type { SheetContext } from './sheet-context.ts';

const COLUMNS = 2;

/** Pages of running text and short tables in two columns. */
export function textPages(context: SheetContext, title: string, blocks: readonly FlowBlock[]): PageDraft[] {
  const columns = columnPages(context, title, COLUMNS);
  flowed(blocks, columns.next);
  return columns.pages;
}

/** The pages as sheets; texts that were cut short are printed in full on pages at the end. */
export function sheetsWithTexts(
  context: SheetContext,
  documentType: string,
  pages: readonly PageDraft[],
  subject?: SheetSubject,
): Sheet[] {
  // Heads and title blocks may also cut texts, so they are made once before the long texts are collected.
  sheetsFromDrafts(context, documentType, pages, subject);
  const long = context.longTexts.map(({ label, text }) => wholeText(context, label, text));
  const more = long.length > 0 ? textPages(context, 'Texts in full', long) : [];
  return sheetsFromDrafts(context, documentType, [...pages, ...more], subject);
}

/** A text in full, for text pages, wrapped to the width of their columns. */
function wholeText(context: SheetContext, label: string, text: string): FlowBlock {
  const body = bodyRect(context.size);
  const page: PageDraft = { head: { title: label }, items: [] };
  const { widthMm } = firstOf(
    columnsOf(page, { xMm: 0, yMm: 0, widthMm: body.width, heightMm: body.height }, COLUMNS),
  );
  const heading = label.length > 60 ? `${label.slice(0, 60)}…` : label;
  const { lines } = textWrapped(context.fonts, text, bodyStyle(context), widthMm);
  return longTextBlock(context, heading, lines);
}
