import { z } from 'zod';
import { mmSchema } from '../measure/schemas.ts';
import { LENGTH_TOLERANCE_MM, type Mm } from '../measure/units.ts';
import { PLAN_LIMITS } from './plan-limits.ts';
import { type FilmRoll, type PlanSide, type PlanStock, rollUsableWidth } from './plan-side.ts';
import type { PlanScope } from './section-edges.ts';
import { isSectionFeasible } from './section-feasibility.ts';
import { type SliceBooks, sectionGround, stripBooks } from './section-ground.ts';

/** A limit that could be relaxed so that a side can be planned, and the smallest change needed. */
export const Relaxation = z.strictObject({
  limit: z.enum([...PLAN_LIMITS, 'lap', 'border']),
  /** The smallest change, in mm; absent where the limit must be removed as a whole. */
  by: mmSchema.optional(),
  /** The value of the limit after the change. */
  to: mmSchema.optional(),
  itemId: z.string().optional(),
  /** Of a locked seam: its index in the side's list. */
  lockedIndex: z.number().int().optional(),
});
export type Relaxation = z.infer<typeof Relaxation>;

type Feasible = (side: PlanSide, stock: PlanStock) => boolean;

/** Greatest distance from its place at which a locked seam is tried. */
const FARTHEST_MOVE_MM = 1000;

/**
 * For a side without any plan: each limit that would allow a plan if it alone were relaxed, with the smallest change
 * needed. The change is found by bisection in whole millimeters; relaxing any limit further never makes planning
 * harder, except for the place of a locked seam. Measured with the stock that leaves the widest panels. Empty where
 * several limits would have to be relaxed together.
 */
export function planRelaxations(
  side: PlanSide,
  scopes: readonly PlanScope[],
  tick: (share: number) => void = () => {},
): Relaxation[] {
  const stock = widestStock(side);
  let done = 0;
  const isFeasible: Feasible = (tried, with_) => {
    const books = booksFor(tried, with_);
    return scopes.some((scope) => {
      const ground = sectionGround(tried, with_, scope, books);
      return isSectionFeasible(ground, () => tick(done / ATTEMPTS.length));
    });
  };
  // The picture and an earlier plan do not affect whether a plan is possible.
  const { energy: _picture, earlier: _earlier, ...bare } = side;
  const booksFor = booksKept();
  return ATTEMPTS.flatMap((attempt) => {
    const found = attempt(bare, stock, isFeasible);
    done++;
    return found;
  });
}

/** Keeps strip books, and rebuilds them only for a trial that changes their inputs. */
function booksKept(): (side: PlanSide, stock: PlanStock) => SliceBooks {
  let kept: { readonly side: PlanSide; readonly stock: PlanStock; readonly books: SliceBooks } | undefined;
  return (side, stock) => {
    const before = kept;
    const isSame =
      before?.stock.lap === stock.lap &&
      (['noSeamAreas', 'noFilmAreas', 'minPanel', 'gapAllowance', 'rivetClearance'] as const).every(
        (key) => before.side[key] === side[key],
      );
    if (isSame) return before.books;
    kept = { side, stock, books: stripBooks(side, stock) };
    return kept.books;
  };
}

function widestStock(side: PlanSide): PlanStock {
  const roll = side.rolls.reduce((a, b) => (rollUsableWidth(b) > rollUsableWidth(a) ? b : a));
  const lap = side.laps.reduce((a, b) => (b.under + b.over < a.under + a.over ? b : a));
  return { roll, lap };
}

/**
 * The smallest whole number of mm from 1 to `most` for which a condition holds, given that it also holds for every
 * larger number; undefined if none.
 */
function leastMm(most: Mm, holds: (mm: Mm) => boolean): Mm | undefined {
  const last = Math.ceil(most);
  if (last < 1 || !holds(last)) return undefined;
  let [no, yes] = [0, last];
  while (yes - no > 1) {
    const middle = (no + yes) >> 1;
    if (holds(middle)) yes = middle;
    else no = middle;
  }
  return yes;
}

const longestMeasure = (side: PlanSide): Mm => {
  const { bleed, border } = side;
  return Math.max(side.width + bleed.left + bleed.right, side.height + bleed.top + bleed.bottom) + 2 * border;
};

/** Changes the film of the plan and the films of parts of the side. */
const withRolls = (
  side: PlanSide,
  stock: PlanStock,
  changed: (roll: FilmRoll) => FilmRoll,
): [PlanSide, PlanStock] => {
  // Zones on the same film continue to share one object.
  const films = new Map(
    side.filmZones?.map(({ film }) => [film, film && { ...film, roll: changed(film.roll) }]),
  );
  const zones = side.filmZones?.map(({ rect, film }) => ({ rect, film: films.get(film) }));
  return [
    { ...side, ...(zones && { filmZones: zones }) },
    { ...stock, roll: changed(stock.roll) },
  ];
};

function widthNeeded(side: PlanSide, stock: PlanStock, isFeasible: Feasible): Relaxation[] {
  const wider = (by: Mm) => withRolls(side, stock, (roll) => ({ ...roll, width: roll.width + by }));
  const by = leastMm(longestMeasure(side), (mm) => isFeasible(...wider(mm)));
  return by === undefined ? [] : [{ limit: 'printable-width', by, to: rollUsableWidth(stock.roll) + by }];
}

function lengthNeeded(side: PlanSide, stock: PlanStock, isFeasible: Feasible): Relaxation[] {
  const longer = (by: Mm) => withRolls(side, stock, (roll) => ({ ...roll, longest: roll.longest + by }));
  const by = leastMm(longestMeasure(side), (mm) => isFeasible(...longer(mm)));
  return by === undefined ? [] : [{ limit: 'longest-print', by, to: stock.roll.longest + by }];
}

function longerPanel(side: PlanSide, stock: PlanStock, isFeasible: Feasible): Relaxation[] {
  const { longestPanel } = side;
  if (longestPanel === undefined) return [];
  const longer = (by: Mm) => ({ ...side, longestPanel: longestPanel + by });
  const by = leastMm(longestMeasure(side), (mm) => isFeasible(longer(mm), stock));
  return by === undefined ? [] : [{ limit: 'longest-panel', by, to: longestPanel + by }];
}

function smallerPanel(side: PlanSide, stock: PlanStock, isFeasible: Feasible): Relaxation[] {
  const smaller = (by: Mm) => ({ ...side, minPanel: Math.max(1, side.minPanel - by) });
  const by = leastMm(side.minPanel - 1, (mm) => isFeasible(smaller(mm), stock));
  return by === undefined ? [] : [{ limit: 'smallest-panel', by, to: smaller(by).minPanel }];
}

function narrowerLap(side: PlanSide, stock: PlanStock, isFeasible: Feasible): Relaxation[] {
  const { under, over } = stock.lap;
  // Spare image is reduced first: it is needed for shifting and does not keep water out.
  const narrower = (by: Mm): PlanStock => ({
    ...stock,
    lap: {
      ...stock.lap,
      over: Math.max(0, over - by),
      under: Math.min(under, Math.max(0, under + over - by)),
    },
  });
  const by = leastMm(under + over, (mm) => isFeasible(side, narrower(mm)));
  return by === undefined ? [] : [{ limit: 'lap', by, to: Math.max(0, under + over - by) }];
}

function narrowerBorder(side: PlanSide, stock: PlanStock, isFeasible: Feasible): Relaxation[] {
  const narrower = (by: Mm) => ({ ...side, border: Math.max(0, side.border - by) });
  const by = leastMm(side.border, (mm) => isFeasible(narrower(mm), stock));
  return by === undefined ? [] : [{ limit: 'border', by, to: narrower(by).border }];
}

/** How much nearer to body gaps a lap would have to be, with that much less image around their edges. */
function narrowerGap(side: PlanSide, stock: PlanStock, isFeasible: Feasible): Relaxation[] {
  const narrower = (by: Mm) => ({ ...side, gapAllowance: Math.max(0, side.gapAllowance - by) });
  const by = leastMm(side.gapAllowance, (mm) => isFeasible(narrower(mm), stock));
  return by === undefined ? [] : [{ limit: 'body-gap', by, to: narrower(by).gapAllowance }];
}

/** How much nearer to the rivet rows the film would have to end. */
function nearerRivets(side: PlanSide, stock: PlanStock, isFeasible: Feasible): Relaxation[] {
  if (!side.lines.some(({ kind }) => kind === 'rivet-row')) return [];
  const nearer = (by: Mm) => ({ ...side, rivetClearance: Math.max(0, side.rivetClearance - by) });
  const by = leastMm(side.rivetClearance, (mm) => isFeasible(nearer(mm), stock));
  return by === undefined ? [] : [{ limit: 'rivet-row', by, to: nearer(by).rivetClearance }];
}

/** Each no-seam area that alone prevents a plan, with how far a seam would have to enter it. */
function noSeamAreaInset(side: PlanSide, stock: PlanStock, isFeasible: Feasible): Relaxation[] {
  const single = side.noSeamAreas.flatMap((area): Relaxation[] => {
    const others = side.noSeamAreas.filter((other) => other !== area);
    // The distance into a closed outline cannot be given as one figure.
    if (area.outline) {
      const isInTheWay = isFeasible({ ...side, noSeamAreas: others }, stock);
      return isInTheWay ? [{ limit: 'no-seam-area', itemId: area.id }] : [];
    }
    const inset = (by: Mm): PlanSide => {
      const { x, y, width, height } = area.rect;
      const rest = { x: x + by, y: y + by, width: width - 2 * by, height: height - 2 * by };
      const isGone = rest.width <= 0 || rest.height <= 0;
      return { ...side, noSeamAreas: isGone ? others : [...others, { ...area, rect: rest }] };
    };
    const most = Math.min(area.rect.width, area.rect.height) / 2;
    const by = leastMm(most, (mm) => isFeasible(inset(mm), stock));
    return by === undefined ? [] : [{ limit: 'no-seam-area', by, itemId: area.id }];
  });
  if (single.length > 0 || side.noSeamAreas.length < 2) return single;
  return isFeasible({ ...side, noSeamAreas: [] }, stock) ? [{ limit: 'no-seam-area' }] : [];
}

function noFilmClearance(side: PlanSide, stock: PlanStock, isFeasible: Feasible): Relaxation[] {
  const widest = side.noFilmAreas.reduce((most, { margin }) => Math.max(most, margin), 0);
  const nearer = (by: Mm): PlanSide => ({
    ...side,
    noFilmAreas: side.noFilmAreas.map((noFilmArea) => ({
      ...noFilmArea,
      margin: Math.max(0, noFilmArea.margin - by),
    })),
  });
  const by = leastMm(widest, (mm) => isFeasible(nearer(mm), stock));
  return by === undefined ? [] : [{ limit: 'no-film-clearance', by, to: Math.max(0, widest - by) }];
}

const ATTEMPTS: readonly ((side: PlanSide, stock: PlanStock, isFeasible: Feasible) => Relaxation[])[] = [
  widthNeeded,
  lengthNeeded,
  longerPanel,
  smallerPanel,
  narrowerLap,
  narrowerBorder,
  noSeamAreaInset,
  noFilmClearance,
  narrowerGap,
  nearerRivets,
  lockedMoved,
  filmsJoined,
];

/** The seams where films meet, if they prevent a plan. */
function filmsJoined({ filmZones, ...side }: PlanSide, stock: PlanStock, isFeasible: Feasible): Relaxation[] {
  const locked = side.locked.filter(({ isFilmEdge }) => !isFilmEdge);
  return filmZones && isFeasible({ ...side, locked }, stock) ? [{ limit: 'film-edge' }] : [];
}

/** Each locked seam that alone prevents a plan, with the shortest move to a place where a plan exists. */
function lockedMoved(side: PlanSide, stock: PlanStock, isFeasible: Feasible): Relaxation[] {
  return side.locked.flatMap((seam, lockedIndex): Relaxation[] => {
    if (seam.isFilmEdge) return [];
    const others = side.locked.filter((other) => other !== seam);
    if (!isFeasible({ ...side, locked: others }, stock)) return [];
    const length = seam.axis === 'vertical' ? side.width : side.height;
    for (let by = 1; by <= FARTHEST_MOVE_MM; by++) {
      for (const at of [seam.at - by, seam.at + by]) {
        if (at <= LENGTH_TOLERANCE_MM || at >= length - LENGTH_TOLERANCE_MM) continue;
        if (isFeasible({ ...side, locked: [...others, { ...seam, at }] }, stock)) {
          return [{ limit: 'locked-seam', by, to: at, lockedIndex }];
        }
      }
    }
    return [{ limit: 'locked-seam', lockedIndex }];
  });
}
