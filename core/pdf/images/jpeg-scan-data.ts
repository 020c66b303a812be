/**
 * The entropy-coded data of a scan, stuffing and restart markers included: all of them, or those at hand while
 * others are still to come.
 */
export class ScanData {
  bytes: Uint8Array;
  /** What is not read yet is from `next` to `end` in `bytes`. */
  next: number;
  end: number;
  /** Whether nothing comes after `end`. */
  isComplete: boolean;

  constructor(bytes: Uint8Array, start: number, end: number, isComplete = true) {
    this.bytes = bytes;
    this.next = start;
    this.end = end;
    this.isComplete = isComplete;
  }

  get unread(): number {
    return this.end - this.next;
  }

  /** Puts a copy of `piece` behind what is at hand. What has been read makes room. */
  add(piece: Uint8Array): void {
    const { unread } = this;
    if (this.end + piece.length > this.bytes.length) {
      const needed = unread + piece.length;
      const kept = this.bytes.subarray(this.next, this.end);
      if (needed > this.bytes.length) {
        this.bytes = new Uint8Array(2 * needed);
        this.bytes.set(kept);
      } else {
        this.bytes.copyWithin(0, this.next, this.end);
      }
      this.next = 0;
      this.end = unread;
    }
    this.bytes.set(piece, this.end);
    this.end += piece.length;
  }
}
