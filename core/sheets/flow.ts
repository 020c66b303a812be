import type { Mm } from '../measure/units.ts';
import type { Item } from './drawing/drawing.ts';

/** Something that fits on a page in one piece: a row, a paragraph, a box. */
export interface FlowPiece {
  readonly heightMm: Mm;
  draw(xMm: Mm, yMm: Mm): readonly Item[];
  /** A heading does not stay alone at the foot of a column. */
  readonly isHeading?: boolean;
  /** Begins a new column, unless it stands at the top of one. */
  readonly startsColumn?: boolean;
  /** Drawn again where this piece begins a new column: the head of its table. */
  readonly repeated?: FlowPiece;
}

/** A table, a list, a box: laid out for the width of its column. The number of pieces is the same for every width. */
export type FlowBlock = (widthMm: Mm) => readonly FlowPiece[];

export interface Column {
  readonly xMm: Mm;
  readonly yMm: Mm;
  readonly widthMm: Mm;
  readonly heightMm: Mm;
  readonly items: Item[];
}

/** Space above a block that does not begin a column. */
const BLOCK_GAP_MM: Mm = 4;

/**
 * Fills columns from the top, block after block, asking for a new column when one is full. A piece taller
 * than an empty column is a bug of its block and throws: printing over the edge would be worse.
 */
export function flowed(blocks: readonly FlowBlock[], nextColumn: () => Column): void {
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
      if (index === 0 && y > column.yMm) y += BLOCK_GAP_MM;
      const isForced = pieces[index]!.startsColumn === true && y > column.yMm;
      if (isForced || needed(pieces, index) > roomBelow()) {
        let tries = 0;
        do {
          column = nextColumn();
          y = column.yMm;
          pieces = block(column.widthMm);
          tries += 1;
        } while (needed(pieces, index) + (pieces[index]!.repeated?.heightMm ?? 0) > roomBelow() && tries < 4);
        if (pieces[index]!.heightMm > roomBelow())
          throw new Error('a piece of a sheet is taller than the sheet');
        const { repeated } = pieces[index]!;
        if (repeated) put(repeated);
      }
      put(pieces[index]!);
    }
  }
}

/** Height of a piece, with what must follow a heading and the headings after it. */
function needed(pieces: readonly FlowPiece[], index: number): Mm {
  const piece = pieces[index]!;
  return piece.heightMm + (piece.isHeading && pieces[index + 1] ? needed(pieces, index + 1) : 0);
}

/** The block, begun in a column of its own. */
export const blockInNewColumn =
  (block: FlowBlock): FlowBlock =>
  (widthMm) =>
    block(widthMm).map((piece, index) => (index === 0 ? { ...piece, startsColumn: true } : piece));
