import highsLoader from 'highs';
import polygonClipping, { type Polygon } from 'polygon-clipping';
import { type Path, pathsDistance } from '../../core/measure/path.ts';
import { rollLength } from '../../core/seams/film-fit.ts';
import { seamLimitsBroken } from '../../core/seams/plan-limits.ts';
import { type PlanWeights, panelRates } from '../../core/seams/plan-objective.ts';
import {
  edgeTrims,
  type JointShape,
  jointFromGap,
  jointFromLap,
  jointTrims,
  type PlanSide,
  type PlanStock,
} from '../../core/seams/plan-side.ts';
import type { SeamAxis, SeamPlace } from '../../core/seams/seam-place.ts';
import { seamUnitsAt } from '../../core/seams/seam-units.ts';
import { panelPeople } from '../../core/shop/cost-card.ts';

/** An edge of areas: the outline, a straight line, or one with shape. */
interface Edge {
  readonly at: number;
  readonly path?: Path;
  readonly joint?: JointShape;
  readonly before: number;
  readonly beyond: number;
  readonly trimBefore: number;
  readonly trimBeyond: number;
}

interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

const FAR = 1e4;
const LEAST_APART = 1;

/**
 * The cheapest layout along straight lines and lines with shape by a general solver (HiGHS), as a flow that a linear
 * program sends through the areas: each area that is used is one panel, one cut into two areas, or one sequence of seams
 * from place to place. Areas are cut out of the plane by a general polygon library (polygon-clipping), each on its own.
 *
 *     min Σ cost · choice,  choices of an area = cuts that leave it (1 for the whole side)
 *
 * For sides of a few dozen millimeters without locked seams. Undefined where there is no layout.
 */
export async function leastSectionsByMip(
  side: PlanSide,
  stock: PlanStock,
  weights: PlanWeights,
): Promise<number | undefined> {
  const highs = await highsLoader();
  const rates = panelRates(side.card, weights, stock);
  const past = Math.max(
    ...Object.values(side.bleed),
    side.gapAllowance,
    ...side.laps.flatMap(({ under, over }) => [under, over]),
  );
  const edges = {
    vertical: edgesOf(side, stock, 'vertical'),
    horizontal: edgesOf(side, stock, 'horizontal'),
  };

  const panelUnits = (film: { width: number; height: number }, trims: number): number => {
    const length = rollLength(side, stock.roll, film.width, film.height);
    if (length === undefined) return Infinity;
    const people = panelPeople(side.card, Math.max(film.width, film.height));
    return (
      rates.perPanel +
      rates.perRollMm * length +
      people * rates.perPersonMm * (film.width + film.height) +
      rates.perTrim * trims
    );
  };
  const seamUnits = (place: SeamPlace, joint: JointShape): number =>
    seamLimitsBroken(side, { place, joint }).length > 0 ? Infinity : seamUnitsAt(side, weights, place, joint);
  const isBare = ({ left, top, right, bottom }: Box): boolean =>
    side.noFilmAreas.some(({ rect: { x, y, width, height }, outline }) => {
      const isInBox =
        x <= left + 1e-6 && y <= top + 1e-6 && x + width >= right - 1e-6 && y + height >= bottom - 1e-6;
      if (!isInBox || !outline) return isInBox;
      const box = ring([left, top], [right, top], [right, bottom], [left, bottom]);
      const rest = polygonClipping.difference(
        box,
        ring(...outline.map(({ x: px, y: py }) => [px, py] as const)),
      );
      return rest.flat().reduce((sum, points) => sum + Math.abs(shoelace(points)), 0) < 1e-3;
    });

  const terms: string[] = [];
  const columns: number[] = [];
  const rows = new Map<string, string[]>();
  const addTo = (row: string, term: string) => rows.set(row, [...(rows.get(row) ?? []), term]);
  const choice = (units: number, into: readonly string[], outOf: readonly string[]): void => {
    if (units === Infinity) return;
    const name = `x${columns.length}`;
    columns.push(units);
    terms.push(`${units < 0 ? '-' : '+'} ${(Math.abs(units) / UNITS).toFixed(9)} ${name}`);
    for (const row of into) addTo(row, `+ ${name}`);
    for (const row of outOf) addTo(row, `- ${name}`);
  };

  const areaOf = areasKept(edges, past);
  const { vertical, horizontal } = edges;
  for (const i of vertical.keys()) {
    for (const j of vertical.keys()) {
      for (const k of horizontal.keys()) {
        for (const l of horizontal.keys()) {
          const area = areaOf(i, j, k, l);
          if (!area) continue;
          const name = `a_${i}_${j}_${k}_${l}`;
          const { seen, needed } = area;
          const [left, right, top, bottom] = [vertical[i]!, vertical[j]!, horizontal[k]!, horizontal[l]!];
          const trims = left.trimBefore + right.trimBeyond + top.trimBefore + bottom.trimBeyond;
          const across = apart(left, right, seen.top, seen.bottom);
          const down = apart(top, bottom, seen.left, seen.right);
          const spare = 2 * side.border;
          const film = {
            width: needed.right - needed.left + spare,
            height: needed.bottom - needed.top + spare,
          };
          const isSmall = Math.min(across, down) < side.minPanel - 1e-6;
          choice(isBare(seen) ? 0 : isSmall ? Infinity : panelUnits(film, trims), [name], []);
          for (const axis of ['vertical', 'horizontal'] as const) {
            const own = edges[axis];
            for (const m of own.keys()) {
              const { joint, at, path } = own[m]!;
              const parts =
                axis === 'vertical'
                  ? [
                      [i, m, k, l],
                      [m, j, k, l],
                    ]
                  : [
                      [i, j, k, m],
                      [i, j, m, l],
                    ];
              if (!joint || parts.some(([a, b, c, d]) => !areaOf(a!, b!, c!, d!))) continue;
              const [from, to] =
                axis === 'vertical'
                  ? [crossing(own[m]!, top), crossing(own[m]!, bottom)]
                  : [crossing(own[m]!, left), crossing(own[m]!, right)];
              const units = seamUnits({ axis, at, from, to, ...(path && { path }) }, joint);
              choice(
                units,
                [name],
                parts.map((part) => `a_${part.join('_')}`),
              );
            }
            sequence(name, axis, area, [left, right, top, bottom], axis === 'vertical' ? down : across);
          }
        }
      }
    }
  }

  function sequence(
    area: string,
    axis: SeamAxis,
    { seen, needed }: Area,
    [left, right, top, bottom]: readonly [Edge, Edge, Edge, Edge],
    narrowest: number,
  ): void {
    const isVertical = axis === 'vertical';
    const joint = jointFromLap(stock.lap, axis, side.front);
    const jointTrim = jointTrims(joint, side.border);
    const [first, last, from, to] = isVertical ? [left, right, top, bottom] : [top, bottom, left, right];
    const [seenFrom, seenTo] = isVertical ? [seen.top, seen.bottom] : [seen.left, seen.right];
    const [outFirst, outLast] = isVertical ? [seen.left, seen.right] : [seen.top, seen.bottom];
    const [filmFirst, filmLast] = isVertical ? [needed.left, needed.right] : [needed.top, needed.bottom];
    const filmAcross = isVertical ? needed.bottom - needed.top : needed.right - needed.left;
    const [start] = extremes(first, seenFrom - past, seenTo + past).slice(1) as [number];
    const [end] = extremes(last, seenFrom - past, seenTo + past) as [number, number];
    const length = isVertical ? side.width : side.height;
    const [seamFrom] = extremes(from, 0, length) as [number, number];
    const seamTo = extremes(to, 0, length)[1]!;
    const acrossTrims = from.trimBefore + to.trimBeyond;
    if (narrowest < side.minPanel - 1e-6) return;
    const places = [
      ...new Set([
        ...Array.from({ length: Math.ceil(length) }, (_, n) => n),
        ...side.lines.filter((line) => line.axis === axis).map(({ at }) => at),
      ]),
    ].filter((at) => at > start + 1e-6 && at < end - 1e-6);
    const seams = new Map(
      places.map((at) => [at, seamUnits({ axis, at, from: seamFrom, to: seamTo }, joint)]),
    );
    /** A panel from one place to the next: seen between the outermost places, kept wide between the innermost. */
    const panel = (
      wide: readonly [number, number],
      out: readonly [number, number],
      film: readonly [number, number],
      trims: number,
    ): number => {
      const box = isVertical
        ? { left: out[0], right: out[1], top: seenFrom, bottom: seenTo }
        : { left: seenFrom, right: seenTo, top: out[0], bottom: out[1] };
      if (isBare(box)) return 0;
      if (wide[1] - wide[0] < side.minPanel - 1e-6) return Infinity;
      const along = film[1] - film[0] + 2 * side.border;
      const other = filmAcross + 2 * side.border;
      return panelUnits(
        isVertical ? { width: along, height: other } : { width: other, height: along },
        trims + acrossTrims,
      );
    };
    const node = (at: number) => `s_${area}_${axis}_${String(at).replace('.', '_')}`;
    for (const at of places) {
      const seam = seams.get(at)!;
      if (seam === Infinity) continue;
      const before = panel(
        [start, at],
        [outFirst, at],
        [filmFirst, at + joint.first],
        first.trimBefore + jointTrim.first,
      );
      choice(before + seam, [area], [node(at)]);
      const after = panel(
        [at, end],
        [at, outLast],
        [at - joint.second, filmLast],
        jointTrim.second + last.trimBeyond,
      );
      choice(after, [node(at)], []);
      for (const next of places) {
        if (next <= at) continue;
        const units = panel(
          [at, next],
          [at, next],
          [at - joint.second, next + joint.first],
          jointTrim.second + jointTrim.first,
        );
        choice(units + seams.get(next)!, [node(at)], [node(next)]);
      }
    }
  }

  const whole = `a_0_${vertical.length - 1}_0_${horizontal.length - 1}`;
  if (!rows.has(whole)) return undefined;
  const model = [
    `Minimize\n obj: ${terms.join('\n ')}`,
    'Subject To',
    ...[...rows].map(([name, row]) => ` ${name}: ${row.join('\n ')} = ${name === whole ? 1 : 0}`),
    'End',
  ].join('\n');
  const solution = highs.solve(model);
  if (solution.Status === 'Infeasible') return undefined;
  if (solution.Status !== 'Optimal') throw new Error(`The solver stopped with ${solution.Status}.`);
  return columns.reduce((sum, units, n) => sum + units * (solution.Columns[`x${n}`]?.Primal ?? 0), 0);
}

/** Objectives are given to the solver in money, so that its tolerances make sense. */
const UNITS = 1_000_000;

function edgesOf(side: PlanSide, { lap }: PlanStock, axis: SeamAxis): Edge[] {
  const length = axis === 'vertical' ? side.width : side.height;
  const { bleed, border } = side;
  const [start, end] = axis === 'vertical' ? [bleed.left, bleed.right] : [bleed.top, bleed.bottom];
  const none = { before: 0, beyond: 0, trimBefore: 0, trimBeyond: 0 };
  const lines = [...side.lines, ...side.shapedLines].filter(
    (line) => line.axis === axis && line.kind !== 'rivet-row',
  );
  return [
    { ...none, at: 0, before: start, trimBefore: edgeTrims(start, border) },
    ...lines.map((line): Edge => {
      const joint = line.kind === 'body-gap' ? jointFromGap(side, axis) : jointFromLap(lap, axis, side.front);
      const trims = jointTrims(joint, border);
      return {
        at: line.at,
        ...('path' in line && { path: line.path }),
        joint,
        before: joint.second,
        beyond: joint.first,
        trimBefore: trims.second,
        trimBeyond: trims.first,
      };
    }),
    { ...none, at: length, beyond: end, trimBeyond: edgeTrims(end, border) },
  ];
}

interface Area {
  readonly seen: Box;
  readonly needed: Box;
}

function areasKept(edges: Readonly<Record<SeamAxis, readonly Edge[]>>, past: number) {
  const known = new Map<string, Area | undefined>();
  return (i: number, j: number, k: number, l: number): Area | undefined => {
    const key = `${i} ${j} ${k} ${l}`;
    if (!known.has(key)) {
      const [left, right] = [edges.vertical[i]!, edges.vertical[j]!];
      const [top, bottom] = [edges.horizontal[k]!, edges.horizontal[l]!];
      const seen = cutOut(left, right, top, bottom, false);
      const isApart =
        seen &&
        gap(left, right, seen.top - past, seen.bottom + past) &&
        gap(top, bottom, seen.left - past, seen.right + past);
      const needed = isApart && cutOut(left, right, top, bottom, true);
      known.set(key, seen && needed ? { seen, needed } : undefined);
    }
    return known.get(key);
  };
}

const gap = (a: Edge, b: Edge, from: number, to: number): boolean =>
  a.path || b.path
    ? Math.min(...stopsOf(a, b, from, to).map((t) => valueAt(b, t) - valueAt(a, t))) >= LEAST_APART
    : b.at > a.at;

const ring = (...points: readonly (readonly [number, number])[]): Polygon => [points.map(([x, y]) => [x, y])];

const shoelace = (points: readonly (readonly [number, number])[]): number =>
  points.reduce((sum, [x, y], n) => {
    const [nextX, nextY] = points[(n + 1) % points.length]!;
    return sum + (x * nextY - nextX * y) / 2;
  }, 0);

/** The box of what lies right of, left of, below and above four edges, each moved outward where film is meant. */
function cutOut(left: Edge, right: Edge, top: Edge, bottom: Edge, isFilm: boolean): Box | undefined {
  const half = (edge: Edge, axis: SeamAxis, isAfter: boolean): Polygon => {
    const off = !isFilm ? 0 : isAfter ? -edge.before : edge.beyond;
    const line = [-FAR, ...(edge.path ?? []).map(({ along }) => along), FAR].map((t) => [
      t,
      valueAt(edge, t) + off,
    ]);
    const far = isAfter ? FAR : -FAR;
    const ring = [...line, [FAR, far], [-FAR, far]];
    return [ring.map(([along, across]) => (axis === 'vertical' ? [across!, along!] : [along!, across!]))];
  };
  const points = polygonClipping
    .intersection(
      half(left, 'vertical', true),
      half(right, 'vertical', false),
      half(top, 'horizontal', true),
      half(bottom, 'horizontal', false),
    )
    .flat(2);
  if (points.length === 0) return undefined;
  const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
  return { left: Math.min(...xs), top: Math.min(...ys), right: Math.max(...xs), bottom: Math.max(...ys) };
}

function valueAt({ at, path }: Pick<Edge, 'at' | 'path'>, along: number): number {
  if (!path) return at;
  const next = path.findIndex((point) => point.along > along);
  if (next === 0) return path[0]!.across;
  if (next === -1) return path.at(-1)!.across;
  const [a, b] = [path[next - 1]!, path[next]!];
  return a.across + ((b.across - a.across) * (along - a.along)) / (b.along - a.along);
}

const stopsOf = (a: Edge, b: Edge, from: number, to: number): number[] => [
  from,
  ...[...(a.path ?? []), ...(b.path ?? [])].map(({ along }) => along).filter((t) => t > from && t < to),
  to,
];

/** The least and the greatest place of an edge over a stretch. */
function extremes(edge: Edge, from: number, to: number): [number, number] {
  const values = stopsOf(edge, edge, from, to).map((t) => valueAt(edge, t));
  return [Math.min(...values), Math.max(...values)];
}

function apart(a: Edge, b: Edge, from: number, to: number): number {
  if (!a.path && !b.path) return b.at - a.at;
  const pathOf = ({ at, path }: Edge): Path => path ?? [{ along: 0, across: at }];
  return pathsDistance(pathOf(a), pathOf(b), { start: from, end: to });
}

/** Where along itself a line meets one of the other axis: closed in on from both ends, as no line is steeper than 45°. */
function crossing(line: Edge, other: Edge): number {
  let [low, high] = [-FAR, FAR];
  for (let n = 0; n < 80; n++) {
    const middle = (low + high) / 2;
    if (middle < valueAt(other, valueAt(line, middle))) low = middle;
    else high = middle;
  }
  return Math.round(low * 1e9) / 1e9;
}
