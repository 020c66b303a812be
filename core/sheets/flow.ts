import type { Item } from '../drawing/drawing.ts';
import { itemAt } from '../measure/present.ts';
import type { Mm } from '../measure/units.ts';

/** A unit that stays together on a page: a row, a paragraph, a box. */
export interface FlowPiece {
  readonly heightMm: Mm;
  draw(xMm: Mm, yMm: Mm): readonly Item[];
  /** Whether it is a heading, which may not be the last piece of a column. */
  readonly isHeading?: boolean;
  /** Kept with the next piece where a column has room for both: the first row of a table, the last but one. */
  readonly keepsNext?: boolean;
  /** Part of a block that is not divided where a column has room for all of it. */
  readonly isWhole?: boolean;
  /** Begins a new column, unless already at the top of one. */
  readonly startsColumn?: boolean;
  /** Repeated where this piece begins a new column: the head of its table. */
  readonly repeated?: FlowPiece;
}

/** A table, list or box, laid out for the width of its column. The number of pieces is the same for any width. */
export type FlowBlock = (widthMm: Mm) => readonly FlowPiece[];

export interface Column {
  readonly xMm: Mm;
  readonly yMm: Mm;
  readonly widthMm: Mm;
  readonly heightMm: Mm;
  readonly items: Item[];
  /** An empty page's column: content that does not fit here fits no later column either. */
  readonly isWholePage?: boolean;
}

export interface Flow {
  readonly tears: number;
  /** Filled share of the last column's height. */
  readonly lastFill: number;
}

/** Space above a block that does not begin a column. */
export const BLOCK_GAP_MM: Mm = 4;
/** Content kept together may be no higher than this, or too much of a page would stay empty. */
const MAX_KEPT_MM: Mm = 90;

/**
 * Fills columns from the top, block after block, and requests a new column when one is full. A piece taller than an
 * empty column is a bug of its block and throws, rather than print over the edge. Returns how often a block continues
 * in another column, and how far the last column is filled.
 */
export function flowed(
  blocks: readonly FlowBlock[],
  nextColumn: () => Column,
  gapMm: Mm = BLOCK_GAP_MM,
): Flow {
  let tears = 0;
  let column = nextColumn();
  let y = column.yMm;
  const roomBelow = () => column.yMm + column.heightMm - y + 1e-6;
  const put = (piece: FlowPiece) => {
    column.items.push(...piece.draw(column.xMm, y));
    y += piece.heightMm;
  };

  for (const block of blocks) {
    let pieces = block(column.widthMm);
    for (let index = 0; index < pieces.length; index += 1) {
      if (index === 0 && y > column.yMm) y += gapMm;
      const piece = () => itemAt(pieces, index);
      const isForced = piece().startsColumn === true && y > column.yMm;
      if (isForced || kept(pieces, index, column) > roomBelow()) {
        let tries = 0;
        if (index > 0) tears += 1;
        const isTooLow = () => {
          if (column.isWholePage) return false;
          const room = roomBelow() - (piece().repeated?.heightMm ?? 0);
          return (
            (needed(pieces, index) > room && tries < 4) || (kept(pieces, index, column) > room && tries < 3)
          );
        };
        do {
          column = nextColumn();
          y = column.yMm;
          pieces = block(column.widthMm);
          tries += 1;
        } while (isTooLow());
        const { heightMm, repeated } = piece();
        if (heightMm > roomBelow()) throw new Error('a piece of a sheet is taller than the sheet');
        if (repeated) put(repeated);
      }
      put(piece());
    }
  }
  return { tears, lastFill: (y - column.yMm) / column.heightMm };
}

/** Height of a piece, plus what must follow a heading and any further headings. */
function needed(pieces: readonly FlowPiece[], index: number): Mm {
  const piece = itemAt(pieces, index);
  return piece.heightMm + (piece.isHeading && pieces[index + 1] ? needed(pieces, index + 1) : 0);
}

/** The same, plus rows that are preferably kept with it. */
function kept(pieces: readonly FlowPiece[], index: number, column: Column): Mm {
  const height = (at: number): Mm => {
    const piece = itemAt(pieces, at);
    const isTied = piece.isHeading || piece.keepsNext;
    return piece.heightMm + (isTied && pieces[at + 1] ? height(at + 1) : 0);
  };
  const whole = height(index);
  const { heightMm, isWhole, isHeading = false } = itemAt(pieces, index);
  if (whole <= (isWhole ? column.heightMm : MAX_KEPT_MM)) return whole;
  // A heading is kept with the next piece, and with the rest that must stay together.
  const isTied = isHeading && pieces[index + 1] !== undefined;
  return heightMm + (isTied ? kept(pieces, index + 1, column) : 0);
}

/** The rows of a table or list: neither the first nor the last is alone in a column. */
export const rowsKept = (rows: readonly FlowPiece[]): FlowPiece[] =>
  rows.map((row, index) => (index === 0 || index === rows.length - 2 ? { ...row, keepsNext: true } : row));

/** A block that is not divided: a legend or list of cautions that should not be read in halves. */
export const blockWhole =
  (block: FlowBlock): FlowBlock =>
  (widthMm) =>
    block(widthMm).map((piece) => ({ ...piece, isWhole: true, keepsNext: true }));

/** The block, started in a new column. */
export const blockInNewColumn =
  (block: FlowBlock): FlowBlock =>
  (widthMm) =>
    block(widthMm).map((piece, index) => (index === 0 ? { ...piece, startsColumn: true } : piece));
