import { createHash } from 'node:crypto';
import { type FileHandle, open } from 'node:fs/promises';
import { type HashedSize, hashFile } from './sha256.ts';

/** One file of an output while it is written; it is hashed at the same time. */
export class StagedFile {
  readonly #path: string;
  readonly #handle: FileHandle;
  readonly #hash = createHash('sha256');
  #length = 0;
  /** Set when bytes that were already hashed were taken back. */
  #isHashStale = false;
  #isClosed = false;

  private constructor(path: string, handle: FileHandle) {
    this.#path = path;
    this.#handle = handle;
  }

  /** Fails where a file with that name exists. */
  static async begin(path: string): Promise<StagedFile> {
    return new StagedFile(path, await open(path, 'wx'));
  }

  async write(bytes: Uint8Array): Promise<void> {
    this.#hash.update(bytes);
    for (let done = 0; done < bytes.length; ) {
      const { bytesWritten } = await this.#handle.write(
        bytes,
        done,
        bytes.length - done,
        this.#length + done,
      );
      done += bytesWritten;
    }
    this.#length += bytes.length;
  }

  /** Discards everything after the first `length` bytes. */
  async rewind(length: number): Promise<void> {
    await this.#handle.truncate(length);
    this.#length = length;
    this.#isHashStale = true;
  }

  /** Makes the file durable. */
  async finish(): Promise<HashedSize> {
    await this.#handle.sync();
    if (this.#isHashStale) return hashFile(this.#path);
    return { sha256: this.#hash.digest('hex'), sizeBytes: this.#length };
  }

  async close(): Promise<void> {
    if (this.#isClosed) return;
    this.#isClosed = true;
    await this.#handle.close();
  }
}
