/**
 * A copy of the archive while it is in use. The database comes first, in one consistent state; then
 * every file that this state names. The vault only ever gains files, and gains them before the database names them, so
 * all of them are there. The copy is an archive itself: to restore it is to open it, or to move it to the old place.
 */
import { rename, rm } from 'node:fs/promises';
import { basename, dirname } from 'node:path';
import type { Progress } from '../../core/contract/contract.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { partialPath, partialsSwept, syncFolder } from '../files/atomic-write.ts';
import { folderMade } from '../files/folder-made.ts';
import { Archive, type KeptFile } from './archive.ts';
import type { ArchiveProblem } from './database.ts';

export interface Backup {
  readonly jobs: number;
  readonly files: number;
  /** Files that the archive itself has lost or holds damaged: the copy cannot have them either. */
  readonly lost: readonly KeptFile[];
}

/** Copies an archive to a folder that does not exist yet; it appears when it is whole. Rejects with the errors of files. */
export async function archiveCopied(
  archive: Archive,
  to: string,
  { signal, report }: { readonly signal: AbortSignal; readonly report: (progress: Progress) => void },
): Promise<Result<Backup, ArchiveProblem>> {
  const parent = dirname(to);
  await folderMade(parent);
  partialsSwept(parent, basename(to));
  const partial = partialPath(to);
  try {
    await folderMade(partial);
    report({ what: 'Copying the database', done: 0, total: 1 });
    await archive.backup(Archive.databasePath(partial));
    const opened = Archive.open(partial);
    if (!opened.ok) return opened;
    const copy = opened.value;
    try {
      const kept = copy.keptFiles();
      const lost = await filesCopied(archive, copy, kept, signal, report);
      const backup = { jobs: copy.jobCount(), files: kept.length - lost.length, lost };
      copy.close();
      await syncFolder(partial);
      await rename(partial, to);
      await syncFolder(parent);
      return resultOk(backup);
    } finally {
      copy.close();
    }
  } finally {
    await rm(partial, { recursive: true, force: true });
  }
}

async function filesCopied(
  from: Archive,
  to: Archive,
  kept: readonly KeptFile[],
  signal: AbortSignal,
  report: (progress: Progress) => void,
): Promise<KeptFile[]> {
  const lost: KeptFile[] = [];
  for (const [index, file] of kept.entries()) {
    signal.throwIfAborted();
    report({ what: `Copying ${file.name}`, done: index, total: kept.length });
    if ((await from.vault.state(file.sha256)) === 'sound')
      await to.vault.addFile(from.vault.path(file.sha256));
    else lost.push(file);
  }
  return lost;
}
