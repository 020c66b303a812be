/** This host's tools for reading PDFs: compression, ciphers, and files on disk. */
import { createCipheriv, createDecipheriv, createHash } from 'node:crypto';
import type { Stats } from 'node:fs';
import { type FileHandle, open } from 'node:fs/promises';
import { constants, createInflate, createInflateRaw, inflate } from 'node:zlib';
import type { ByteSource } from '../../core/pdf/file/byte-source.ts';
import type { PdfCodecs } from '../../core/pdf/file/codecs.ts';
import { fileVersion } from './file-version.ts';
import { unpacked } from './unpacked.ts';

export const pdfCodecs: PdfCodecs = {
  inflate: (bytes, limit) =>
    new Promise((resolve, reject) => {
      inflate(bytes, { maxOutputLength: limit, finishFlush: constants.Z_SYNC_FLUSH }, (error, out) => {
        if (error === null) resolve(out);
        else if ('code' in error && error.code === 'ERR_BUFFER_TOO_LARGE') reject(error);
        else inflateWhatThereIs(bytes, limit).then(resolve, reject);
      });
    }),
  inflatePieces: unpacked,
  hash: (algorithm, bytes) => createHash(algorithm).update(bytes).digest(),
  aesCbc: (direction, key, iv, blocks) => {
    const cipher = (direction === 'encrypt' ? createCipheriv : createDecipheriv)(
      `aes-${key.length * 8}-cbc`,
      key,
      iv,
    );
    cipher.setAutoPadding(false);
    return Buffer.concat([cipher.update(blocks), cipher.final()]);
  },
};

/** Everything before the damage; if the zlib header itself is damaged, reads without it. */
async function inflateWhatThereIs(bytes: Uint8Array, limit: number): Promise<Uint8Array> {
  const attempts = [() => createInflate(), () => createInflateRaw()];
  let best: Uint8Array = new Uint8Array();
  for (const [i, create] of attempts.entries()) {
    const out = await partial(create(), i === 0 ? bytes : bytes.subarray(2), limit);
    if (out.length > best.length) best = out;
  }
  return best;
}

function partial(
  stream: ReturnType<typeof createInflate>,
  bytes: Uint8Array,
  limit: number,
): Promise<Uint8Array> {
  return new Promise((resolve, reject) => {
    const parts: Buffer[] = [];
    let length = 0;
    stream.on('data', (part: Buffer) => {
      parts.push(part);
      length += part.length;
      if (length > limit) {
        stream.destroy();
        reject(new RangeError('more than the limit'));
      }
    });
    stream.on('end', () => resolve(Buffer.concat(parts)));
    stream.on('error', () => resolve(Buffer.concat(parts)));
    stream.end(bytes);
  });
}

/** After this time without a read the file is closed; the next read opens it again. */
const IDLE_MS = 2000;

/**
 * A file on disk for random access. It is open only during reads, so callers need not close it and it does not block
 * other programs. If the file has changed when it is reopened, reading fails with code FILE_CHANGED.
 */
export async function openPdfSource(path: string): Promise<ByteSource> {
  const file = new IdleFile(path);
  const size = await file.use(async (_, found) => found.size);
  return {
    size,
    read: (offset, length, memory) =>
      file.use(async (handle) => {
        const wanted = Math.max(0, Math.min(length, size - offset));
        const bytes = memory ? memory.subarray(0, wanted) : new Uint8Array(wanted);
        let done = 0;
        while (done < bytes.length) {
          const { bytesRead } = await handle.read(bytes, done, bytes.length - done, offset + done);
          if (bytesRead === 0) break;
          done += bytesRead;
        }
        return bytes.subarray(0, done);
      }),
  };
}

interface OpenFile {
  readonly handle: FileHandle;
  readonly found: Stats;
}

class IdleFile {
  readonly #path: string;
  /** Of the file when it was first opened. */
  #first: string | undefined;
  #open: Promise<OpenFile> | undefined;
  #users = 0;
  #timer: NodeJS.Timeout | undefined;

  constructor(path: string) {
    this.#path = path;
  }

  async use<T>(read: (handle: FileHandle, found: Stats) => Promise<T>): Promise<T> {
    this.#users += 1;
    try {
      this.#open ??= this.openOnce();
      const { handle, found } = await this.#open;
      return await read(handle, found);
    } finally {
      this.#users -= 1;
      if (this.#timer) this.#timer.refresh();
      else this.#timer = setTimeout(() => this.#closeIdle(), IDLE_MS).unref();
    }
  }

  async openOnce(): Promise<OpenFile> {
    try {
      const handle = await open(this.#path, 'r');
      const found = await handle.stat();
      const version = fileVersion(this.#path, found);
      this.#first ??= version;
      if (version === this.#first) return { handle, found };
      await handle.close();
    } catch (error) {
      this.#open = undefined;
      throw error;
    }
    this.#open = undefined;
    throw Object.assign(new Error(`${this.#path} changed while it was in use.`), { code: 'FILE_CHANGED' });
  }

  #closeIdle(): void {
    if (this.#users > 0) {
      this.#timer?.refresh();
      return;
    }
    this.#timer = undefined;
    const open = this.#open;
    this.#open = undefined;
    open?.then(({ handle }) => handle.close()).catch(() => undefined);
  }
}
