import { type Result, resultProblem } from '../../core/measure/result.ts';
import { openWithStore } from './archive.ts';
import { isPostgresPlace } from './archive-folder.ts';
import { moveArchive } from './move-archive.ts';
import type { ArchiveProblem, Backup, CheckTools } from './port.ts';

/** Opens both archives and moves one into the other. */
export async function moveBetween(
  from: string,
  to: string,
  tools: CheckTools,
): Promise<Result<Backup, ArchiveProblem>> {
  if (!isPostgresPlace(from) && !isPostgresPlace(to)) return resultProblem(bothInFolders);
  const source = await openWithStore(from);
  if (!source.ok) return source;
  try {
    const target = await openWithStore(to, { beginsBesideFiles: true });
    if (!target.ok) return target;
    try {
      return await moveArchive(source.value, target.value, tools);
    } finally {
      await target.value.archive.close();
    }
  } finally {
    await source.value.archive.close();
  }
}

const bothInFolders: ArchiveProblem = {
  code: 'archive-not-empty',
  message: 'Both archives lie in folders.',
  remedy: 'Copy the one with: panelwright archive-backup. The copy is an archive itself.',
};
