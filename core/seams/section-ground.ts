import { pathRange } from '../measure/path.ts';
import { itemAt } from '../measure/present.ts';
import { EDGES, rectFromEdges } from '../measure/rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { isRectInArea } from './area-meeting.ts';
import { rollLength } from './film-fit.ts';
import { filmAt, rollOf } from './film-zones.ts';
import { jointFromLap, type PlanSide, type PlanStock, sideLength, type ZoneFilm } from './plan-side.ts';
import type { SeamCost } from './seam-parts.ts';
import type { SeamAxis } from './seam-place.ts';
import { seamCostAt } from './seam-units.ts';
import { type PlanScope, type SectionEdge, sectionEdges } from './section-edges.ts';
import { isLockedWithin } from './section-lines.ts';
import { SectionPlaces } from './section-places.ts';
import {
  type SectionStrip,
  type SequenceGroup,
  type SequenceStop,
  straightStops,
  stripGroups,
} from './section-strips.ts';
import { type SequenceMemory, sequenceMemory } from './sequence-search.ts';
import { SliceBook } from './slice-costs.ts';

export interface PanelFilm {
  readonly width: Mm;
  readonly height: Mm;
}

export type SliceBooks = Readonly<Record<SeamAxis, SliceBook>>;

/** Cost of seams along every strip. It depends on the lap and not on the roll, so rolls share it. */
export const stripBooks = (side: PlanSide, { lap }: Pick<PlanStock, 'lap'>): SliceBooks => ({
  vertical: new SliceBook(side, 'vertical', jointFromLap(lap, 'vertical', side.front)),
  horizontal: new SliceBook(side, 'horizontal', jointFromLap(lap, 'horizontal', side.front)),
});

/**
 * The data of a side that searches share: everything that does not depend on weights.
 *
 * A rectangle is named by its edges: columns i < j, rows k < l.
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
  readonly #stops: Readonly<Record<SeamAxis, readonly SequenceStop[]>>;
  readonly #cuts: Readonly<Record<SeamAxis, Map<number, SeamCost | undefined>>>;
  /** Set where an edge slopes or curves. */
  readonly #places: SectionPlaces | undefined;
  #order: Int32Array | undefined;
  readonly #films = new Map<number, PanelFilm | undefined>();
  readonly #groups: Readonly<Record<SeamAxis, (readonly SequenceGroup[])[]>> = {
    vertical: [],
    horizontal: [],
  };

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
    this.#stops = { vertical: straightStops(this.columns), horizontal: straightStops(this.rows) };
    this.#cuts = { vertical: new Map(), horizontal: new Map() };
    const isShaped = [...this.columns, ...this.rows].some(({ line }) => line?.path);
    this.#places = isShaped ? new SectionPlaces(this.columns, this.rows, mostPast(side)) : undefined;
  }

  key(i: number, j: number, k: number, l: number): number {
    return ((i * this.columns.length + j) * this.rows.length + k) * this.rows.length + l;
  }

  /** The edges along the positions of an axis, and the edges across it. */
  edges(axis: SeamAxis): { readonly along: readonly SectionEdge[]; readonly across: readonly SectionEdge[] } {
    return axis === 'vertical'
      ? { along: this.columns, across: this.rows }
      : { along: this.rows, across: this.columns };
  }

  get isShaped(): boolean {
    return this.#places !== undefined;
  }

  /** Whether an edge divides a rectangle in two. */
  isCutBetween(axis: SeamAxis, m: number, i: number, j: number, k: number, l: number): boolean {
    return axis === 'vertical'
      ? this.isPlace(i, m, k, l) && this.isPlace(m, j, k, l)
      : this.isPlace(i, j, k, m) && this.isPlace(i, j, m, l);
  }

  /** Whether four edges bound an area. */
  isPlace(i: number, j: number, k: number, l: number): boolean {
    return this.#places ? this.#places.at(i, j, k, l) !== undefined : i < j && k < l;
  }

  /** All rectangles that cuts can produce, four numbers each, parts before the rectangles that contain them. */
  get order(): Int32Array {
    this.#order ??= this.isShaped ? this.#shapedOrder() : this.#straightOrder();
    return this.#order;
  }

  /** Small rectangles first. */
  #straightOrder(): Int32Array {
    const found: number[] = [];
    const [columnCount, rowCount] = [this.columns.length, this.rows.length];
    for (let columns = 1; columns < columnCount; columns++) {
      for (let i = 0; i + columns < columnCount; i++) {
        for (let rows = 1; rows < rowCount; rows++) {
          for (let k = 0; k + rows < rowCount; k++) found.push(i, i + columns, k, k + rows);
        }
      }
    }
    return Int32Array.from(found);
  }

  /** Shaped lines may swap order between areas, so the parts are found by cutting. */
  #shapedOrder(): Int32Array {
    const found: number[] = [];
    const seen = new Uint8Array(this.size);
    const visit = (i: number, j: number, k: number, l: number): void => {
      const key = this.key(i, j, k, l);
      if (seen[key] === 1) return;
      seen[key] = 1;
      for (let m = 0; m < this.columns.length; m++) {
        if (!this.isCutBetween('vertical', m, i, j, k, l)) continue;
        visit(i, m, k, l);
        visit(m, j, k, l);
      }
      for (let m = 0; m < this.rows.length; m++) {
        if (!this.isCutBetween('horizontal', m, i, j, k, l)) continue;
        visit(i, j, k, m);
        visit(i, j, m, l);
      }
      found.push(i, j, k, l);
    };
    if (this.isPlace(0, this.columns.length - 1, 0, this.rows.length - 1)) {
      visit(0, this.columns.length - 1, 0, this.rows.length - 1);
    }
    return Int32Array.from(found);
  }

  /** The sequences of a strip, grouped as one search finds them. */
  groups(strip: SectionStrip): readonly SequenceGroup[] {
    const { axis, i, k, l } = strip;
    const { along, across } = this.edges(axis);
    const known = this.#groups[axis];
    const key = (i * across.length + k) * across.length + l;
    const { side } = this;
    const stops = this.#stops[axis];
    known[key] ??= stripGroups({ side, along, across, stops, places: this.#places }, strip);
    return known[key];
  }

  /** The span between the outermost places of two edges: seams of a sequence are assumed to run this far. */
  seamSpan(axis: SeamAxis, k: number, l: number): { readonly from: Mm; readonly to: Mm } {
    const { across } = this.edges(axis);
    const span = { start: 0, end: sideLength(this.side, axis) };
    const lies = (edge: SectionEdge) =>
      edge.line?.path ? pathRange(edge.line.path, span) : { start: edge.at, end: edge.at };
    return { from: lies(across[k]!).start, to: lies(across[l]!).end };
  }

  /** Whether no locked seam is within a rectangle. */
  isWhole(i: number, j: number, k: number, l: number): boolean {
    const { side, columns, rows } = this;
    if (side.locked.length === 0) return true;
    if (this.#places) return !side.locked.some((seam) => this.#places!.isSeamWithin(seam, i, j, k, l));
    return !isLockedWithin(side, columns[i]!.at, rows[k]!.at, columns[j]!.at, rows[l]!.at);
  }

  /** Whether a rectangle is wholly within a no-film area, so that no film is printed for it. */
  isOpen(i: number, j: number, k: number, l: number): boolean {
    const { side, columns, rows } = this;
    const seen = this.#places?.at(i, j, k, l)?.seen;
    const net = seen
      ? rectFromEdges<'finished'>(seen.left, seen.top, seen.right, seen.bottom)
      : rectFromEdges<'finished'>(columns[i]!.at, rows[k]!.at, columns[j]!.at, rows[l]!.at);
    return side.noFilmAreas.some((area) => isRectInArea(net, area));
  }

  /** The edges of a rectangle that are trimmed in the shop when it is one panel. */
  trims(i: number, j: number, k: number, l: number): number {
    const { columns, rows } = this;
    return columns[i]!.trimBefore + columns[j]!.trimBeyond + rows[k]!.trimBefore + rows[l]!.trimBeyond;
  }

  /** Film size of a rectangle as one panel, undefined where it is too small or too large. */
  panelFilm(i: number, j: number, k: number, l: number): PanelFilm | undefined {
    const { side, stock, columns, rows } = this;
    if (this.#places) return this.#shapedFilm(this.#places, i, j, k, l);
    const [left, right, top, bottom] = [columns[i]!, columns[j]!, rows[k]!, rows[l]!];
    const net = { width: right.at - left.at, height: bottom.at - top.at };
    if (Math.min(net.width, net.height) < side.minPanel - LENGTH_TOLERANCE_MM) return undefined;
    const width = net.width + left.reachBefore + right.reachBeyond + 2 * side.border;
    const height = net.height + top.reachBefore + bottom.reachBeyond + 2 * side.border;
    const roll = rollOf(stock, this.filmOf(i, j, k, l));
    return rollLength(side, roll, width, height) === undefined ? undefined : { width, height };
  }

  /** The film under a rectangle, where it differs from the film of the plan. */
  filmOf(i: number, j: number, k: number, l: number): ZoneFilm | undefined {
    const { side, columns, rows } = this;
    if (!side.filmZones) return undefined;
    const [left, right] = [itemAt(columns, i).at, itemAt(columns, j).at];
    return filmAt(side, rectFromEdges(left, itemAt(rows, k).at, right, itemAt(rows, l).at));
  }

  #shapedFilm(places: SectionPlaces, i: number, j: number, k: number, l: number): PanelFilm | undefined {
    const key = this.key(i, j, k, l);
    if (!this.#films.has(key)) this.#films.set(key, this.#shapedFilmOf(places, i, j, k, l));
    return this.#films.get(key);
  }

  #shapedFilmOf(places: SectionPlaces, i: number, j: number, k: number, l: number): PanelFilm | undefined {
    const { side, stock } = this;
    const place = places.at(i, j, k, l);
    if (!place) return undefined;
    const { left, top, right, bottom } = place.needed;
    const [width, height] = [right - left + 2 * side.border, bottom - top + 2 * side.border];
    const roll = rollOf(stock, this.filmOf(i, j, k, l));
    if (rollLength(side, roll, width, height) === undefined) return undefined;
    const isWide =
      places.isWide('vertical', i, j, place, side.minPanel) &&
      places.isWide('horizontal', k, l, place, side.minPanel);
    return isWide ? { width, height } : undefined;
  }

  /** Cost of a cut along section line m, undefined where no cut is allowed. */
  cut(axis: SeamAxis, m: number, from: number, to: number): SeamCost | undefined {
    const { along, across } = this.edges(axis);
    const known = this.#cuts[axis];
    const key = (m * across.length + from) * across.length + to;
    if (!known.has(key)) {
      const { at, line } = along[m]!;
      const place = { axis, at, ...this.#cutSpan(axis, m, from, to), ...(line?.path && { path: line.path }) };
      const isAllowed =
        line !== undefined &&
        place.to - place.from > LENGTH_TOLERANCE_MM &&
        line.isCutAllowed(place.from, place.to);
      known.set(key, isAllowed ? seamCostAt(this.side, place, line.joint) : undefined);
    }
    return known.get(key);
  }

  /** The extent of a cut; zero length where it meets an edge more than once. */
  #cutSpan(axis: SeamAxis, m: number, from: number, to: number): { readonly from: Mm; readonly to: Mm } {
    const { across } = this.edges(axis);
    if (!this.#places) return { from: across[from]!.at, to: across[to]!.at };
    const [start, end] = [from, to].map((row) =>
      axis === 'vertical' ? this.#places!.corner(m, row)?.y : this.#places!.corner(row, m)?.x,
    );
    return start === undefined || end === undefined ? { from: 0, to: 0 } : { from: start, to: end };
  }
}

/** The most that film of a panel reaches past an edge. */
const mostPast = ({ bleed, gapAllowance, laps, locked }: PlanSide): Mm =>
  Math.max(
    ...EDGES.map((edge) => bleed[edge]),
    gapAllowance,
    ...laps.flatMap(({ under, over }) => [under, over]),
    ...locked.flatMap(({ joint }) => (joint ? [joint.first, joint.second] : [])),
  );

/** Strip books are the costly part of a ground, so a caller that searches more than once passes them in. */
export const sectionGround = (
  side: PlanSide,
  stock: PlanStock,
  scope: PlanScope,
  books: SliceBooks = stripBooks(side, stock),
): SectionGround => new SectionGround(side, stock, scope, books);
