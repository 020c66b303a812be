/** What this program's host gives to the reading of PDFs: compression, ciphers, and files on disk. */
import { createCipheriv, createDecipheriv, createHash } from 'node:crypto';
import { type FileHandle, open } from 'node:fs/promises';
import { constants, createInflate, createInflateRaw, inflate } from 'node:zlib';
import type { ByteSource } from '../../core/pdf/file/byte-source.ts';
import type { PdfCodecs } from '../../core/pdf/file/codecs.ts';

export const pdfCodecs: PdfCodecs = {
  inflate: (bytes, limit) =>
    new Promise((resolve, reject) => {
      inflate(bytes, { maxOutputLength: limit, finishFlush: constants.Z_SYNC_FLUSH }, (error, out) => {
        if (error === null) resolve(out);
        else if ('code' in error && error.code === 'ERR_BUFFER_TOO_LARGE') reject(error);
        else inflateWhatThereIs(bytes, limit).then(resolve, reject);
      });
    }),
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

/** Everything up to the damage; without the zlib header where that is what is damaged. */
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

/** A file on disk, open for reading until it is closed. */
export interface PdfSource extends ByteSource {
  close(): Promise<void>;
}

/** Opens a file for random access. The file must not change while it is open. */
export async function pdfSourceOpen(path: string): Promise<PdfSource> {
  const handle: FileHandle = await open(path, 'r');
  const { size } = await handle.stat();
  return {
    size,
    async read(offset, length) {
      const bytes = new Uint8Array(Math.max(0, Math.min(length, size - offset)));
      let done = 0;
      while (done < bytes.length) {
        const { bytesRead } = await handle.read(bytes, done, bytes.length - done, offset + done);
        if (bytesRead === 0) break;
        done += bytesRead;
      }
      return bytes.subarray(0, done);
    },
    close: () => handle.close(),
  };
}
