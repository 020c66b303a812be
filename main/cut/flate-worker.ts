/**
 * Runs on a Flate thread; see flate-thread.ts for the other end. Bytes are exchanged in shared memory that the other
 * end provides and reuses. Unpacking creates garbage: collecting it is cheap in a thread that holds nothing else, but
 * took a third of the time of a cut in a process with a whole document.
 */
import { parentPort } from 'node:worker_threads';
import { itemAt, present } from '../../core/measure/present.ts';
import { unpackedInPassing } from '../files/unpacked.ts';
import { AsyncQueue } from './async-queue.ts';
import type { FlateReply, FlateRequest } from './flate-thread.ts';
import { packSegment } from './segment.ts';

const port = present(parentPort, 'The thread that started this one');
const reply = (message: FlateReply): void => port.postMessage(message);
const streams = new Map<number, UnpackedStream>();

port.on('message', (request: FlateRequest) => {
  if (request.kind === 'pack') {
    const { bytes, checksum } = packSegment(request.segment, request.isLast, request.room);
    reply({ kind: 'packed', id: request.id, length: bytes.length, checksum });
  } else if (request.kind === 'unpack') {
    const stream = new UnpackedStream(request.id, request.outputs);
    streams.set(request.id, stream);
    void stream.run().finally(() => streams.delete(request.id));
  } else {
    streams.get(request.id)?.take(request);
  }
});

class UnpackedStream {
  readonly #id: number;
  readonly #outputs: readonly Uint8Array[];
  readonly #freeOutputs = new AsyncQueue<number | undefined>();
  readonly #input = new AsyncQueue<Uint8Array | undefined>();
  #isStopped = false;

  constructor(id: number, outputs: readonly Uint8Array[]) {
    this.#id = id;
    this.#outputs = outputs;
    for (const slot of outputs.keys()) this.#freeOutputs.push(slot);
  }

  take(request: Extract<FlateRequest, { kind: 'input' | 'input-end' | 'output-free' | 'stop' }>): void {
    if (request.kind === 'input') {
      this.#input.push(request.bytes);
    } else if (request.kind === 'input-end') this.#input.push(undefined);
    else if (request.kind === 'output-free') this.#freeOutputs.push(request.slot);
    else {
      this.#isStopped = true;
      this.#input.push(undefined);
      this.#freeOutputs.push(undefined);
    }
  }

  async run(): Promise<void> {
    const id = this.#id;
    try {
      for await (const bytes of unpackedInPassing(this.#pieces())) {
        const slot = await this.#freeOutputs.next();
        if (slot === undefined || this.#isStopped) break;
        itemAt(this.#outputs, slot).set(bytes);
        reply({ kind: 'output', id, slot, length: bytes.length });
      }
      reply({ kind: 'unpacked', id });
    } catch (error) {
      reply({ kind: 'failed', id, error });
    }
  }

  async *#pieces(): AsyncGenerator<Uint8Array> {
    for (let piece = await this.#input.next(); piece; piece = await this.#input.next()) {
      yield piece;
      reply({ kind: 'input-taken', id: this.#id });
    }
  }
}
