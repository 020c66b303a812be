/** Copies and hashes a file in one pass, so that the hash is that of the copy even if the source changes meanwhile. */
import { createHash } from 'node:crypto';
import { constants } from 'node:fs';
import { chmod, copyFile, type FileHandle, open } from 'node:fs/promises';
import { PRIVATE_FILE } from './make-folder.ts';
import { type HashedSize, type HashingTools, hashFile, piecesOf } from './sha256.ts';

/**
 * The copy is a new file that only its user may read, and is synced when this resolves. The caller removes unfinished
 * copies.
 */
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

async function copyInto(to: FileHandle, source: string, tools: HashingTools): Promise<HashedSize> {
  const hash = createHash('sha256');
  let sizeBytes = 0;
  for await (const piece of piecesOf(source, tools)) {
    hash.update(piece);
    await to.writeFile(piece);
    sizeBytes += piece.length;
  }
  return { sha256: hash.digest('hex'), sizeBytes };
}

/** Some disks copy a file by sharing its content, which takes no time or space. */
async function isCloned(source: string, target: string): Promise<boolean> {
  const { COPYFILE_EXCL, COPYFILE_FICLONE_FORCE } = constants;
  const isCopied = await copyFile(source, target, COPYFILE_EXCL | COPYFILE_FICLONE_FORCE).then(
    () => true,
    () => false,
  );
  if (isCopied) await chmod(target, PRIVATE_FILE);
  return isCopied;
}
