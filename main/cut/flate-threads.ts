/** The threads that pack and unpack for all cuts of this process, and the memory that they share with it. */
import { availableParallelism } from 'node:os';
import { FlateThread, shared } from './flate-thread.ts';
import { JobLimit } from './job-limit.ts';
import { type PackedSegment, packedRoom, SEGMENT_BYTES } from './segment.ts';

/** More would cost memory for threads that the disk cannot feed. */
const MAX_PACKERS = 4;
const PACKERS = Math.min(MAX_PACKERS, availableParallelism());
/** Segments in work or waiting: the segments of panels side by side are full at the same time. */
const MAX_JOBS = 4 * PACKERS;
/** After this time without work the threads end and their memory is freed. */
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

  /** Starts the threads ahead of work that will need them: each takes a while. */
  start(): void {
    this.#unpacker ??= new FlateThread();
    while (this.#packers.length < PACKERS) this.#packers.push(new FlateThread());
    this.#rest();
  }

  /** Memory for a segment, to be given back through `pack`. */
  segment(): Shared {
    return this.#segments.pop() ?? shared(SEGMENT_BYTES);
  }

  /**
   * Waits until there is room for one more segment, then has its first `length` bytes packed. What comes out is
   * handed to `use`, whose memory it is until `use` has ended, then the segment's is free again too.
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

  /** Undoes Flate. Each piece lives until the next is asked for. */
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
