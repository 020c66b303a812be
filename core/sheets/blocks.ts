import { type Anchor, type Item, TEXT_ASCENT, THIN } from '../drawing/drawing.ts';
import { linesHeight, styleOf, type TextStyle, textLine, textLines } from '../drawing/text-block.ts';
import { firstOf, itemAt } from '../measure/present.ts';
import type { Mm } from '../measure/units.ts';
import { type FlowBlock, type FlowPiece, rowsKept } from './flow.ts';
import { keepLines, type SheetContext } from './sheet-context.ts';
import { columnWidths } from './table-columns.ts';

export const bodyStyle = ({ size }: SheetContext): TextStyle => styleOf('regular', size.textMm);
export const boldStyle = ({ size }: SheetContext): TextStyle => styleOf('bold', size.textMm);
export const headingStyle = ({ size }: SheetContext): TextStyle => styleOf('bold', size.textMm * 1.3);

const PAD_MM: Mm = 1.2;
/** Longer text in a cell or paragraph moves to the last sheet. */
const MAX_LINES = 6;

export interface TableColumn {
  readonly head: string;
  /** Share of the table's width. */
  readonly share: number;
  readonly anchor?: Anchor;
}

export interface Cell {
  readonly text: string;
  readonly style?: TextStyle;
  /** The following rows belong to this one, so it is never the last row of a column. */
  readonly isGroupHead?: boolean;
  /** An empty box to tick instead of text. */
  readonly isTickBox?: boolean;
}

export const TICK_BOX: Cell = { text: '', isTickBox: true };

/** A heading over a block, with a rule under it. */
export function headingPiece(context: SheetContext, text: string, widthMm: Mm, tag: string): FlowPiece {
  const style = headingStyle(context);
  const lines = keepLines(context, text, text, style, { widthMm, maxLines: 2 });
  const textHeight = linesHeight(lines.length, style.sizeMm);
  return {
    heightMm: textHeight + 1,
    isHeading: true,
    draw: (x, y) => textLines(context.fonts, lines, style, { at: { x, y }, tag }),
  };
}

/**
 * A table with its heading. The column heads are repeated where the table continues; columns without any word in their
 * heads have none.
 */
export function tableBlock(
  context: SheetContext,
  title: string,
  columns: readonly TableColumn[],
  rows: readonly (readonly Cell[])[],
): FlowBlock {
  const tag = `table ${title}`;
  const heads = columns.map(({ head: text }): Cell => ({ text, style: boldStyle(context) }));
  const shares = columns.map(({ share }) => share);
  return (widthMm) => {
    const { widths, rows: fitted } = sizesFitted(context, shares, [heads, ...rows], widthMm);
    const row = (cells: readonly Cell[], rule: Item['kind'] | 'heavy', label: string) =>
      rowPiece(context, { columns, widths }, cells, tag, { isHeavy: rule === 'heavy', label });
    const head = row(heads, 'heavy', title);
    return [
      headingPiece(context, title, widthMm, tag),
      { ...head, isHeading: true },
      ...rowsKept(
        fitted.slice(1).map((cells) => ({
          ...row(cells, 'line', `${title}, ${cells[0]?.text ?? ''}`),
          ...(cells.some(({ isGroupHead }) => isGroupHead) && { keepsNext: true }),
          repeated: head,
        })),
      ),
    ];
  };
}

/** Scales of the usual text size: rather than break a size such as `40 × 30`, the whole table gets slightly smaller. */
const SIZE_SCALES: readonly number[] = [1, 0.95, 0.9, 0.86];

/** Column widths and rows, in the largest type that keeps each size such as `40 × 30` on one line. */
function sizesFitted(
  { fonts, size }: SheetContext,
  shares: readonly number[],
  rows: readonly (readonly Cell[])[],
  tableMm: Mm,
): { readonly widths: readonly Mm[]; readonly rows: readonly (readonly Cell[])[] } {
  const usual = styleOf('regular', size.textMm);
  const isSize = ({ text }: Cell) => /\d × \d/.test(text);
  const setAt = (scale: number) => {
    const set = rows.map((cells) =>
      cells.map((cell) => {
        const style = cell.style ?? usual;
        return { ...cell, style: isSize(cell) ? { ...style, sizeMm: style.sizeMm * scale } : style };
      }),
    );
    return { widths: columnWidths(fonts, shares, set, tableMm, PAD_MM), rows: set };
  };
  const isWhole = ({ widths, rows: set }: ReturnType<typeof setAt>) =>
    set.every((cells) =>
      cells.every(
        (cell, index) =>
          !isSize(cell) ||
          fonts.width(fonts.printable(cell.text), cell.style.role, cell.style.sizeMm) <=
            itemAt(widths, index) - 2 * PAD_MM + 1e-9,
      ),
    );
  for (const scale of SIZE_SCALES) {
    const set = setAt(scale);
    if (isWhole(set)) return set;
  }
  return setAt(firstOf(SIZE_SCALES));
}

function rowPiece(
  context: SheetContext,
  { columns, widths }: { readonly columns: readonly TableColumn[]; readonly widths: readonly Mm[] },
  cells: readonly Cell[],
  tag: string,
  { isHeavy, label }: { readonly isHeavy: boolean; readonly label: string },
): FlowPiece {
  let left = 0;
  const laid = columns.map((column, index) => {
    const cell = cells[index] ?? { text: '' };
    const style = cell.style ?? bodyStyle(context);
    const cellWidth = itemAt(widths, index);
    const room = cellWidth - 2 * PAD_MM;
    const lines = keepLines(context, `${label}: ${column.head}`, cell.text, style, {
      widthMm: room,
      maxLines: MAX_LINES,
    });
    const isTickBox = cell.isTickBox === true;
    const placed = { x: left, cellWidth, lines, style, isTickBox, anchor: column.anchor ?? 'start' };
    left += cellWidth;
    return placed;
  });
  const textHeight = Math.max(...laid.map(({ lines, style }) => linesHeight(lines.length, style.sizeMm)));
  const padMm = 0.5 * context.spacing;
  const heightMm = textHeight + 2 * padMm;
  const widthMm = left;
  return {
    heightMm,
    draw: (x, y) => [
      ...laid.flatMap((cell): Item[] => {
        if (cell.isTickBox) return [tickBox(x + cell.x + PAD_MM, y + heightMm / 2, cell.style.sizeMm, tag)];
        const anchorX = { start: PAD_MM, middle: cell.cellWidth / 2, end: cell.cellWidth - PAD_MM }[
          cell.anchor
        ];
        const own = linesHeight(cell.lines.length, cell.style.sizeMm);
        const at = { x: x + cell.x + anchorX, y: y + padMm + (textHeight - own) / 2 };
        return textLines(context.fonts, cell.lines, cell.style, { at, anchor: cell.anchor, tag });
      }),
      {
        kind: 'line',
        tag,
        from: { x, y: y + heightMm },
        to: { x: x + widthMm, y: y + heightMm },
        stroke: isHeavy ? { widthMm: 0.5, black: 1 } : { widthMm: 0.18, black: 1 },
      },
    ],
  };
}

/** A square as high as the text, centered on its line. */
function tickBox(x: Mm, middleY: Mm, sizeMm: Mm, tag: string): Item {
  const side = sizeMm * 0.95;
  const rect = { x, y: middleY - side / 2, width: side, height: side };
  return { kind: 'rect', tag, rect, stroke: { widthMm: 0.35, black: 1 } };
}

export interface ListEntry {
  /** Printed in the margin: a number, a letter, a sign. */
  readonly mark: string;
  readonly text: string;
  readonly style?: TextStyle;
}

/** A heading and paragraphs with a mark before each. */
export function listBlock(context: SheetContext, title: string, entries: readonly ListEntry[]): FlowBlock {
  const tag = `list ${title}`;
  return (widthMm) => [
    headingPiece(context, title, widthMm, tag),
    ...rowsKept(
      entries.map((entry): FlowPiece => {
        const style = entry.style ?? bodyStyle(context);
        const markStyle = styleOf('bold', style.sizeMm);
        const mark = context.fonts.printable(entry.mark);
        const indent = Math.max(6, context.fonts.width(mark, 'bold', style.sizeMm) + 2);
        const lines = keepLines(context, `${title}, ${entry.mark}`, entry.text, style, {
          widthMm: widthMm - indent,
          maxLines: MAX_LINES,
        });
        return {
          heightMm: linesHeight(lines.length, style.sizeMm) + 0.8 * context.spacing,
          draw: (x, y) => [
            textLine(context.fonts, mark, markStyle, {
              at: { x, y: y + style.sizeMm * TEXT_ASCENT },
              tag,
            }),
            ...textLines(context.fonts, lines, style, { at: { x: x + indent, y }, tag }),
          ],
        };
      }),
    ),
  ];
}

/** The actions at one item, one line each. */
export interface StepEntry {
  readonly mark: string;
  readonly head: string;
  readonly lines: readonly string[];
  readonly headStyle: TextStyle;
  readonly style: TextStyle;
}

/** A heading, and entries that are not divided between columns: a mark and a head, then one line per action. */
export function stepsBlock(
  context: SheetContext,
  title: string,
  general: readonly string[],
  entries: readonly StepEntry[],
): FlowBlock {
  const tag = `list ${title}`;
  const { fonts } = context;
  const gapMm = 1.2 * context.spacing;
  return (widthMm) => {
    const paragraph = (text: string, style: TextStyle, indent: Mm) => {
      const lines = keepLines(context, title, text, style, {
        widthMm: widthMm - indent,
        maxLines: MAX_LINES,
      });
      return {
        heightMm: linesHeight(lines.length, style.sizeMm),
        draw: (x: Mm, y: Mm): Item[] => textLines(fonts, lines, style, { at: { x: x + indent, y }, tag }),
      };
    };
    const entryPiece = ({ mark, head, lines, headStyle, style }: StepEntry): FlowPiece => {
      const indent = Math.max(8, fonts.width(mark, headStyle.role, headStyle.sizeMm) + 2);
      const parts = [
        paragraph(head, headStyle, indent),
        ...lines.map((line) => paragraph(line, style, indent)),
      ];
      return {
        heightMm: parts.reduce((sum, { heightMm }) => sum + heightMm, 0) + gapMm,
        draw: (x, y) => {
          let top = y;
          const at = { x, y: y + headStyle.sizeMm * TEXT_ASCENT };
          const items: Item[] = [textLine(fonts, mark, headStyle, { at, tag })];
          for (const { heightMm, draw } of parts) {
            items.push(...draw(x, top));
            top += heightMm;
          }
          return items;
        },
      };
    };
    const generalPieces = general.map((text): FlowPiece => {
      const { heightMm, draw } = paragraph(text, boldStyle(context), 0);
      return { heightMm: heightMm + gapMm, draw };
    });
    return [
      headingPiece(context, title, widthMm, tag),
      ...rowsKept([...generalPieces, ...entries.map(entryPiece)]),
    ];
  };
}

/** Text of any length, line by line, so that it can run over as many pages as it needs. */
export function longTextBlock(context: SheetContext, title: string, lines: readonly string[]): FlowBlock {
  const tag = `long text ${title}`;
  const style = bodyStyle(context);
  const heightMm = linesHeight(2, style.sizeMm) - linesHeight(1, style.sizeMm);
  return (widthMm) => [
    headingPiece(context, title, widthMm, tag),
    ...lines.map(
      (line): FlowPiece => ({
        heightMm,
        draw: (x, y) => textLines(context.fonts, [line], style, { at: { x, y }, tag }),
      }),
    ),
  ];
}

/** Relative to the text size: room for a signature. */
const SIGN_ROW_EMS = 3.2;

/** Boxes to sign: role, name, date, signature. Tall enough for a gloved hand; they stay together. */
export function signOffBlock(context: SheetContext, title: string, who: readonly string[]): FlowBlock {
  const tag = `sign-off ${title}`;
  const { fonts } = context;
  const shares = [0.28, 0.27, 0.17, 0.28];
  const captions = ['Name', 'Date', 'Signature'];
  const captionStyle = styleOf('regular', 2.8);
  return (widthMm) => {
    const cellX = (index: number) => widthMm * shares.slice(0, index).reduce((a, b) => a + b, 0);
    const style = boldStyle(context);
    const rowMm = style.sizeMm * SIGN_ROW_EMS;
    const rowItems = (role: string, x: Mm, y: Mm): Item[] => {
      const lines = keepLines(context, title, role, style, {
        widthMm: widthMm * firstOf(shares) - 2 * PAD_MM,
        maxLines: 2,
      });
      return [
        ...shares.map(
          (share, index): Item => ({
            kind: 'rect',
            tag,
            rect: { x: x + cellX(index), y, width: widthMm * share, height: rowMm },
            stroke: THIN,
          }),
        ),
        ...textLines(fonts, lines, style, { at: { x: x + PAD_MM, y: y + 0.6 }, tag }),
        ...captions.map((caption, index): Item => {
          const at = {
            x: x + cellX(index + 1) + PAD_MM,
            y: y + 0.4 + captionStyle.sizeMm * TEXT_ASCENT,
          };
          return textLine(fonts, caption, captionStyle, { at, tag });
        }),
      ];
    };
    const boxes: FlowPiece = {
      heightMm: who.length * rowMm,
      draw: (x, y) => who.flatMap((role, index) => rowItems(role, x, y + index * rowMm)),
    };
    return [headingPiece(context, title, widthMm, tag), boxes];
  };
}

/** One row of boxes, one for each step of the work, to be signed with name and date. */
export function signOffRow(context: SheetContext, title: string, steps: readonly string[]): FlowBlock {
  const tag = `sign-off ${title}`;
  const { fonts } = context;
  return (widthMm) => {
    const style = boldStyle(context);
    const heightMm = style.sizeMm * SIGN_ROW_EMS;
    const boxWidth = widthMm / steps.length;
    const boxes: FlowPiece = {
      heightMm,
      draw: (x, y) =>
        steps.flatMap((step, index): Item[] => {
          const rect = { x: x + index * boxWidth, y, width: boxWidth, height: heightMm };
          const body = bodyStyle(context);
          const whole = `${step}: name, date`;
          const isFitting = fonts.width(whole, body.role, body.sizeMm) <= boxWidth - 2 * PAD_MM;
          const text = keepLines(context, title, isFitting ? whole : step, body, {
            widthMm: boxWidth - 2 * PAD_MM,
            maxLines: 1,
          });
          const at = { x: rect.x + PAD_MM, y: y + 0.6 };
          return [
            { kind: 'rect', tag, rect, stroke: THIN },
            ...textLines(fonts, text, bodyStyle(context), { at, tag }),
          ];
        }),
    };
    return [headingPiece(context, title, widthMm, tag), boxes];
  };
}
