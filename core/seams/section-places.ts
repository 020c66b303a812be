import type { Interval } from '../measure/interval.ts';
import { pathsCrossing } from '../measure/outline.ts';
import {
  type Path,
  pathMoved,
  pathRange,
  pathsDifference,
  pathsDistance,
  pathsGap,
  pathValue,
  straightPath,
} from '../measure/path.ts';
import type { Point } from '../measure/rect.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import type { LockedSeam } from './plan-side.ts';
import type { SeamAxis } from './seam-place.ts';
import type { SectionEdge } from './section-edges.ts';

/** The bounding rectangle of an area, by its edges. */
export interface Hull {
  readonly left: Mm;
  readonly top: Mm;
  readonly right: Mm;
  readonly bottom: Mm;
}

/** An area between four edges of a search, some of which slope or curve. */
export interface SectionPlace {
  /** Visible bounds. */
  readonly seen: Hull;
  /** Film bounds of one panel that fills it, without the border. */
  readonly needed: Hull;
}

/** Edges of a shaped panel that are nearer than this count as one. */
const LEAST_APART_MM: Mm = 1;

/** Path of an edge that bounds an area: the edge itself, or moved as far before or beyond it as film extends there. */
const VARIANTS = ['own', 'before', 'beyond'] as const;
type Variant = (typeof VARIANTS)[number];

/**
 * The areas between the edges of a search where lines with shape are among them. Four edges bound an area where
 * neighbors meet once and opposite edges stay apart, as far past them as any film extends: two lines of one axis that
 * cross there cannot both be edges.
 */
export class SectionPlaces {
  readonly #columns: readonly Line[];
  readonly #rows: readonly Line[];
  readonly #past: Mm;
  readonly #corners = new Map<number, Point | undefined>();
  readonly #known: (SectionPlace | null | undefined)[] = [];
  readonly #apart: Readonly<Record<SeamAxis, readonly Apart[]>>;

  /** `past` is the greatest extent of any panel's film past an edge. */
  constructor(columns: readonly SectionEdge[], rows: readonly SectionEdge[], past: Mm) {
    this.#columns = columns.map(lineFromEdge);
    this.#rows = rows.map(lineFromEdge);
    this.#past = past;
    this.#apart = { vertical: apartTable(this.#columns), horizontal: apartTable(this.#rows) };
  }

  at(i: number, j: number, k: number, l: number): SectionPlace | undefined {
    const rows = this.#rows.length;
    const key = ((i * this.#columns.length + j) * rows + k) * rows + l;
    let known = this.#known[key];
    if (known === undefined) {
      const canBe =
        this.#apartAt('vertical', i, j) !== 'never' && this.#apartAt('horizontal', k, l) !== 'never';
      known = (canBe && this.#place(i, j, k, l)) || null;
      this.#known[key] = known;
    }
    return known ?? undefined;
  }

  /** Where a column meets a row; undefined where they meet more than once. */
  corner(
    column: number,
    row: number,
    variants: readonly [Variant, Variant] = ['own', 'own'],
  ): Point | undefined {
    const variant = VARIANTS.indexOf(variants[0]) * 3 + VARIANTS.indexOf(variants[1]);
    const key = (variant * this.#columns.length + column) * this.#rows.length + row;
    if (!this.#corners.has(key)) {
      const [upright, lying] = [this.#columns[column]![variants[0]], this.#rows[row]![variants[1]]];
      this.#corners.set(key, pathsCrossing(lying, upright));
    }
    return this.#corners.get(key);
  }

  /** Whether an area has at least this width between two edges of an axis at its narrowest place. */
  isWide(axis: SeamAxis, first: number, last: number, { seen }: SectionPlace, least: Mm): boolean {
    const lines = this.#lines(axis);
    const [a, b] = [lines[first]!, lines[last]!];
    const enough = least - LENGTH_TOLERANCE_MM;
    if (a.isStraight && b.isStraight) return b.at - a.at >= enough;
    const span = spanOfHull(axis, seen);
    // Lines at 60° at most are at least half as far apart perpendicular to themselves as along the axis.
    const across = pathsGap(a.own, b.own, span);
    if (across < enough || across >= 2 * enough) return across >= enough;
    return pathsDistance(a.own, b.own, span) >= enough;
  }

  /** The range of an edge across the axis, next to an area and as far past it as film extends. */
  around(axis: SeamAxis, index: number, place: SectionPlace): Interval {
    return lineRange(this.#lines(axis)[index]!, 'own', this.#withPast(spanOfHull(axis, place.seen)));
  }

  /** Whether any part of a seam runs inside an area. */
  isSeamWithin(
    { axis, at, from, to, path }: LockedSeam,
    i: number,
    j: number,
    k: number,
    l: number,
  ): boolean {
    const own = path ?? straightPath(at);
    const isVertical = axis === 'vertical';
    const [first, last] = (isVertical ? [i, j] : [k, l]).map((n) => this.#lines(axis)[n]!.own) as [
      Path,
      Path,
    ];
    const ends = (isVertical ? [k, l] : [i, j]).map((n) =>
      isVertical ? pathsCrossing(this.#rows[n]!.own, own)?.y : pathsCrossing(own, this.#columns[n]!.own)?.x,
    );
    const start = Math.max(from, ends[0] ?? from);
    const end = Math.min(to, ends[1] ?? to);
    if (end - start <= LENGTH_TOLERANCE_MM) return false;
    const stops = [start, ...[...own, ...first, ...last].map(({ along }) => along), end]
      .filter((stop) => stop >= start && stop <= end)
      .sort((a, b) => a - b);
    return stops.slice(1).some((stop, index) => {
      const along = (stops[index]! + stop) / 2;
      const value = pathValue(own, along);
      return (
        value > pathValue(first, along) + LENGTH_TOLERANCE_MM &&
        value < pathValue(last, along) - LENGTH_TOLERANCE_MM
      );
    });
  }

  #lines(axis: SeamAxis): readonly Line[] {
    return axis === 'vertical' ? this.#columns : this.#rows;
  }

  #withPast = ({ start, end }: Interval): Interval => ({ start: start - this.#past, end: end + this.#past });

  #place(i: number, j: number, k: number, l: number): SectionPlace | undefined {
    const seen = this.#hull(i, j, k, l, 'own', 'own');
    if (!seen) return undefined;
    const isApart = (axis: SeamAxis, first: number, last: number) => {
      if (this.#apartAt(axis, first, last) === 'always') return true;
      const [a, b] = [this.#lines(axis)[first]!, this.#lines(axis)[last]!];
      return pathsGap(a.own, b.own, this.#withPast(spanOfHull(axis, seen))) >= LEAST_APART_MM;
    };
    if (!isApart('vertical', i, j) || !isApart('horizontal', k, l)) return undefined;
    const needed = this.#hull(i, j, k, l, 'before', 'beyond');
    return needed && { seen, needed };
  }

  #hull(i: number, j: number, k: number, l: number, before: Variant, beyond: Variant): Hull | undefined {
    const topLeft = this.corner(i, k, [before, before]);
    const topRight = this.corner(j, k, [beyond, before]);
    const bottomRight = this.corner(j, l, [beyond, beyond]);
    const bottomLeft = this.corner(i, l, [before, beyond]);
    if (!topLeft || !topRight || !bottomRight || !bottomLeft) return undefined;
    const spans = [
      { start: topLeft.x, end: topRight.x },
      { start: topRight.y, end: bottomRight.y },
      { start: bottomLeft.x, end: bottomRight.x },
      { start: topLeft.y, end: bottomLeft.y },
    ] as const;
    if (spans.some(({ start, end }) => end - start <= LENGTH_TOLERANCE_MM)) return undefined;
    return {
      top: lineRange(this.#rows[k]!, before, spans[0]).start,
      right: lineRange(this.#columns[j]!, beyond, spans[1]).end,
      bottom: lineRange(this.#rows[l]!, beyond, spans[2]).end,
      left: lineRange(this.#columns[i]!, before, spans[3]).start,
    };
  }

  #apartAt(axis: SeamAxis, first: number, last: number): Apart {
    return this.#apart[axis][first * this.#lines(axis).length + last]!;
  }
}

/** Where one edge is before another. */
type Apart = 'always' | 'somewhere' | 'never';

const apartTable = (lines: readonly Line[]): Apart[] =>
  lines.flatMap((a, first) =>
    lines.map((b, last): Apart => {
      if (a.isStraight && b.isStraight) return first < last ? 'always' : 'never';
      const stops = [...a.own, ...b.own].map(({ along }) => along);
      const { start, end } = pathsDifference(b.own, a.own, {
        start: Math.min(...stops) - 1,
        end: Math.max(...stops) + 1,
      });
      if (start >= LEAST_APART_MM) return 'always';
      return end >= LEAST_APART_MM ? 'somewhere' : 'never';
    }),
  );

/** The span of an area along the edges of an axis. */
const spanOfHull = (axis: SeamAxis, { left, top, right, bottom }: Hull): Interval =>
  axis === 'vertical' ? { start: top, end: bottom } : { start: left, end: right };

interface Line extends Readonly<Record<Variant, Path>> {
  readonly at: Mm;
  readonly isStraight: boolean;
}

function lineFromEdge({ at, line, reachBefore, reachBeyond }: SectionEdge): Line {
  const own = line?.path ?? straightPath(at);
  return {
    at,
    isStraight: !line?.path,
    own,
    before: pathMoved(own, { across: -reachBefore }),
    beyond: pathMoved(own, { across: reachBeyond }),
  };
}

function lineRange(line: Line, variant: Variant, span: Interval): Interval {
  const path = line[variant];
  return line.isStraight ? { start: path[0]!.across, end: path[0]!.across } : pathRange(path, span);
}
