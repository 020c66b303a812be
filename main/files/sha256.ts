import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { stat } from 'node:fs/promises';

/** SHA-256 (FIPS 180-4) as lower-case hexadecimal. */
export const sha256Hex = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');

export const sha256Bytes = (bytes: Uint8Array): Uint8Array => createHash('sha256').update(bytes).digest();

export interface HashedSize {
  readonly sha256: string;
  readonly sizeBytes: number;
}

export interface HashingTools {
  readonly signal?: AbortSignal | undefined;
  /** Hears how much of the file has been read, from 0 to 1. */
  readonly onShare?: ((share: number) => void) | undefined;
}

/** A file may grow while it is read. */
export const shareOf = (bytes: number, size: number): number => Math.min(1, bytes / Math.max(1, size));

/** Hashes a file without holding it in memory. */
export async function hashFile(path: string, { signal, onShare }: HashingTools = {}): Promise<HashedSize> {
  const hash = createHash('sha256');
  const { size } = await stat(path);
  let sizeBytes = 0;
  const stream = createReadStream(path, { highWaterMark: 1 << 20, ...(signal && { signal }) });
  for await (const chunk of stream as AsyncIterable<Buffer>) {
    hash.update(chunk);
    sizeBytes += chunk.length;
    onShare?.(shareOf(sizeBytes, size));
  }
  return { sha256: hash.digest('hex'), sizeBytes };
}
