/** The threads that pack and unpack for all cuts of this process, and the memory shared with them. */
import { availableParallelism } from 'node:os';
import { FlateThread, shared } from './flate-thread.ts';
import { JobLimit } from './job-limit.ts';
import { type PackedSegment, packedRoom, SEGMENT_BYTES } from './segment.ts';

/** More threads would take memory, but the disk could not supply them. */
const MAX_PACKERS = 4;
const PACKERS = Math.min(MAX_PACKERS, availableParallelism());
/** Segments in progress or waiting. The segments of panels written side by side fill up at the same time. */
const MAX_JOBS = 4 * PACKERS;
/** After this time without work, the threads end and their memory is freed. */
const IDLE_MS = 5000;

/** Memory of segments. */
type Shared = Uint8Array<SharedArrayBuffer>;

export class FlateThreads {
  readonly #jobs = new JobLimit(MAX_JOBS);
  #packers: FlateThread[] = [];
  #unpacker: FlateThread | undefined;
  #segments: Shared[] = [];
  #rooms: Shared[] = [];
  #timer: NodeJS.Timeout | undefined;

  /** Starts the threads before the work that needs them, because each takes a while to start. */
  start(): void {
    this.#unpacker ??= new FlateThread();
    while (this.#packers.length < PACKERS) this.#packers.push(new FlateThread());
    this.#rest();
  }

  /** Memory for a segment; `pack` takes it back. */
  segment(): Shared {
    return this.#segments.pop() ?? shared(SEGMENT_BYTES);
  }

  /**
   * Waits until there is room for one more segment, then packs its first `length` bytes. The result is passed to `use`,
   * which owns its memory until it has finished; then the segment's memory is free again too.
   */
  async pack(
    segment: Shared,
    length: number,
    isLast: boolean,
    use: (packed: Promise<PackedSegment>) => Promise<void>,
  ): Promise<void> {
    await this.#jobs.begin();
    const room = this.#rooms.pop() ?? shared(packedRoom(SEGMENT_BYTES));
    const packing = this.#leasePacker()
      .pack(segment.subarray(0, length), room, isLast)
      .then((reply) => ({ bytes: room.subarray(0, reply.length), checksum: reply.checksum }))
      .finally(() => this.#segments.push(segment));
    void use(packing).finally(() => {
      this.#rooms.push(room);
      this.#jobs.end();
      this.#rest();
    });
  }

  /** Unpacks Flate. Each piece is valid until the next is requested. */
  async *unpack(source: AsyncIterable<Uint8Array>): AsyncGenerator<Uint8Array> {
    if (this.#unpacker === undefined || this.#unpacker.isBroken) this.#unpacker = new FlateThread();
    try {
      yield* this.#unpacker.unpack(source);
    } finally {
      this.#rest();
    }
  }

  #leasePacker(): FlateThread {
    this.#packers = this.#packers.filter((thread) => !thread.isBroken);
    const idle = this.#packers.find((thread) => thread.load === 0);
    if (idle) return idle;
    if (this.#packers.length === PACKERS) return this.#packers.reduce((a, b) => (b.load < a.load ? b : a));
    const thread = new FlateThread();
    this.#packers.push(thread);
    return thread;
  }

  #rest(): void {
    if (this.#timer) this.#timer.refresh();
    else this.#timer = setTimeout(() => this.#endIdle(), IDLE_MS).unref();
  }

  #endIdle(): void {
    const threads = [...this.#packers, ...(this.#unpacker ? [this.#unpacker] : [])];
    if (threads.some(({ load }) => load > 0)) {
      this.#timer?.refresh();
      return;
    }
    this.#packers = [];
    this.#unpacker = undefined;
    this.#segments = [];
    this.#rooms = [];
    this.#timer = undefined;
    for (const thread of threads) void thread.close();
  }
}
