/**
 * One line of a bilevel image as its changing elements (T.4, 4.2.1.1): the places where the color flips,
 * rising, white being the color before the first. Changes at even places lead to black.
 *
 *     WWWBBWB, 7 wide  →  3 5 6        BBW  →  0 2        WWW  →  (none)
 *
 * Behind the last change stand sentinels at the line's width, so that readers may look ahead.
 */
export class ChangeLine {
  readonly width: number;
  readonly at: Int32Array;
  count = 0;

  constructor(width: number) {
    this.width = width;
    this.at = new Int32Array(width + SENTINELS).fill(width);
  }

  clear(): void {
    this.count = 0;
  }

  /** Adds a change. Two at one place are none: coders may write runs of no length. */
  add(place: number): void {
    if (place >= this.width) return;
    if (this.count > 0 && this.at[this.count - 1] === place) this.count--;
    else this.at[this.count++] = place;
  }

  /** To be called after the last change. */
  close(): void {
    this.at.fill(this.width, this.count, this.count + SENTINELS);
  }

  /** Sets this line to the columns of another that begin at `left`. */
  cutFrom(line: ChangeLine, left: number): void {
    const { at, count } = line;
    const right = left + this.width;
    let i = firstAbove(at, count, left);
    this.count = 0;
    // An odd number of changes up to the left edge: the cut begins in black.
    if ((i & 1) === 1) this.at[this.count++] = 0;
    for (; i < count && at[i]! < right; i++) this.at[this.count++] = at[i]! - left;
    this.close();
  }
}

const SENTINELS = 4;

/** Index of the first change that lies right of `place`, by halving. */
function firstAbove(at: Int32Array, count: number, place: number): number {
  let low = 0;
  let high = count;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (at[middle]! > place) high = middle;
    else low = middle + 1;
  }
  return low;
}
