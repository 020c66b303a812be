/** A file copied and hashed in one pass, so that the hash is that of the copy whatever becomes of the source meanwhile. */
import { createHash } from 'node:crypto';
import { constants } from 'node:fs';
import { chmod, copyFile, type FileHandle, open } from 'node:fs/promises';
import { PRIVATE_FILE } from './make-folder.ts';
import { type HashedSize, type HashingTools, hashFile, shareOf } from './sha256.ts';

const CHUNK_BYTES = 1 << 20;

/** The copy is new, its user's alone, and on the disk once this resolves. Unfinished copies are left to the caller. */
export async function copyHashed(
  source: string,
  target: string,
  tools: HashingTools = {},
): Promise<HashedSize> {
  const isThere = await isCloned(source, target);
  const to = await open(target, isThere ? 'r+' : 'wx', PRIVATE_FILE);
  try {
    const hashed = isThere ? await hashFile(target, tools) : await copyInto(to, source, tools);
    await to.sync();
    return hashed;
  } finally {
    await to.close();
  }
}

/** The next piece is read while one is hashed and written. */
async function copyInto(
  to: FileHandle,
  source: string,
  { signal, onShare }: HashingTools,
): Promise<HashedSize> {
  const hash = createHash('sha256');
  const from = await open(source, 'r');
  let sizeBytes = 0;
  try {
    const { size } = await from.stat();
    let [piece, next] = [Buffer.allocUnsafe(CHUNK_BYTES), Buffer.allocUnsafe(CHUNK_BYTES)];
    let { bytesRead } = await from.read(piece);
    while (bytesRead > 0) {
      signal?.throwIfAborted();
      const reading = from.read(next);
      const bytes = piece.subarray(0, bytesRead);
      hash.update(bytes);
      // The reading is waited for whatever comes of the writing, or its failure would have nobody to tell.
      const [written, read] = await Promise.allSettled([to.writeFile(bytes), reading]);
      if (written.status === 'rejected') throw written.reason;
      if (read.status === 'rejected') throw read.reason;
      sizeBytes += bytesRead;
      onShare?.(shareOf(sizeBytes, size));
      ({ bytesRead } = read.value);
      [piece, next] = [next, piece];
    }
  } finally {
    await from.close();
  }
  return { sha256: hash.digest('hex'), sizeBytes };
}

/** Some disks copy a file by noting that both share their content, which takes no time and no room. */
async function isCloned(source: string, target: string): Promise<boolean> {
  const { COPYFILE_EXCL, COPYFILE_FICLONE_FORCE } = constants;
  const isCopied = await copyFile(source, target, COPYFILE_EXCL | COPYFILE_FICLONE_FORCE).then(
    () => true,
    () => false,
  );
  if (isCopied) await chmod(target, PRIVATE_FILE);
  return isCopied;
}
