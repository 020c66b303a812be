/**
 * Nests rectangles on a strip so that straight cuts separate them.
 *
 * ```ts
 * const pieces = [
 *   { key: 0, width: 60, height: 40 },
 *   { key: 1, width: 40, height: 40 },
 *   { key: 2, width: 100, height: 20 },
 * ];
 * const rooms = { closed: [], open: { width: 100, height: 500 }, longest: 500 };
 * const asked = { below: 500, bound: 60, effort: { left: 1e6 }, exactWithin: 1e6, look: () => {} };
 * const { places, isShortest } = nested(pieces, rooms, asked);
 * Math.max(...places.map(({ y, height }) => y + height)); // → 60
 * isShortest; // → true
 * ```
 */
import type { Effort } from './effort.ts';
import { type NestPiece, type NestPlace, type NestRooms, SLACK } from './nest-piece.ts';
import { randomNumbersFromSeed } from './random-numbers.ts';
import { FILL_WAYS, type FillWay, SlicingFill } from './slicing-fill.ts';
import { shortestSlicing, slicingCount } from './slicing-fronts.ts';

export interface Nested {
  /** Undefined where nothing shorter was found. */
  readonly places: readonly NestPlace[] | undefined;
  /** Whether all possible cuts were examined, or the bound was reached. */
  readonly isShortest: boolean;
}

export interface NestEffort {
  readonly effort: Effort;
  /** Up to this number of cuts, pieces are nested exactly. */
  readonly exactWithin: number;
  readonly look: () => void;
}

export interface NestAsked extends NestEffort {
  /** Only a shorter result is searched for. */
  readonly below: number;
  /** Lower bound of the length. */
  readonly bound: number;
}

/** Examining one cut costs about as much as this many blocks. */
const BLOCKS_PER_CUT = 800;
/** Smallest step of the length, as a share of it, that the search uses. */
const FINEST_STEP = 2.5e-4;
const CLIMBING_STEP = 5e-3;
const QUICK_FAN = 2;
/** Most states to follow, in total and with many pieces: fewer pieces allow more of them. */
const STATES = { most: 64, perPiece: 1100 };
const FANS = { least: 4, most: 12, perPiece: 204 };
/** Number of passes that favor no block. Later passes favor some at random, each up to twice its area. */
const SURE_PASSES = 3;
const FAVOR = 2;
/** The search stops after this much work without a shorter result, or after twice the work that the last one took. */
const PATIENCE = 40_000_000;

/**
 * Nests pieces so that straight cuts from edge to edge separate them, on as little of the open room as the effort
 * allows: exactly where there are few pieces, by search where there are many.
 */
export function nested(pieces: readonly NestPiece[], rooms: NestRooms, asked: NestAsked): Nested {
  const { below, bound, effort, look } = asked;
  if (pieces.length === 0 || below <= bound + SLACK) return { places: undefined, isShortest: true };
  const cuts = slicingCount(pieces) * BLOCKS_PER_CUT;
  if (rooms.closed.length === 0 && cuts <= asked.exactWithin) {
    effort.left -= cuts;
    const limits = {
      width: rooms.open.width,
      longest: rooms.longest,
      below: Math.min(below, rooms.open.height + 20 * SLACK),
    };
    return { places: shortestSlicing(pieces, limits, look), isShortest: true };
  }
  return nestedBySearch(pieces, rooms, asked);
}

function nestedBySearch(pieces: readonly NestPiece[], rooms: NestRooms, asked: NestAsked): Nested {
  const { bound, effort, look } = asked;
  const fill = new SlicingFill(pieces, rooms, effort, look);
  const grid = commonStep(pieces.map(({ height }) => height));
  const onGrid = (length: number): number => (grid > 0 ? Math.floor(length / grid + SLACK) * grid : length);
  const finest = Math.max(grid, bound * FINEST_STEP);
  const effortAtStart = effort.left;
  let spentAtBest = 0;
  let best: NestPlace[] | undefined;
  let least = Math.min(asked.below, rooms.open.height + finest);
  const tryLength = (
    length: number,
    width: number,
    fan: number,
    way: FillWay,
    inParts: boolean,
    favors?: Float64Array,
  ): boolean => {
    const places = fill.filled({
      length: onGrid(Math.min(length, rooms.open.height)),
      width,
      fan,
      way,
      inParts,
      ...(favors && { favors }),
    });
    if (!places) return false;
    const used = lengthUsed(places);
    if (used >= least - SLACK) return false;
    best = places;
    least = used;
    spentAtBest = effortAtStart - effort.left;
    return true;
  };
  const isDone = () => {
    const spent = effortAtStart - effort.left;
    const isHopeless = spent - spentAtBest > Math.max(PATIENCE, 2 * spentAtBest);
    return effort.left <= 0 || isHopeless || least <= bound + SLACK;
  };
  const partings = rooms.longest < least ? [false, true] : [false];

  for (
    let length = Math.max(bound, finest);
    length < least && !isDone();
    length += Math.max(grid, bound * CLIMBING_STEP)
  ) {
    if (tryLength(length, 1, QUICK_FAN, 'longest-flush', false)) break;
  }
  const random = randomNumbersFromSeed(pieces.length + 1);
  const mostStates = Math.max(2, Math.min(STATES.most, Math.floor(STATES.perPiece / pieces.length)));
  const leastFan = Math.max(FANS.least, Math.min(FANS.most, Math.floor(FANS.perPiece / pieces.length)));
  fill.hasLeftOut = true;
  for (let pass = 1; !isDone() && fill.hasLeftOut; pass++) {
    fill.hasLeftOut = false;
    const width = Math.min(mostStates, 2 ** pass);
    // The more states are followed, the more blocks are tried in each.
    const fan = leastFan * Math.max(1, Math.floor(Math.log2(width) / 2));
    const favors =
      pass <= SURE_PASSES
        ? undefined
        : Float64Array.from({ length: fill.blockCount }, () => 2 ** (FAVOR * (random() - 0.5)));
    for (const way of FILL_WAYS) {
      for (const inParts of partings) {
        let step = Math.max(finest, (least - bound) / 2);
        while (!isDone()) {
          if (tryLength(least - step, width, fan, way, inParts, favors)) continue;
          if (step <= finest) break;
          step = Math.max(finest, step / 2);
        }
      }
    }
  }
  return { places: best, isShortest: least <= bound + SLACK };
}

const lengthUsed = (places: readonly NestPlace[]): number =>
  places.reduce((used, { room, y, height }) => (room < 0 ? Math.max(used, y + height) : used), 0);

const MOST_STEPS = 1e5;

/** The largest step of which all lengths are whole multiples, unless it is tiny; else 0. */
function commonStep(lengths: readonly number[]): number {
  let step = lengths[0]!;
  const smallest = Math.max(...lengths) / MOST_STEPS;
  for (const length of lengths) {
    let rest = length;
    while (rest > smallest) [step, rest] = [rest, step % rest];
    if (step <= smallest) return 0;
  }
  return lengths.every((length) => Math.abs(length / step - Math.round(length / step)) < SLACK) ? step : 0;
}
