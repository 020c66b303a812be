import { createHash } from 'node:crypto';
import { open } from 'node:fs/promises';

/** SHA-256 (FIPS 180-4) as lower-case hexadecimal. */
export const sha256Hex = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');

export const sha256Bytes = (bytes: Uint8Array): Uint8Array => createHash('sha256').update(bytes).digest();

export interface HashedSize {
  readonly sha256: string;
  readonly sizeBytes: number;
}

export interface HashingTools {
  readonly signal?: AbortSignal | undefined;
  /** Called with the share of the file read so far, from 0 to 1. */
  readonly onShare?: ((share: number) => void) | undefined;
}

/** Limited to 1, because a file may grow while it is read. */
const shareOf = (bytes: number, size: number): number => Math.min(1, bytes / Math.max(1, size));

/** Hashes a file without holding it in memory. */
export async function hashFile(path: string, tools: HashingTools = {}): Promise<HashedSize> {
  const hash = createHash('sha256');
  let sizeBytes = 0;
  for await (const piece of piecesOf(path, tools)) {
    hash.update(piece);
    sizeBytes += piece.length;
  }
  return { sha256: hash.digest('hex'), sizeBytes };
}

/** A hash that other programs in a shop compare files by (RFC 1321); this program does not rely on it. */
export async function md5OfFile(path: string, signal: AbortSignal): Promise<string> {
  const hash = createHash('md5');
  for await (const piece of piecesOf(path, { signal })) hash.update(piece);
  return hash.digest('hex');
}

const PIECE_BYTES = 1 << 20;

/**
 * The content of a file, in order. A piece is valid until the next is requested; the next is read meanwhile. All pieces
 * share two buffers, because a new buffer for each would cost more than the hashing.
 */
export async function* piecesOf(
  path: string,
  { signal, onShare }: HashingTools = {},
): AsyncGenerator<Uint8Array> {
  const file = await open(path, 'r');
  let [piece, next] = [Buffer.allocUnsafe(PIECE_BYTES), Buffer.allocUnsafe(PIECE_BYTES)];
  let reading: Promise<{ readonly bytesRead: number }> | undefined;
  try {
    const { size } = await file.stat();
    let sizeBytes = 0;
    for (;;) {
      const { bytesRead } = await (reading ?? file.read(piece));
      if (bytesRead === 0) return;
      signal?.throwIfAborted();
      reading = file.read(next);
      // If the consumer of a piece fails first, the next piece is not used, and its error must not go unhandled.
      reading.catch(() => undefined);
      sizeBytes += bytesRead;
      yield piece.subarray(0, bytesRead);
      onShare?.(shareOf(sizeBytes, size));
      [piece, next] = [next, piece];
    }
  } finally {
    await reading?.catch(() => undefined);
    await file.close();
  }
}
