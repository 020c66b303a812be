/** A thread that packs segments and unpacks streams. Requests are queued in it; an error in it fails all of them. */
import { Worker } from 'node:worker_threads';
import { itemAt } from '../../core/measure/present.ts';
import { moduleBeside } from '../files/module-beside.ts';
import { UNPACKED_CHUNK_BYTES } from '../files/unpacked.ts';
import { AsyncQueue } from './async-queue.ts';

/** Bytes are sent in shared memory. */
export type FlateRequest =
  | {
      readonly kind: 'pack';
      readonly id: number;
      readonly segment: Uint8Array;
      readonly room: Uint8Array;
      readonly isLast: boolean;
    }
  | { readonly kind: 'unpack'; readonly id: number; readonly outputs: readonly Uint8Array[] }
  | { readonly kind: 'input'; readonly id: number; readonly bytes: Uint8Array }
  | { readonly kind: 'input-end' | 'stop'; readonly id: number }
  | { readonly kind: 'output-free'; readonly id: number; readonly slot: number };

export type FlateReply =
  | { readonly kind: 'packed'; readonly id: number; readonly length: number; readonly checksum: number }
  | { readonly kind: 'input-taken' | 'unpacked'; readonly id: number }
  | { readonly kind: 'output'; readonly id: number; readonly slot: number; readonly length: number }
  | { readonly kind: 'failed'; readonly id: number; readonly error: unknown };

type Packed = Extract<FlateReply, { kind: 'packed' }>;

const OUTPUTS = 4;
/** One input is unpacked while the next is read. */
const INPUTS = 2;

export class FlateThread {
  readonly #worker: Worker;
  readonly #replies = new Map<number, (reply: FlateReply) => void>();
  /** Memory of ended streams, for reuse. */
  readonly #outputs: (readonly Uint8Array[])[] = [];
  readonly #inputs: (readonly Uint8Array[])[] = [];
  #lastId = 0;
  #failure: { readonly error: unknown } | undefined;

  constructor() {
    // Unpacking drops much memory, which is freed only when the collector clears young objects. A small young
    // generation makes it do so often.
    const worker = new Worker(moduleBeside(import.meta.url, './flate-worker'), {
      resourceLimits: { maxYoungGenerationSizeMb: 1 },
    });
    worker.on('message', (reply: FlateReply) => this.#replies.get(reply.id)?.(reply));
    worker.on('error', (error) => this.#failAll(error));
    worker.on('exit', () => this.#failAll(new Error('A thread that packs data ended.')));
    this.#worker = worker;
    this.#keepAlive();
  }

  /** The number of requests in progress. */
  get load(): number {
    return this.#replies.size;
  }

  get isBroken(): boolean {
    return this.#failure !== undefined;
  }

  close(): Promise<number> {
    return this.#worker.terminate();
  }

  /** Packs `segment` into `room`, both in shared memory. */
  pack(segment: Uint8Array, room: Uint8Array, isLast: boolean): Promise<Packed> {
    return new Promise((resolve, reject) => {
      const id = this.#begin((reply) => {
        this.#end(id);
        if (reply.kind === 'packed') resolve(reply);
        else reject(reply.kind === 'failed' ? reply.error : new Error(`Not a packed segment: ${reply.kind}`));
      });
      this.#send({ kind: 'pack', id, segment, room, isLast });
    });
  }

  /** Unpacks Flate as `unpacked` does. Each piece is valid until the next is requested. */
  async *unpack(source: AsyncIterable<Uint8Array>): AsyncGenerator<Uint8Array> {
    const outputs = this.#outputs.pop() ?? sharedChunks(OUTPUTS);
    const replies = new AsyncQueue<FlateReply>();
    const taken = new AsyncQueue<unknown>();
    const id = this.#begin((reply) => {
      if (reply.kind === 'input-taken') {
        taken.push(undefined);
        return;
      }
      if (reply.kind !== 'output') {
        this.#end(id);
        // Reuse is safe only now that the thread no longer writes to them.
        this.#outputs.push(outputs);
        taken.push(undefined);
      }
      replies.push(reply);
    });
    this.#send({ kind: 'unpack', id, outputs });
    const fed = this.#feed(id, source, taken).catch((error: unknown) => {
      replies.push({ kind: 'failed', id, error });
    });
    try {
      for (let reply = await replies.next(); reply.kind !== 'unpacked'; reply = await replies.next()) {
        if (reply.kind === 'failed') throw reply.error;
        if (reply.kind !== 'output') continue;
        yield itemAt(outputs, reply.slot).subarray(0, reply.length);
        this.#send({ kind: 'output-free', id, slot: reply.slot });
      }
    } finally {
      if (this.#replies.has(id)) this.#send({ kind: 'stop', id });
      await fed;
    }
  }

  /** Sends the source to the thread until the thread needs no more. */
  async #feed(id: number, source: AsyncIterable<Uint8Array>, taken: AsyncQueue<unknown>): Promise<void> {
    const inputs = this.#inputs.pop() ?? sharedChunks(INPUTS);
    let sent = 0;
    try {
      for await (const piece of source) {
        for (let at = 0; at < piece.length; at += UNPACKED_CHUNK_BYTES) {
          const part = piece.subarray(at, at + UNPACKED_CHUNK_BYTES);
          if (sent >= INPUTS) await taken.next();
          if (!this.#replies.has(id)) return;
          const memory = itemAt(inputs, sent++ % INPUTS);
          memory.set(part);
          this.#send({ kind: 'input', id, bytes: memory.subarray(0, part.length) });
        }
      }
      this.#send({ kind: 'input-end', id });
    } finally {
      this.#inputs.push(inputs);
    }
  }

  #begin(hear: (reply: FlateReply) => void): number {
    this.#lastId += 1;
    this.#replies.set(this.#lastId, hear);
    this.#keepAlive();
    return this.#lastId;
  }

  #end(id: number): void {
    this.#replies.delete(id);
    this.#keepAlive();
  }

  /** A thread with work keeps the program running; an idle one does not. */
  #keepAlive(): void {
    if (this.#replies.size > 0) this.#worker.ref();
    else this.#worker.unref();
  }

  #send(request: FlateRequest): void {
    if (this.#failure) this.#replies.get(request.id)?.({ kind: 'failed', id: request.id, ...this.#failure });
    else this.#worker.postMessage(request);
  }

  #failAll(error: unknown): void {
    this.#failure ??= { error };
    for (const [id, hear] of [...this.#replies]) hear({ kind: 'failed', id, error });
  }
}

const sharedChunks = (count: number): Uint8Array[] =>
  Array.from({ length: count }, () => shared(UNPACKED_CHUNK_BYTES));

export const shared = (length: number): Uint8Array<SharedArrayBuffer> =>
  new Uint8Array(new SharedArrayBuffer(length));
