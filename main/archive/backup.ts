/**
 * A copy of the archive while it is in use. The database comes first, in one consistent state; then
 * every file that this state names. The vault only ever gains files, and gains them before the database names them, so
 * all of them are there.
 */
import { rename, rm } from 'node:fs/promises';
import { basename, dirname } from 'node:path';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { partialPath, sweepPartials, syncFolder } from '../files/atomic-write.ts';
import { makeFolder } from '../files/make-folder.ts';
import { databasePath, openDatabase } from './database.ts';
import { jobCount, keptFiles } from './kept-files.ts';
import type { ArchiveProblem, Backup, CheckTools, KeptFile, Vault } from './port.ts';
import type { Store } from './store.ts';
import { FileVault, vaultFolder } from './vault.ts';

export async function copyArchive(
  store: Store,
  vault: Vault,
  to: string,
  tools: CheckTools,
): Promise<Result<Backup, ArchiveProblem>> {
  const parent = dirname(to);
  await makeFolder(parent);
  sweepPartials(parent, basename(to));
  const partial = partialPath(to);
  try {
    await makeFolder(partial);
    tools.report({ what: 'Copying the database', done: 0, total: 1 });
    await store.copyTo(databasePath(partial));
    const opened = openDatabase(databasePath(partial));
    if (!opened.ok) return opened;
    const { db } = opened.value;
    try {
      const [jobs, kept] = [jobCount(db), keptFiles(db)];
      const lost = await copyFiles(vault, new FileVault(vaultFolder(partial)), kept, tools);
      db.close();
      await syncFolder(partial);
      await rename(partial, to);
      await syncFolder(parent);
      return resultOk({ jobs, files: kept.length - lost.length, lost });
    } finally {
      db.close();
    }
  } finally {
    await rm(partial, { recursive: true, force: true });
  }
}

async function copyFiles(
  from: Vault,
  to: Vault,
  kept: readonly KeptFile[],
  { signal, report }: CheckTools,
): Promise<KeptFile[]> {
  const lost: KeptFile[] = [];
  for (const [index, file] of kept.entries()) {
    signal.throwIfAborted();
    report({ what: `Copying ${file.name}`, done: index, total: kept.length });
    if ((await from.state(file.sha256)) === 'sound') await to.add(await from.path(file.sha256));
    else lost.push(file);
  }
  return lost;
}
