/** Copies the files of a vault to one that is not in use yet; each is hashed while it is copied. */
import { access, link, mkdir, rm } from 'node:fs/promises';
import { dirname } from 'node:path';
import { syncFolder } from '../files/atomic-write.ts';
import { copyHashed } from '../files/hashed-copy.ts';
import { makeFolder, PRIVATE_FOLDER } from '../files/make-folder.ts';
import { hashFile } from '../files/sha256.ts';
import type { CheckTools, KeptFile, Vault } from './port.ts';
import { FileVault } from './vault.ts';

/** A disk writes and syncs this many files in about the time of one. */
const FILES_AT_ONCE = 6;

interface VaultCopy {
  readonly from: Vault;
  /** Folder of the new vault, which does not exist yet. */
  readonly to: string;
  /**
   * An earlier copy on the same disk. Files that it has are linked instead of copied, because files of a vault never
   * change. They are still read, so that damage does not spread from one copy to the next.
   */
  readonly earlier: FileVault | undefined;
}

/** Returns the files that are missing or damaged in `from`; the copy does not have them. */
export async function copyVaultFiles(
  kept: readonly KeptFile[],
  { from, to, earlier }: VaultCopy,
  { signal, report }: CheckTools,
): Promise<KeptFile[]> {
  const vault = new FileVault(to);
  await makeFolder(to, PRIVATE_FOLDER);
  const lost = new Set<KeptFile>();
  const folders = new Set([to]);
  let done = 0;
  /** The finished share of each file that is being copied. */
  const shares = new Map<KeptFile, number>();
  const ending = new AbortController();
  const tools = { signal: AbortSignal.any([signal, ending.signal]) };
  const queue = kept.values();
  const copyFiles = async () => {
    for (const file of queue) {
      tools.signal.throwIfAborted();
      const tell = (share: number) => {
        shares.set(file, share);
        const begun = [...shares.values()].reduce((sum, each) => sum + each, 0);
        report({ what: `Copying ${file.name}`, done: done + begun, total: kept.length });
      };
      tell(0);
      const target = await vault.path(file.sha256);
      folders.add(dirname(target));
      await mkdir(dirname(target), { recursive: true, mode: PRIVATE_FOLDER });
      const isThere = earlier && (await isLinked(file, await earlier.path(file.sha256), target, tools));
      const source = await from.path(file.sha256);
      if (!isThere && !(await isCopied(file, source, target, { ...tools, tell }))) lost.add(file);
      shares.delete(file);
      done += 1;
    }
  };
  const ends = await Promise.allSettled(
    Array.from({ length: FILES_AT_ONCE }, async () => {
      try {
        await copyFiles();
      } catch (error) {
        ending.abort(error);
        throw error;
      }
    }),
  );
  // All copying has stopped by now, so nothing writes to the copy while it is removed.
  tools.signal.throwIfAborted();
  for (const end of ends) if (end.status === 'rejected') throw end.reason;
  for (const folder of folders) await syncFolder(folder);
  return kept.filter((file) => lost.has(file));
}

interface CopyTools {
  readonly signal: AbortSignal;
  readonly tell: (share: number) => void;
}

/** False where there is no sound earlier copy, or the disk does not support links. */
async function isLinked(
  { sha256 }: KeptFile,
  earlier: string,
  target: string,
  { signal }: Pick<CopyTools, 'signal'>,
): Promise<boolean> {
  const found = await hashFile(earlier, { signal }).catch(() => undefined);
  if (found?.sha256 !== sha256) return false;
  return await link(earlier, target).then(
    () => true,
    () => false,
  );
}

/** False where the content is missing or has another hash. */
async function isCopied(
  { sha256 }: KeptFile,
  source: string,
  target: string,
  { signal, tell }: CopyTools,
): Promise<boolean> {
  const isThere = await access(source).then(
    () => true,
    () => false,
  );
  if (!isThere) return false;
  const copied = await copyHashed(source, target, { signal, onShare: tell });
  if (copied.sha256 === sha256) return true;
  await rm(target, { force: true });
  return false;
}
