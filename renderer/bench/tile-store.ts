/**
 * Keeps the tiles that have come and asks for those that are wanted, a few at a time, coarse before sharp. What
 * is no longer wanted is cancelled; what was used longest ago is let go.
 */
import type { Problem, Result } from '../../core/measure/result.ts';
import type { Tile } from './tiles.ts';

export interface TileSource<Picture> {
  /** Makes the picture of a tile. */
  picture(tile: Tile, signal: AbortSignal): Promise<Result<Picture, Problem>>;
  /** Frees a picture that is let go. */
  release(picture: Picture): void;
  /** A tile has come, or the page cannot be drawn. */
  onChange(): void;
}

/** Drawing is done one tile at a time; a second request waits its turn there so that no time is lost between. */
const AT_ONCE = 2;
/** 512 × 512 pixels of 4 bytes each: about 250 MB. */
const MOST_TILES = 240;

export class TileStore<Picture> {
  readonly #source: TileSource<Picture>;
  /** In the order of last use. */
  readonly #kept = new Map<string, Picture>();
  readonly #asked = new Map<string, AbortController>();
  /** Pages that cannot be drawn, or no sharper, and why; not asked for again until `forget`. */
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

  /** Says what is needed now, the most urgent first. */
  want(tiles: readonly Tile[]): void {
    this.#wanted = tiles;
    const names = new Set(tiles.map(tileName));
    for (const [name, abort] of this.#asked) {
      if (!names.has(name)) abort.abort();
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
    for (const abort of this.#asked.values()) abort.abort();
    for (const picture of this.#kept.values()) this.#source.release(picture);
    this.#kept.clear();
    this.#problems.clear();
  }

  #askNext(): void {
    for (const tile of this.#wanted) {
      if (this.#asked.size >= AT_ONCE) return;
      const name = tileName(tile);
      if (this.#kept.has(name) || this.#asked.has(name) || this.#problems.has(tile.page)) continue;
      void this.#ask(tile, name);
    }
  }

  async #ask(tile: Tile, name: string): Promise<void> {
    const abort = new AbortController();
    this.#asked.set(name, abort);
    const answer = await this.#source.picture(tile, abort.signal);
    this.#asked.delete(name);
    if (abort.signal.aborted) {
      if (answer.ok) this.#source.release(answer.value);
    } else if (answer.ok) {
      this.#keep(name, answer.value);
    } else {
      this.#problems.set(tile.page, answer.problem);
      this.#source.onChange();
    }
    this.#askNext();
  }

  #keep(name: string, picture: Picture): void {
    this.#kept.set(name, picture);
    for (const oldest of this.#kept.keys()) {
      if (this.#kept.size <= MOST_TILES) break;
      this.#source.release(this.#kept.get(oldest)!);
      this.#kept.delete(oldest);
    }
    this.#source.onChange();
  }
}

const tileName = ({ page, key }: Tile): string => `${page}:${key}`;
