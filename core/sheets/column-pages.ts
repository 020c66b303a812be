import { present } from '../measure/present.ts';
import type { Rect } from '../measure/rect.ts';
import type { Mm } from '../measure/units.ts';
import type { Column } from './flow.ts';
import { bodyRect, type PageDraft } from './page-frame.ts';
import type { SheetContext } from './sheet-context.ts';

/** Space between two columns. */
export const COLUMN_GAP_MM: Mm = 8;

/** A3 and Tabloid have room for two columns of tables, the smaller sheets for one. */
export const isTwoColumns = (body: Rect): boolean => body.width > 350;

export function columnsOf(
  page: PageDraft,
  {
    xMm,
    yMm,
    widthMm,
    heightMm,
  }: { readonly xMm: Mm; readonly yMm: Mm; readonly widthMm: Mm; readonly heightMm: Mm },
  count: number,
): Column[] {
  const width = (widthMm - COLUMN_GAP_MM * (count - 1)) / count;
  return Array.from({ length: count }, (_, index) => ({
    xMm: xMm + index * (width + COLUMN_GAP_MM),
    yMm,
    widthMm: width,
    heightMm,
    items: page.items,
  }));
}

/** A page with content, and its free columns. */
export interface BegunPage {
  readonly page: PageDraft;
  readonly columns: readonly Column[];
}

export interface ColumnPages {
  readonly pages: PageDraft[];
  /** Columns per page. */
  readonly count: number;
  /** Empty columns of the last page. */
  readonly left: number;
  /** The next column, on a new page where the last one is full. */
  next(): Column;
}

/** Pages with a number of columns each, started as needed; later pages are titled `title, continued`. */
export function columnPages(
  { size }: SheetContext,
  title: string,
  columnCount: number,
  begun?: BegunPage,
): ColumnPages {
  const { x, y, width, height } = bodyRect(size);
  const pages = begun ? [begun.page] : [];
  const free = [...(begun?.columns ?? [])];
  return {
    pages,
    count: columnCount,
    get left() {
      return free.length;
    },
    next() {
      const column = free.shift();
      if (column) return column;
      const page: PageDraft = {
        head: { title: pages.length === 0 ? title : `${title}, continued` },
        items: [],
      };
      pages.push(page);
      const columns = columnsOf(page, { xMm: x, yMm: y, widthMm: width, heightMm: height }, columnCount);
      const [first, ...others] = columns.map((each) => ({ ...each, isWholePage: true }));
      free.push(...others);
      return present(first, 'A column of a page');
    },
  };
}
