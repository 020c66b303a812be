import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';

/** SHA-256 (FIPS 180-4) as lower-case hexadecimal. */
export const sha256Hex = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');

export const sha256Bytes = (bytes: Uint8Array): Uint8Array => createHash('sha256').update(bytes).digest();

export interface HashedSize {
  readonly sha256: string;
  readonly sizeBytes: number;
}

/** Hashes a file without holding it in memory. */
export async function hashFile(path: string, signal?: AbortSignal): Promise<HashedSize> {
  const hash = createHash('sha256');
  let sizeBytes = 0;
  const stream = createReadStream(path, { highWaterMark: 1 << 20, ...(signal && { signal }) });
  for await (const chunk of stream as AsyncIterable<Buffer>) {
    hash.update(chunk);
    sizeBytes += chunk.length;
  }
  return { sha256: hash.digest('hex'), sizeBytes };
}
