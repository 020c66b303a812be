import { forgetOldest } from '../../measure/oldest.ts';

/**
 * Where the bytes of an artwork come from. A file of 2 GB is never held in memory: it is read in small windows, and the
 * blocks used last are kept, because the objects of a page are close together.
 */
export interface ByteSource {
  /** Length in bytes. */
  readonly size: number;
  /**
   * Reads `length` bytes from `offset`, or fewer where the source ends first. They may be read into `memory`, which is
   * at least as long. Rejects when the disk fails.
   */
  read(offset: number, length: number, memory?: Uint8Array): Promise<Uint8Array>;
}

/** Bytes read at once for small requests: large enough for dozens of objects, small compared with any image. */
export const BLOCK_BYTES = 64 * 1024;
const BLOCKS_KEPT = 64;

/**
 * The same source with its last blocks cached (4 MB at most). Requests longer than a block go straight to the source
 * and are not cached: they are image data, which is read once.
 */
export function byteSourceCached(source: ByteSource): ByteSource {
  const blocks = new Map<number, Promise<Uint8Array>>();

  function block(index: number): Promise<Uint8Array> {
    const known = blocks.get(index);
    if (known !== undefined) {
      // Re-inserting moves the block to the recent end of the map.
      blocks.delete(index);
      blocks.set(index, known);
      return known;
    }
    const read = source.read(index * BLOCK_BYTES, BLOCK_BYTES);
    blocks.set(index, read);
    read.catch(() => blocks.delete(index));
    if (blocks.size > BLOCKS_KEPT) forgetOldest(blocks);
    return read;
  }

  async function read(offset: number, length: number, memory?: Uint8Array): Promise<Uint8Array> {
    const start = Math.max(0, Math.min(offset, source.size));
    const end = Math.min(source.size, start + length);
    if (end - start > BLOCK_BYTES) return source.read(start, end - start, memory);
    const first = Math.floor(start / BLOCK_BYTES);
    const origin = first * BLOCK_BYTES;
    const head = await block(first);
    if (end <= origin + BLOCK_BYTES) return head.subarray(start - origin, end - origin);
    const tail = await block(first + 1);
    const joined = new Uint8Array(end - start);
    joined.set(head.subarray(start - origin), 0);
    joined.set(tail.subarray(0, end - origin - BLOCK_BYTES), origin + BLOCK_BYTES - start);
    return joined;
  }

  return { size: source.size, read };
}
