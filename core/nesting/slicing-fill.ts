import type { Effort } from './effort.ts';
import { type FlushBlock, flushBlocks } from './flush-blocks.ts';
import {
  type NestPiece,
  type NestPlace,
  type NestRooms,
  type PieceKind,
  pieceKinds,
  SLACK,
} from './nest-piece.ts';

/** How a block is selected: by flush fit and length, by flush fit, or by area first. */
export type FillWay = 'longest-flush' | 'flush' | 'area' | 'loose';
export const FILL_WAYS: readonly FillWay[] = ['longest-flush', 'flush', 'area', 'loose'];

export interface FillAsked {
  readonly way: FillWay;
  /** Number of states followed at a time, and of blocks tried in each. */
  readonly width: number;
  readonly fan: number;
  /** Usable length of the open room. */
  readonly length: number;
  /**
   * Whether the open room is first cut into parts of the longest length; otherwise a part grows with its first block.
   */
  readonly inParts: boolean;
  /** A random factor that favors each block; 1 for all where absent. */
  readonly favors?: Float64Array;
}

/** A free rectangle, with the list of rectangles to fill after it. */
interface Space {
  readonly room: number;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  /** Longer than a part may be: only a cut across it can use some of it. */
  readonly isWhole: boolean;
  readonly next: Space | undefined;
}

interface BlockPlace {
  readonly block: number;
  readonly room: number;
  readonly x: number;
  readonly y: number;
  readonly before: BlockPlace | undefined;
}

interface FillState {
  /** Pieces that remain of each kind. */
  readonly left: Int16Array;
  readonly spaces: Space | undefined;
  readonly waste: number;
  readonly area: number;
  readonly places: BlockPlace | undefined;
}

const MOST_BLOCKS = 600;
/** Other costs of a state and a space, counted in blocks examined. */
const STATE_COST = 100;
const SPACE_COST = 15;
/** A block that fits flush in both directions or in one ranks above all others, whatever their area. */
const BOTH_FLUSH = 1e15;
const ONE_FLUSH = 1e14;

/**
 * Fills rooms so that straight cuts from edge to edge separate all pieces: a block goes into the corner of a free
 * rectangle, and one of two cuts divides the rest of it in two. A beam search follows the options whose quick
 * completion places the most area.
 */
export class SlicingFill {
  /** Whether there were more options than were followed; if not, another search finds nothing new. */
  hasLeftOut = false;
  readonly #kinds: readonly PieceKind[];
  readonly #rooms: NestRooms;
  readonly #blocks: readonly FlushBlock[];
  #favors: Float64Array | undefined;
  /** The same data in columns of numbers, which are faster to scan. */
  readonly #table: BlockTable;
  readonly #counts: Int16Array;
  readonly #total: number;
  readonly #leastWidth: number;
  readonly #leastHeight: number;
  readonly #effort: Effort;
  readonly #look: () => void;

  constructor(pieces: readonly NestPiece[], rooms: NestRooms, effort: Effort, look: () => void) {
    const kinds = pieceKinds(pieces);
    const widest = Math.max(rooms.open.width, ...rooms.closed.map(({ width }) => width));
    const longest = Math.max(
      Math.min(rooms.longest, rooms.open.height),
      ...rooms.closed.map(({ height }) => height),
    );
    this.#kinds = kinds;
    this.#rooms = rooms;
    this.#blocks = flushBlocks(kinds, widest, longest, Math.max(MOST_BLOCKS, Math.ceil(1.2 * kinds.length)));
    this.#table = new BlockTable(this.#blocks);
    this.#counts = Int16Array.from(kinds, ({ keys }) => keys.length);
    this.#total = pieces.reduce((sum, { width, height }) => sum + width * height, 0);
    this.#leastWidth = Math.min(...kinds.map(({ width }) => width));
    this.#leastHeight = Math.min(...kinds.map(({ height }) => height));
    this.#effort = effort;
    this.#look = look;
  }

  get blockCount(): number {
    return this.#blocks.length;
  }

  /** Places for all pieces within the given length of the open room; undefined where none were found. */
  filled(asked: FillAsked): NestPlace[] | undefined {
    const { width: mostStates, length } = asked;
    this.#favors = asked.favors;
    const { closed, open } = this.#rooms;
    const free = closed.reduce((sum, room) => sum + room.width * room.height, open.width * length);
    const slack = free - this.#total + SLACK * Math.max(1, open.width);
    if (slack < 0) return undefined;
    let states: FillState[] = [
      { left: this.#counts, spaces: this.#spaces(asked), waste: 0, area: 0, places: undefined },
    ];
    while (states.length > 0) {
      const next: { state: FillState; value: number }[] = [];
      for (const state of states) {
        this.#look();
        for (const child of this.#children(state, asked, slack)) {
          const done = this.#completed(child, asked.way);
          if (done.area >= this.#total - SLACK * this.#total) return this.#places(done);
          if (this.#effort.left <= 0) return undefined;
          next.push({ state: child, value: done.area });
        }
      }
      next.sort((a, b) => b.value - a.value || b.state.area - a.state.area);
      states = [];
      for (const [index, { state, value }] of next.entries()) {
        if (states.length >= mostStates) {
          this.hasLeftOut = true;
          break;
        }
        const before = next[index - 1];
        if (before?.value !== value || before.state.area !== state.area) states.push(state);
      }
    }
    return undefined;
  }

  #spaces({ length, inParts }: FillAsked): Space | undefined {
    const { closed, open, longest } = this.#rooms;
    let spaces: Space | undefined;
    const add = (room: number, y: number, width: number, height: number, isWhole: boolean) => {
      spaces = spaceBefore(spaces, room, 0, y, width, height, isWhole);
    };
    if (inParts)
      for (let y = 0; y < length; y += longest) add(-1, y, open.width, Math.min(longest, length - y), false);
    else add(-1, 0, open.width, length, length > longest + SLACK);
    for (const [room, { width, height }] of closed.entries()) add(room, 0, width, height, false);
    return spaces;
  }

  *#children(state: FillState, { way, fan }: FillAsked, slack: number): Generator<FillState> {
    let { spaces, waste } = state;
    while (spaces) {
      const space = spaces;
      spaces = space.next;
      const best = this.#bestBlocks(state.left, space, way, fan);
      if (best.length === 0) {
        waste += space.width * space.height;
        if (waste > slack) return;
        continue;
      }
      for (const index of best) {
        const block = this.#blocks[index]!;
        const left = state.left.slice();
        this.#table.take(index, left);
        const area = state.area + block.area;
        const places = { block: index, room: space.room, x: space.x, y: space.y, before: state.places };
        for (const isTall of waysToCut(space, block)) {
          yield { left, spaces: this.#spacesLeft(spaces, space, block, isTall), waste, area, places };
        }
      }
      return;
    }
  }

  #bestBlocks(left: Int16Array, space: Space, way: FillWay, count: number): number[] {
    const table = this.#table;
    const found: { index: number; score: number }[] = [];
    this.#effort.left -= this.#blocks.length + STATE_COST;
    for (const [index, block] of this.#blocks.entries()) {
      if (!fits(block, space) || !table.isThere(index, left)) continue;
      found.push({ index, score: this.#score(index, space, way) });
    }
    if (found.length > count) this.hasLeftOut = true;
    return found
      .sort((a, b) => b.score - a.score)
      .slice(0, count)
      .map(({ index }) => index);
  }

  /**
   * Puts the best block into each space until nothing fits, each time with the cut that leaves the larger rectangle.
   */
  #completed(state: FillState, way: FillWay): FillState {
    const table = this.#table;
    const { widths, heights } = table;
    const left = state.left.slice();
    const active = table.active;
    let activeCount = 0;
    for (let index = 0; index < widths.length; index++) {
      if (table.isThere(index, left)) active[activeCount++] = index;
    }
    this.#effort.left -= widths.length + STATE_COST;
    let { spaces, area, places } = state;
    while (spaces && activeCount > 0) {
      const space: Space = spaces;
      spaces = space.next;
      const mostWide = space.width + SLACK;
      const mostLong = space.height + SLACK;
      let best = -1;
      let bestScore = Number.NEGATIVE_INFINITY;
      let kept = 0;
      this.#effort.left -= activeCount + SPACE_COST;
      for (let at = 0; at < activeCount; at++) {
        const index = active[at]!;
        // The number of pieces only falls, so blocks that have run out need not be checked again.
        if (!table.isThere(index, left)) continue;
        active[kept++] = index;
        if (widths[index]! > mostWide || heights[index]! > mostLong) continue;
        const score = this.#score(index, space, way);
        if (score <= bestScore) continue;
        bestScore = score;
        best = index;
      }
      activeCount = kept;
      if (best < 0) continue;
      const block = this.#blocks[best]!;
      table.take(best, left);
      area += block.area;
      places = { block: best, room: space.room, x: space.x, y: space.y, before: places };
      spaces = this.#spacesLeft(spaces, space, block, leavesMoreTall(space, block));
    }
    return { left, spaces: undefined, waste: 0, area, places };
  }

  #score(index: number, space: Space, way: FillWay): number {
    const width = this.#table.widths[index]!;
    const height = this.#table.heights[index]!;
    const area = this.#table.areas[index]! * (this.#favors ? this.#favors[index]! : 1);
    const beside = space.width - width;
    const behind = space.height - height;
    const isWide = beside <= SLACK;
    const isLong = behind <= SLACK;
    let score = area;
    if (isWide && isLong) score += BOTH_FLUSH;
    else if ((isWide || isLong) && way !== 'loose') {
      if (way === 'area') score += area;
      else score += ONE_FLUSH;
      if (way === 'longest-flush') score += (isWide ? height : width) * 1e6;
    }
    // Space beside or behind a block is lost where it is too narrow for any piece.
    if (!isWide && beside < this.#leastWidth - SLACK) score -= 4 * beside * height;
    if (!isLong && behind < this.#leastHeight - SLACK) score -= 4 * behind * width;
    return score;
  }

  /** The two rectangles that remain of a space, smaller one first. */
  #spacesLeft(
    next: Space | undefined,
    space: Space,
    { width, height }: FlushBlock,
    isTall: boolean,
  ): Space | undefined {
    const { room, x, y, isWhole } = space;
    const besideWidth = space.width - width;
    const besideHeight = isTall ? space.height : height;
    const behindWidth = isTall ? width : space.width;
    const behindHeight = space.height - height;
    const isStillWhole = isWhole && behindHeight > this.#rooms.longest + SLACK;
    const isBesideFirst = isWhole || besideWidth * besideHeight <= behindWidth * behindHeight;
    const hasBeside = besideWidth > SLACK && besideHeight > SLACK;
    let spaces = next;
    if (hasBeside && !isBesideFirst)
      spaces = spaceBefore(spaces, room, x + width, y, besideWidth, besideHeight, false);
    if (behindWidth > SLACK && behindHeight > SLACK)
      spaces = spaceBefore(spaces, room, x, y + height, behindWidth, behindHeight, isStillWhole);
    if (hasBeside && isBesideFirst)
      spaces = spaceBefore(spaces, room, x + width, y, besideWidth, besideHeight, false);
    return spaces;
  }

  #places({ places }: FillState): NestPlace[] {
    const next = this.#kinds.map(() => 0);
    const found: NestPlace[] = [];
    const add = (index: number, room: number, x: number, y: number): void => {
      const { halves, kinds } = this.#blocks[index]!;
      if (halves) {
        const { isRow, first, second } = halves;
        const { width, height } = this.#blocks[first]!;
        add(first, room, x, y);
        add(second, room, isRow ? x + width : x, isRow ? y : y + height);
        return;
      }
      const kind = kinds[0]!;
      const { keys, width, height } = this.#kinds[kind]!;
      found.push({ key: keys[next[kind]!++]!, width, height, room, x, y });
    };
    for (let at = places; at; at = at.before) add(at.block, at.room, at.x, at.y);
    return found;
  }
}

/** Millions of these are made, so all have one form and none is made by copying. */
const spaceBefore = (
  next: Space | undefined,
  room: number,
  x: number,
  y: number,
  width: number,
  height: number,
  isWhole: boolean,
): Space => ({ room, x, y, width, height, isWhole, next });

const fits = (block: FlushBlock, space: Space): boolean =>
  block.width <= space.width + SLACK && block.height <= space.height + SLACK;

/** Sizes of blocks, and the pieces they need, in columns. */
class BlockTable {
  readonly widths: Float64Array;
  readonly heights: Float64Array;
  readonly areas: Float64Array;
  /** A reusable buffer for a list of blocks. */
  readonly active: Int32Array;
  /** Block i uses the kinds and counts in `needs` from `starts[i]` to `starts[i + 1]`. */
  readonly #starts: Int32Array;
  readonly #needs: Int32Array;

  constructor(blocks: readonly FlushBlock[]) {
    this.widths = Float64Array.from(blocks, ({ width }) => width);
    this.heights = Float64Array.from(blocks, ({ height }) => height);
    this.areas = Float64Array.from(blocks, ({ area }) => area);
    this.active = new Int32Array(blocks.length);
    const needs = blocks.map(({ kinds, counts }) => kinds.flatMap((kind, index) => [kind, counts[index]!]));
    this.#starts = new Int32Array(blocks.length + 1);
    for (const [index, { length }] of needs.entries())
      this.#starts[index + 1] = this.#starts[index]! + length;
    this.#needs = Int32Array.from(needs.flat());
  }

  isThere(block: number, left: Int16Array): boolean {
    const end = this.#starts[block + 1]!;
    for (let at = this.#starts[block]!; at < end; at += 2) {
      if (left[this.#needs[at]!]! < this.#needs[at + 1]!) return false;
    }
    return true;
  }

  take(block: number, left: Int16Array): void {
    const end = this.#starts[block + 1]!;
    for (let at = this.#starts[block]!; at < end; at += 2) left[this.#needs[at]!]! -= this.#needs[at + 1]!;
  }
}

/** Whether the space beside the block continues behind it. */
function waysToCut(space: Space, block: FlushBlock): readonly boolean[] {
  if (space.isWhole) return [false];
  const isFlush = space.width - block.width <= SLACK || space.height - block.height <= SLACK;
  return isFlush ? [true] : [true, false];
}

function leavesMoreTall(space: Space, { width, height }: FlushBlock): boolean {
  if (space.isWhole) return false;
  const beside = space.width - width;
  const behind = space.height - height;
  const most = (isTall: boolean) =>
    isTall
      ? Math.max(beside * space.height, width * behind)
      : Math.max(beside * height, space.width * behind);
  return most(true) > most(false);
}
