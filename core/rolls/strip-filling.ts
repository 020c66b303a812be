import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';
import type { Effort } from './effort.ts';
import { Skyline } from './skyline.ts';
import type { StripItem, StripPlace } from './strip.ts';

/** What finding and filling a gap costs besides looking at the items: about as much as looking at this many. */
const STEPS_PER_GAP = 24;

/** How well an item sits in a gap, best first; a later constant beats every earlier one. */
const LEAVES_A_USELESS_SLIT = 0;
const TOUCHES_ONE_WALL = 1;
const LEVEL_WITH_LOWER_WALL = 2;
const LEVEL_WITH_HIGHER_WALL = 3;
const FILLS_THE_GAP = 4;
const FILLS_AND_STAYS_BELOW = 5;
const FILLS_LEVEL_WITH_HIGHER_WALL = 6;
const FILLS_LEVEL_WITH_LOWER_WALL = 7;

/**
 * Fills a strip up to a ceiling, gap by gap from the lowest: of the items that fit, the one that sits best
 * goes in, and among equals the one that comes first in the given order. So a search over orders is a search
 * over packings. Keeps its own work arrays; one filler serves any number of fillings.
 */
export class StripFiller {
  private readonly items: readonly StripItem[];
  private readonly stripWidth: number;
  private readonly effort: Effort;
  private readonly skyline: Skyline;
  private readonly widths: Float64Array;
  private readonly heights: Float64Array;
  private readonly left: Int32Array;
  /** Of the newest filling: where each item lies; NaN where it was left out. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  unplacedArea = 0;

  constructor(items: readonly StripItem[], stripWidth: number, effort: Effort) {
    this.items = items;
    this.stripWidth = stripWidth;
    this.effort = effort;
    this.skyline = new Skyline(stripWidth, items.length);
    this.widths = Float64Array.from(items, (item) => item.width);
    this.heights = Float64Array.from(items, (item) => item.height);
    this.left = new Int32Array(items.length);
    this.x = new Float64Array(items.length);
    this.y = new Float64Array(items.length);
  }

  /** Returns the area of the items that found no place below the ceiling: 0 for a complete packing. */
  fill(order: Int32Array, ceiling: number): number {
    const { skyline, left } = this;
    skyline.reset(this.stripWidth);
    this.x.fill(Number.NaN);
    left.set(order);
    let count = order.length;
    let narrowest = this.narrowestOf(count);
    while (count > 0) {
      const step = skyline.lowest();
      if (skyline.level[step]! >= ceiling - LENGTH_TOLERANCE_MM) break;
      const at = this.bestFor(step, count, ceiling, narrowest);
      if (at < 0) {
        skyline.giveUp(step, ceiling);
        continue;
      }
      const item = left[at]!;
      this.layItem(item, step, ceiling);
      left.copyWithin(at, at + 1, count);
      count--;
      if (this.widths[item]! <= narrowest) narrowest = this.narrowestOf(count);
    }
    this.unplacedArea = 0;
    for (let i = 0; i < count; i++) this.unplacedArea += this.widths[left[i]!]! * this.heights[left[i]!]!;
    return this.unplacedArea;
  }

  places(): StripPlace[] {
    return this.items.map((_, index) => ({ x: this.x[index]!, y: this.y[index]! }));
  }

  height(): number {
    return this.items.reduce((height, item, index) => Math.max(height, this.y[index]! + item.height), 0);
  }

  private bestFor(step: number, count: number, ceiling: number, narrowest: number): number {
    const { skyline, left, widths, heights } = this;
    this.effort.left -= count + STEPS_PER_GAP;
    const gap = skyline.width[step]!;
    if (narrowest > gap + LENGTH_TOLERANCE_MM) return -1;
    const room = ceiling - skyline.level[step]!;
    const leftWall = skyline.leftWall(step, ceiling);
    const rightWall = skyline.rightWall(step, ceiling);
    const higher = Math.max(leftWall, rightWall);
    const lower = Math.min(leftWall, rightWall);
    let best = -1;
    let bestFit = -1;
    for (let i = 0; i < count; i++) {
      const item = left[i]!;
      const rest = gap - widths[item]!;
      const height = heights[item]!;
      if (rest < -LENGTH_TOLERANCE_MM || height > room + LENGTH_TOLERANCE_MM) continue;
      const fit = fitOf(rest, height, higher, lower, narrowest);
      if (fit <= bestFit) continue;
      best = i;
      bestFit = fit;
      if (fit === FILLS_LEVEL_WITH_LOWER_WALL) break;
    }
    return best;
  }

  private layItem(item: number, step: number, ceiling: number): void {
    const { skyline } = this;
    const height = this.heights[item]!;
    const leftWall = skyline.leftWall(step, ceiling);
    const rightWall = skyline.rightWall(step, ceiling);
    const atRight =
      Math.abs(height - rightWall) <= LENGTH_TOLERANCE_MM ||
      (rightWall > leftWall && Math.abs(height - leftWall) > LENGTH_TOLERANCE_MM);
    this.y[item] = skyline.level[step]!;
    this.x[item] = skyline.x[step]! + (atRight ? skyline.width[step]! - this.widths[item]! : 0);
    skyline.lay(step, this.widths[item]!, height, atRight);
  }

  private narrowestOf(count: number): number {
    let narrowest = Number.POSITIVE_INFINITY;
    for (let i = 0; i < count; i++) narrowest = Math.min(narrowest, this.widths[this.left[i]!]!);
    return narrowest;
  }
}

function fitOf(rest: number, height: number, higher: number, lower: number, narrowest: number): number {
  const isLevelWithLower = Math.abs(height - lower) <= LENGTH_TOLERANCE_MM;
  const isLevelWithHigher = Math.abs(height - higher) <= LENGTH_TOLERANCE_MM;
  if (rest <= LENGTH_TOLERANCE_MM) {
    if (isLevelWithLower) return FILLS_LEVEL_WITH_LOWER_WALL;
    if (isLevelWithHigher) return FILLS_LEVEL_WITH_HIGHER_WALL;
    return height < lower ? FILLS_AND_STAYS_BELOW : FILLS_THE_GAP;
  }
  if (rest < narrowest - LENGTH_TOLERANCE_MM) return LEAVES_A_USELESS_SLIT;
  if (isLevelWithHigher) return LEVEL_WITH_HIGHER_WALL;
  return isLevelWithLower ? LEVEL_WITH_LOWER_WALL : TOUCHES_ONE_WALL;
}
