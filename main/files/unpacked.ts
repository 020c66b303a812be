import { once } from 'node:events';
import { createInflate } from 'node:zlib';

export const UNPACKED_CHUNK_BYTES = 1 << 18;
const UNPACKED_CHUNKS_AHEAD = 4;

/** Nothing may be buffered inside the stream, because an error would discard it. */
const UNPACKING = { chunkSize: UNPACKED_CHUNK_BYTES, readableHighWaterMark: 1 };

/**
 * Unpacks Flate a few chunks ahead. Damaged data end early; everything before the damage is always returned. Each piece
 * of the source must stay valid until the next is requested. Returns whether the data ended properly, with the right
 * checksum.
 */
export async function* unpacked(source: AsyncIterable<Uint8Array>): AsyncGenerator<Uint8Array, boolean> {
  const inflater = createInflate(UNPACKING);
  const chunks: Uint8Array[] = [];
  let ended: { readonly error?: unknown } | undefined;
  let wake = (): void => undefined;
  inflater.on('data', (chunk: Uint8Array) => {
    chunks.push(chunk);
    if (chunks.length >= UNPACKED_CHUNKS_AHEAD) inflater.pause();
    wake();
  });
  const end = (error?: unknown): void => {
    ended ??= { error };
    wake();
  };
  inflater.on('end', () => end());
  inflater.on('error', end);
  const closed = once(inflater, 'close').catch(() => undefined);
  const feed = async (): Promise<void> => {
    for await (const piece of source) {
      const consumed = new Promise((resolve) => inflater.write(piece, resolve));
      await Promise.race([consumed, closed]);
      if (inflater.destroyed || inflater.writableEnded) return;
    }
    inflater.end();
  };
  feed().catch((error: unknown) => {
    inflater.destroy(error instanceof Error ? error : new Error(String(error)));
  });
  try {
    for (;;) {
      const chunk = chunks.shift();
      if (chunk) {
        inflater.resume();
        yield chunk;
      } else if (ended) {
        if (ended.error !== undefined && !isDamage(ended.error)) throw ended.error;
        return ended.error === undefined;
      } else {
        await new Promise<void>((resolve) => {
          wake = resolve;
        });
      }
    }
  } finally {
    inflater.destroy();
  }
}

/**
 * The same for a caller that is finished with a piece when it requests the next. The memory of a piece is freed at
 * once, because the garbage collector would wait until there is much, and then scan all the memory of the thread.
 */
export async function* unpackedInPassing(source: AsyncIterable<Uint8Array>): AsyncGenerator<Uint8Array> {
  for await (const piece of unpacked(source)) {
    yield piece;
    giveBack(piece);
  }
}

/** Only a piece that fills its buffer to the end, because more data may be unpacked into the rest of another buffer. */
function giveBack({ buffer, byteOffset, byteLength }: Uint8Array): void {
  if (buffer instanceof ArrayBuffer && byteOffset + byteLength === buffer.byteLength) buffer.transfer(0);
}

const isDamage = (error: unknown): boolean =>
  error instanceof Error && 'code' in error && String(error.code).startsWith('Z_');
