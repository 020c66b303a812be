/**
 * Stores loaded tiles and requests needed ones, a few at a time, coarse before sharp. Requests no longer needed are
 * canceled, and the least recently used tiles are dropped.
 */

import { itemAt, valueAt } from '../../core/measure/present.ts';
import type { Problem, Result } from '../../core/measure/result.ts';
import { isSameBlock, type Tile, type TileBlock, tileBlock } from './tiles.ts';

export interface TileSource<Picture> {
  /** Makes the pictures of the tiles of a block, in its order. */
  pictures(block: TileBlock, signal: AbortSignal): Promise<Result<readonly Picture[], Problem>>;
  /** Frees a picture that is let go. */
  release(picture: Picture): void;
  /** A tile has come, or the page cannot be drawn. */
  onChange(): void;
  /** Milliseconds since whenever. */
  now(): number;
}

/** If a picture takes longer, the page is slow to draw, and tiles are then requested by block. */
const SLOW_MS = 400;

interface Asking {
  readonly names: readonly string[];
  readonly abort: AbortController;
}

/** Drawing is done one tile at a time; a second request waits its turn there so that no time is lost between. */
const AT_ONCE = 2;
/** 512 × 512 pixels of 4 bytes each: about 250 MB. */
const MOST_TILES = 240;

export class TileStore<Picture> {
  readonly #source: TileSource<Picture>;
  /** In the order of last use. */
  readonly #kept = new Map<string, Picture>();
  readonly #asked = new Set<Asking>();
  readonly #slowPages = new Set<number>();
  /** Pages that cannot be drawn, or not sharper, with the reason; not requested again until `forget`. */
  readonly #problems = new Map<number, Problem>();
  #wanted: readonly Tile[] = [];

  constructor(source: TileSource<Picture>) {
    this.#source = source;
  }

  tile(tile: Tile): Picture | undefined {
    return this.#kept.get(tileName(tile));
  }

  problem(page: number): Problem | undefined {
    return this.#problems.get(page);
  }

  get isWaiting(): boolean {
    return this.#asked.size > 0;
  }

  /** Sets what is needed now, most urgent first. */
  want(tiles: readonly Tile[]): void {
    this.#wanted = tiles;
    const names = new Set(tiles.map(tileName));
    for (const asking of this.#asked) {
      if (!asking.names.some((name) => names.has(name))) asking.abort.abort();
    }
    for (const name of names) {
      const picture = this.#kept.get(name);
      if (picture === undefined) continue;
      this.#kept.delete(name);
      this.#kept.set(name, picture);
    }
    this.#askNext();
  }

  /** Lets everything go, for another artwork. */
  forget(): void {
    this.#wanted = [];
    for (const { abort } of this.#asked) abort.abort();
    for (const picture of this.#kept.values()) this.#source.release(picture);
    this.#kept.clear();
    this.#problems.clear();
    this.#slowPages.clear();
  }

  #askNext(): void {
    const missing = this.#wanted.filter((tile) => this.#isMissing(tile));
    for (const tile of missing) {
      if (this.#asked.size >= AT_ONCE) return;
      if (!this.#isMissing(tile)) continue;
      const others = this.#slowPages.has(tile.page)
        ? missing.filter((other) => other !== tile && isSameBlock(tile, other) && this.#isMissing(other))
        : [];
      void this.#ask(tileBlock([tile, ...others]));
    }
  }

  #isMissing(tile: Tile): boolean {
    const name = tileName(tile);
    const isAsked = [...this.#asked].some(({ names }) => names.includes(name));
    return !this.#kept.has(name) && !isAsked && !this.#problems.has(tile.page);
  }

  async #ask(block: TileBlock): Promise<void> {
    const asking = {
      names: block.parts.map(({ tile }) => tileName(tile)),
      abort: new AbortController(),
    };
    this.#asked.add(asking);
    const start = this.#source.now();
    const answer = await this.#source.pictures(block, asking.abort.signal);
    this.#asked.delete(asking);
    if (asking.abort.signal.aborted) {
      if (answer.ok) for (const picture of answer.value) this.#source.release(picture);
    } else if (answer.ok) {
      if (this.#source.now() - start > SLOW_MS) this.#slowPages.add(block.page);
      for (const [index, picture] of answer.value.entries()) this.#keep(itemAt(asking.names, index), picture);
      this.#source.onChange();
    } else {
      this.#problems.set(block.page, answer.problem);
      this.#source.onChange();
    }
    this.#askNext();
  }

  #keep(name: string, picture: Picture): void {
    this.#kept.set(name, picture);
    for (const oldest of this.#kept.keys()) {
      if (this.#kept.size <= MOST_TILES) break;
      this.#source.release(valueAt(this.#kept, oldest));
      this.#kept.delete(oldest);
    }
  }
}

const tileName = ({ page, key }: Tile): string => `${page}:${key}`;
