/**
 * zlib as WebAssembly, from a package in the lock file: it packs the same bytes on every machine and in every runtime.
 * The zlib in Node.js or Electron searches for repetitions in a way that depends on the processor, and may be any
 * version.
 */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Manifest } from '../../core/output/manifest.ts';

const require = createRequire(import.meta.url);

/** What zlib must do when all input is taken (its manual, `deflate`). */
const SYNC_FLUSH = 2;
const FINISH = 4;
/** Bits of the length in the result of `deflate_process`; the other bits are zlib's own return code. */
const LENGTH_BITS = 24;
const STREAM_END = 1;

/** The exports of the package's module that are used here. Numbers are addresses in its memory, and lengths. */
interface ZlibModule {
  readonly memory: { readonly buffer: ArrayBuffer };
  readonly _initialize: () => void;
  readonly malloc: (length: number) => number;
  readonly free: (at: number) => void;
  readonly deflate_new: () => number;
  readonly deflate_init_raw: (stream: number, level: number) => number;
  readonly deflate_process: (
    stream: number,
    input: number,
    inputLength: number,
    output: number,
    outputLength: number,
    flush: number,
  ) => number;
  readonly deflate_end: (stream: number) => number;
}

let started: Zlib | undefined;

/**
 * Packs `bytes` at a level of zlib into `room`, which must be large enough. Returns the length of the result: a stream
 * without head and checksum (RFC 1951) that ends, or continues after an empty stored block.
 */
export function deflateRaw(bytes: Uint8Array, level: number, isLast: boolean, room: Uint8Array): number {
  started ??= new Zlib();
  return started.deflateRaw(bytes, level, isLast, room);
}

/** For the manifest: the codec that packed a panel. */
export function packingCodec(): Manifest['codec'] {
  const { name, version } = require('zlib-streams/package.json') as Manifest['codec'];
  return { name, version };
}

class Zlib {
  readonly #module: ZlibModule;
  /** Memory of the module for input and output, reused for each call. */
  #input = 0;
  #output = 0;
  #inputLength = 0;
  #outputLength = 0;

  constructor() {
    const bytes = readFileSync(require.resolve('zlib-streams/zlib-streams.wasm'));
    const { exports } = new WebAssembly.Instance(new WebAssembly.Module(bytes));
    this.#module = exports as unknown as ZlibModule;
    this.#module._initialize();
  }

  deflateRaw(bytes: Uint8Array, level: number, isLast: boolean, room: Uint8Array): number {
    const { memory, deflate_new, deflate_init_raw, deflate_process, deflate_end } = this.#module;
    this.#makeRoom(bytes.length, room.length);
    const stream = deflate_new();
    const begun = deflate_init_raw(stream, level);
    if (stream === 0 || begun !== 0) throw new Error(`zlib could not begin at level ${level}: ${begun}`);
    new Uint8Array(memory.buffer).set(bytes, this.#input);
    const flush = isLast ? FINISH : SYNC_FLUSH;
    const result = deflate_process(stream, this.#input, bytes.length, this.#output, room.length, flush);
    deflate_end(stream);
    const length = result & ((1 << LENGTH_BITS) - 1);
    const code = result >> LENGTH_BITS;
    if (code !== (isLast ? STREAM_END : 0) || length >= room.length) {
      throw new Error(
        `zlib packed ${bytes.length} bytes into ${length} of ${room.length} and returned ${code}`,
      );
    }
    // Read again each time, because memory that has grown has another buffer.
    room.set(new Uint8Array(memory.buffer, this.#output, length));
    return length;
  }

  #makeRoom(inputLength: number, outputLength: number): void {
    const { malloc, free } = this.#module;
    if (inputLength > this.#inputLength) {
      free(this.#input);
      this.#input = malloc(inputLength);
      this.#inputLength = inputLength;
    }
    if (outputLength > this.#outputLength) {
      free(this.#output);
      this.#output = malloc(outputLength);
      this.#outputLength = outputLength;
    }
    if (this.#input === 0 || this.#output === 0) throw new RangeError('zlib has no memory left.');
  }
}
