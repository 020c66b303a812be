/**
 * Moves an archive to another place, for example from a folder to a shared one or back. Files are copied first, each by
 * its hash, then all rows in one transaction. After an interruption, start again: files already copied stay. The source
 * archive stays unchanged.
 */
import { rename, rm } from 'node:fs/promises';
import { dirname } from 'node:path';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { partialPath, sweepPartials, syncFolder } from '../files/atomic-write.ts';
import { errorMoved } from '../files/file-problem.ts';
import { makeFolder } from '../files/make-folder.ts';
import { jobCount, keptFiles } from './kept-files.ts';
import { isEmpty, moveRows } from './move-rows.ts';
import type { ArchiveProblem, Backup, CheckTools, KeptFile } from './port.ts';
import type { OpenedArchive } from './rooms.ts';
import type { FileVault } from './vault.ts';

export type OpenFolder = (folder: string) => Promise<Result<OpenedArchive, ArchiveProblem>>;

type Parts = Pick<OpenedArchive, 'store' | 'vault'>;

/** Thrown inside a transaction to undo all of it. */
class RowsDiffer extends Error {
  readonly problem: ArchiveProblem;

  constructor(tables: readonly string[]) {
    super('Rows differ.');
    this.problem = {
      code: 'archive-move-differs',
      message: `What came into the new archive is not what the other has (${tables.join(', ')}). Nothing was kept of it.`,
      remedy: 'Check both disks, and try again. The archive that was there is untouched.',
    };
  }
}

/** Both must be open; `to` must be empty except for files that an earlier try has copied to its vault. */
export async function moveArchive(
  from: Parts,
  to: Parts,
  tools: CheckTools,
): Promise<Result<Backup, ArchiveProblem>> {
  if (!(await to.store.read(isEmpty))) return resultProblem(notEmpty);
  try {
    return resultOk(
      await from.store.read(async (sql) => {
        const kept = await keptFiles(sql);
        const lost = await copyFiles(kept, from.vault, to.vault, tools);
        await to.store.write(async (target) => {
          const different = await moveRows(sql, target, tools);
          if (different.length > 0) throw new RowsDiffer(different);
        });
        return { jobs: await jobCount(sql), files: kept.length - lost.length, lost };
      }),
    );
  } catch (error) {
    if (error instanceof RowsDiffer) return resultProblem(error.problem);
    throw error;
  }
}

/** Returns the files that are missing or damaged in `from`. */
async function copyFiles(
  kept: readonly KeptFile[],
  from: FileVault,
  to: FileVault,
  { signal, report }: CheckTools,
): Promise<KeptFile[]> {
  const lost: KeptFile[] = [];
  for (const [done, file] of kept.entries()) {
    signal.throwIfAborted();
    const onShare = (share: number) =>
      report({ what: `Copying ${file.name}`, done: done + share, total: kept.length });
    onShare(0);
    if ((await to.state(file.sha256, { signal })) === 'sound') continue;
    if ((await from.state(file.sha256, { signal })) !== 'sound') lost.push(file);
    else await to.add(await from.path(file.sha256), { signal, onShare });
  }
  return lost;
}

/** Copies a shared archive to a folder that does not exist yet; the folder appears when the copy is complete. */
export async function copyToFolder(
  from: Parts,
  to: string,
  { open, ...tools }: CheckTools & { readonly open: OpenFolder },
): Promise<Result<Backup, ArchiveProblem>> {
  const parent = dirname(to);
  await makeFolder(parent);
  sweepPartials(parent);
  const partial = partialPath(to);
  try {
    const opened = await open(partial);
    if (!opened.ok) return opened;
    const moved = await moveArchive(from, opened.value, tools);
    await opened.value.archive.close();
    if (!moved.ok) return moved;
    await rename(partial, to);
    await syncFolder(parent);
    return moved;
  } catch (error) {
    throw errorMoved(error, partial, to);
  } finally {
    await rm(partial, { recursive: true, force: true });
  }
}

const notEmpty: ArchiveProblem = {
  code: 'archive-not-empty',
  message: 'The archive to move to holds jobs or rolls already.',
  remedy: 'Name an empty database, or a folder that is not there yet.',
};
