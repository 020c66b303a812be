import { once } from 'node:events';
import { Readable } from 'node:stream';
import { createDeflate, createInflate } from 'node:zlib';
import type { ByteSink, FlateCodec } from '../../../../core/pdf/file/byte-stream.ts';

/** node:zlib behind the port of core. */
export const nodeFlate: FlateCodec = {
  async *inflate(source) {
    const inflater = createInflate({ chunkSize: 1 << 16 });
    const input = Readable.from(source);
    input.on('error', (error) => inflater.destroy(error));
    try {
      for await (const chunk of input.pipe(inflater)) yield chunk as Uint8Array;
    } catch (error) {
      if (!(error instanceof Error && 'code' in error && String(error.code).startsWith('Z_'))) throw error;
    } finally {
      input.destroy();
    }
  },
  deflate(into) {
    const deflater = createDeflate({ chunkSize: 1 << 16 });
    const output = (async () => {
      for await (const chunk of deflater) await into.write(chunk as Uint8Array);
      await into.end();
    })();
    output.catch(() => undefined);
    return {
      async write(bytes) {
        if (!deflater.write(bytes.slice())) await Promise.race([once(deflater, 'drain'), output]);
      },
      async end() {
        deflater.end();
        await output;
      },
    };
  },
};

/** A sink that keeps what it gets. */
export class KeptBytes implements ByteSink {
  readonly chunks: Uint8Array[] = [];
  isEnded = false;

  write(bytes: Uint8Array): void {
    if (this.isEnded) throw new Error('A byte came after the end.');
    this.chunks.push(bytes.slice());
  }

  end(): void {
    this.isEnded = true;
  }

  get bytes(): Uint8Array {
    return new Uint8Array(Buffer.concat(this.chunks));
  }
}

/** The bytes in pieces of `size`, to meet every boundary. */
export async function* inPieces(bytes: Uint8Array, size: number): AsyncIterable<Uint8Array> {
  for (let at = 0; at < bytes.length; at += size) yield bytes.slice(at, at + size);
}
