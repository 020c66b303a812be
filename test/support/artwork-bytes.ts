import type { Result } from '../../core/measure/result.ts';
import { type Artwork, type ArtworkOptions, artworkFromSource } from '../../core/pdf/document/artwork.ts';
import type { ByteSource } from '../../core/pdf/file/byte-source.ts';
import type { ArtworkProblem } from '../../core/pdf/page/artwork-problem.ts';

export function byteSourceFromBytes(bytes: Uint8Array): ByteSource {
  return {
    size: bytes.length,
    read: async (offset, length) => bytes.subarray(offset, Math.min(bytes.length, offset + length)),
  };
}

/** Artwork from bytes in memory, which are kept, not copied. */
export const artworkFromBytes = (
  bytes: Uint8Array,
  options: ArtworkOptions,
): Promise<Result<Artwork, ArtworkProblem>> => artworkFromSource(byteSourceFromBytes(bytes), options);
