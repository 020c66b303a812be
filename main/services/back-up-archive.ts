import { existsSync } from 'node:fs';
import { type Result, resultProblem } from '../../core/measure/result.ts';
import type { Archive, Backup } from '../archive/port.ts';
import { tryFiles } from '../files/file-problem.ts';
import type { TaskTools } from '../tasks/task-tools.ts';

/** Copies the archive, which may be in use, to a folder that does not exist yet. */
export async function backUpArchive(archive: Archive, to: string, tools: TaskTools): Promise<Result<Backup>> {
  if (existsSync(to)) {
    return resultProblem({
      code: 'file-exists',
      message: `${to} is there already.`,
      remedy: 'Select a new name for the backup.',
    });
  }
  return await tryFiles(to, () => archive.checks.backUp(to, tools));
}
