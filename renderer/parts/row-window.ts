/**
 * Which rows of a long list are in the page: those that are seen, and some above and below. Pure: no DOM.
 *
 * ```ts
 * const view = { topPx: 3000, heightPx: 400, rowPx: 40, count: 10_000 };
 * rowWindow(view); // → { first: 67, end: 94 }
 * rowByKey('PageDown', 75, view); // → 84
 * topWithRow(84, view); // → 3000
 * ```
 */

/** More are never in the page, however high the window is. */
export const MOST_ROWS = 60;
/** Rows above and below the visible ones that are in the page before they scroll into view. */
const ROWS_AHEAD = 8;

export interface RowWindow {
  readonly first: number;
  /** After the last one. */
  readonly end: number;
}

export interface ListView {
  /** How far the rows are scrolled. */
  readonly topPx: number;
  readonly heightPx: number;
  readonly rowPx: number;
  readonly count: number;
}

export function rowWindow({ topPx, heightPx, rowPx, count }: ListView): RowWindow {
  const seen = Math.ceil(heightPx / rowPx) + 1;
  const rows = Math.min(MOST_ROWS, count, seen + 2 * ROWS_AHEAD);
  const ahead = Math.floor((rows - seen) / 2);
  const first = Math.max(0, Math.min(count - rows, Math.floor(topPx / rowPx) - Math.max(0, ahead)));
  return { first, end: first + rows };
}

/** How far to scroll so that a row is seen whole; unchanged where it is. */
export function topWithRow(row: number, { topPx, heightPx, rowPx }: ListView): number {
  const rowTop = row * rowPx;
  if (rowTop < topPx) return rowTop;
  return Math.max(topPx, rowTop + rowPx - heightPx);
}

/** The row that a key leads to; undefined where the key moves nothing. */
export function rowByKey(key: string, row: number, { heightPx, rowPx, count }: ListView): number | undefined {
  const page = Math.max(1, Math.floor(heightPx / rowPx) - 1);
  const steps: Readonly<Record<string, number>> = {
    ArrowUp: row - 1,
    ArrowDown: row + 1,
    PageUp: row - page,
    PageDown: row + page,
    Home: 0,
    End: count - 1,
  };
  const to = steps[key];
  return to === undefined || count === 0 ? undefined : Math.max(0, Math.min(count - 1, to));
}
