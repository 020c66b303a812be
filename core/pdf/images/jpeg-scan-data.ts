/**
 * The entropy-coded data of a scan, including stuffing and restart markers: either all of them, or those read so far.
 */
export class ScanData {
  bytes: Uint8Array;
  /** The unread bytes are `next` to `end` in `bytes`. */
  next: number;
  end: number;
  /** Whether nothing follows `end`. */
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

  /** Appends a copy of `piece`. Bytes already read are dropped to make room. */
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
