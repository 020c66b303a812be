import { LENGTH_TOLERANCE_MM } from '../measure/units.ts';

/**
 * The upper outline of what already lies on a strip: steps from left to right, each with its left end, its
 * level and its width. Mutable and on flat arrays, because a search rebuilds it hundreds of thousands of times.
 *
 *     level ↑      ┌─────┐
 *           │──┐   │     └──
 *           │  └───┘ ← lowest step: the gap that is filled next
 */
export class Skyline {
  readonly x: Float64Array;
  readonly level: Float64Array;
  readonly width: Float64Array;
  count = 1;

  /** `capacity` is the largest number of items that may lie on it. */
  constructor(stripWidth: number, capacity: number) {
    this.x = new Float64Array(capacity + 2);
    this.level = new Float64Array(capacity + 2);
    this.width = new Float64Array(capacity + 2);
    this.reset(stripWidth);
  }

  reset(stripWidth: number): void {
    this.count = 1;
    this.x[0] = 0;
    this.level[0] = 0;
    this.width[0] = stripWidth;
  }

  /** The leftmost of the lowest steps. */
  lowest(): number {
    let best = 0;
    for (let step = 1; step < this.count; step++) if (this.level[step]! < this.level[best]!) best = step;
    return best;
  }

  /** How far the neighbours stand above a step; the strip's edges count as walls up to `ceiling`. */
  leftWall(step: number, ceiling: number): number {
    return (step === 0 ? ceiling : this.level[step - 1]!) - this.level[step]!;
  }

  rightWall(step: number, ceiling: number): number {
    return (step === this.count - 1 ? ceiling : this.level[step + 1]!) - this.level[step]!;
  }

  /** Lays an item on a step, at its left or right end. The item must fit the step's width. */
  lay(step: number, width: number, height: number, atRight: boolean): void {
    const rest = this.width[step]! - width;
    if (rest <= LENGTH_TOLERANCE_MM) {
      this.level[step]! += height;
      this.mergeAround(step);
      return;
    }
    this.insertBefore(step);
    const [laid, free] = atRight ? [step + 1, step] : [step, step + 1];
    const left = this.x[step + 1]!;
    const level = this.level[step + 1]!;
    this.x[step] = left;
    this.x[step + 1] = left + (atRight ? rest : width);
    this.width[laid] = width;
    this.width[free] = rest;
    this.level[laid] = level + height;
    this.level[free] = level;
    this.mergeAround(laid);
  }

  /** Gives up a step that nothing fits: its level rises to its lower neighbour. Returns the area lost. */
  giveUp(step: number, ceiling: number): number {
    const rise = Math.min(this.leftWall(step, ceiling), this.rightWall(step, ceiling));
    const lost = rise * this.width[step]!;
    this.level[step]! += rise;
    this.mergeAround(step);
    return lost;
  }

  private mergeAround(step: number): void {
    if (step + 1 < this.count && this.isLevelWithNext(step)) this.mergeWithNext(step);
    if (step > 0 && this.isLevelWithNext(step - 1)) this.mergeWithNext(step - 1);
  }

  private isLevelWithNext(step: number): boolean {
    return Math.abs(this.level[step]! - this.level[step + 1]!) <= LENGTH_TOLERANCE_MM;
  }

  private mergeWithNext(step: number): void {
    this.width[step]! += this.width[step + 1]!;
    this.level[step] = Math.max(this.level[step]!, this.level[step + 1]!);
    for (let i = step + 1; i < this.count - 1; i++) {
      this.x[i] = this.x[i + 1]!;
      this.level[i] = this.level[i + 1]!;
      this.width[i] = this.width[i + 1]!;
    }
    this.count--;
  }

  private insertBefore(step: number): void {
    for (let i = this.count; i > step; i--) {
      this.x[i] = this.x[i - 1]!;
      this.level[i] = this.level[i - 1]!;
      this.width[i] = this.width[i - 1]!;
    }
    this.count++;
  }
}
