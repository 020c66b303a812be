import { isRectWithin, rectFromEdges } from '../measure/rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { rollLength } from './film-fit.ts';
import {
  edgeTrims,
  jointFromLap,
  jointTrims,
  type PlanSide,
  type PlanStock,
  sideLength,
} from './plan-side.ts';
import type { SeamCost } from './seam-parts.ts';
import type { SeamAxis, SeamPlace } from './seam-place.ts';
import { seamCostAt } from './seam-units.ts';
import { isLockedWithin, linesWithOwnJoint, type SectionLine, sectionLines } from './section-lines.ts';
import { type SequenceMemory, sequenceMemory } from './sequence-search.ts';
import { SliceBook } from './slice-costs.ts';

/** Which layouts are searched: one plain sequence of either direction, or sections of both. */
export type PlanScope = SeamAxis | 'mixed';

/** A place where a rectangle of the search may end: the outline, or a section line. */
export interface SectionEdge {
  readonly at: Mm;
  /** How far the image of a part that begins here reaches before it, and of one that ends here beyond it. */
  readonly reachBefore: Mm;
  readonly reachBeyond: Mm;
  /** Whether a part that begins here, and one that ends here, is trimmed along it in the shop: 1 or 0. */
  readonly trimBefore: number;
  readonly trimBeyond: number;
  readonly line?: SectionLine;
}

export interface PanelFilm {
  readonly width: Mm;
  readonly height: Mm;
}

export type SliceBooks = Readonly<Record<SeamAxis, SliceBook>>;

/** What seams cost along every strip. It hangs on the lap and not on the roll, so rolls share it. */
export const stripBooks = (side: PlanSide, { lap }: Pick<PlanStock, 'lap'>): SliceBooks => ({
  vertical: new SliceBook(side, 'vertical', jointFromLap(lap, 'vertical', side.front)),
  horizontal: new SliceBook(side, 'horizontal', jointFromLap(lap, 'horizontal', side.front)),
});

/**
 * What one search of a side needs and what the next can use again: everything that does not hang on weights.
 *
 * Rectangles are named by the edges between which they lie: columns i < j, rows k < l.
 */
export class SectionGround {
  readonly side: PlanSide;
  readonly stock: PlanStock;
  readonly scope: PlanScope;
  readonly books: SliceBooks;
  readonly columns: readonly SectionEdge[];
  readonly rows: readonly SectionEdge[];
  readonly memory: SequenceMemory;
  /** How many keys there are. */
  readonly size: number;
  readonly #cuts: Readonly<Record<SeamAxis, Map<number, SeamCost | undefined>>>;

  constructor(side: PlanSide, stock: PlanStock, scope: PlanScope, books: SliceBooks) {
    this.side = side;
    this.stock = stock;
    this.scope = scope;
    this.books = books;
    this.columns = sectionEdges(side, stock, scope, 'vertical');
    this.rows = sectionEdges(side, stock, scope, 'horizontal');
    this.memory = sequenceMemory(
      Math.max(books.vertical.positions.length, books.horizontal.positions.length),
    );
    this.size = this.columns.length ** 2 * this.rows.length ** 2;
    this.#cuts = { vertical: new Map(), horizontal: new Map() };
  }

  key(i: number, j: number, k: number, l: number): number {
    return ((i * this.columns.length + j) * this.rows.length + k) * this.rows.length + l;
  }

  /** The edges along an axis's positions, and those across it. */
  edges(axis: SeamAxis): { readonly along: readonly SectionEdge[]; readonly across: readonly SectionEdge[] } {
    return axis === 'vertical'
      ? { along: this.columns, across: this.rows }
      : { along: this.rows, across: this.columns };
  }

  /** Whether no locked seam lies within a rectangle. */
  isWhole(i: number, j: number, k: number, l: number): boolean {
    const { side, columns, rows } = this;
    if (side.locked.length === 0) return true;
    return !isLockedWithin(side, columns[i]!.at, rows[k]!.at, columns[j]!.at, rows[l]!.at);
  }

  /** Whether a rectangle lies wholly within a no-film area, so that no film is printed for it. */
  isOpen(i: number, j: number, k: number, l: number): boolean {
    const { side, columns, rows } = this;
    const net = rectFromEdges<'finished'>(columns[i]!.at, rows[k]!.at, columns[j]!.at, rows[l]!.at);
    return side.noFilmAreas.some(({ rect }) => isRectWithin(net, rect));
  }

  /** The edges of a rectangle that are trimmed in the shop when it is one panel. */
  trims(i: number, j: number, k: number, l: number): number {
    const { columns, rows } = this;
    return columns[i]!.trimBefore + columns[j]!.trimBeyond + rows[k]!.trimBefore + rows[l]!.trimBeyond;
  }

  /** The film of a rectangle as one panel, undefined where it is too small or too large. */
  panelFilm(i: number, j: number, k: number, l: number): PanelFilm | undefined {
    const { side, stock, columns, rows } = this;
    const [left, right, top, bottom] = [columns[i]!, columns[j]!, rows[k]!, rows[l]!];
    const net = { width: right.at - left.at, height: bottom.at - top.at };
    if (Math.min(net.width, net.height) < side.minPanel - LENGTH_TOLERANCE_MM) return undefined;
    const width = net.width + left.reachBefore + right.reachBeyond + 2 * side.border;
    const height = net.height + top.reachBefore + bottom.reachBeyond + 2 * side.border;
    return rollLength(side, stock.roll, width, height) === undefined ? undefined : { width, height };
  }

  /** What a cut along section line m costs, undefined where it may not run there. */
  cut(axis: SeamAxis, m: number, from: number, to: number): SeamCost | undefined {
    const { along, across } = this.edges(axis);
    const known = this.#cuts[axis];
    const key = (m * across.length + from) * across.length + to;
    if (!known.has(key)) {
      const { at, line } = along[m]!;
      const place: SeamPlace = { axis, at, from: across[from]!.at, to: across[to]!.at };
      const isAllowed =
        place.to - place.from > LENGTH_TOLERANCE_MM && line!.isCutAllowed(place.from, place.to);
      known.set(key, isAllowed ? seamCostAt(this.side, place, line!.joint) : undefined);
    }
    return known.get(key);
  }
}

/** Strip books are the costly part of a ground; a caller that searches more than once hands them over. */
export const sectionGround = (
  side: PlanSide,
  stock: PlanStock,
  scope: PlanScope,
  books: SliceBooks = stripBooks(side, stock),
): SectionGround => new SectionGround(side, stock, scope, books);

function sectionEdges(side: PlanSide, stock: PlanStock, scope: PlanScope, axis: SeamAxis): SectionEdge[] {
  const all = sectionLines(side, stock, axis);
  const lines = scope === 'mixed' ? all : scope === axis ? linesWithOwnJoint(all) : [];
  const { bleed, border } = side;
  const [start, end] = axis === 'vertical' ? [bleed.left, bleed.right] : [bleed.top, bleed.bottom];
  const outline = { reachBefore: 0, reachBeyond: 0, trimBefore: 0, trimBeyond: 0 };
  return [
    { ...outline, at: 0, reachBefore: start, trimBefore: edgeTrims(start, border) },
    ...lines.map((line): SectionEdge => {
      const trims = jointTrims(line.joint, border);
      return {
        at: line.at,
        reachBefore: line.joint.second,
        reachBeyond: line.joint.first,
        trimBefore: trims.second,
        trimBeyond: trims.first,
        line,
      };
    }),
    { ...outline, at: sideLength(side, axis), reachBeyond: end, trimBeyond: edgeTrims(end, border) },
  ];
}
