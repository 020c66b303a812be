import { join } from 'node:path';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { jobFolderIn, placeNumbered } from '../files/job-folder.ts';
import { stageTogether } from '../files/staged-folder.ts';
import type { GuideRequest } from '../tasks/panel-guides.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { ActParts } from './service-parts.ts';

export interface WrittenGuide {
  readonly folder: string;
  readonly scale: number;
  /** With their folder. */
  readonly files: readonly string[];
  readonly remarks: readonly string[];
}

/** Writes the panel guides of a job into a folder of their own, below `to`. */
export async function writeGuide(
  { work }: Pick<ActParts, 'work'>,
  { to, ...request }: GuideRequest & { readonly to: string },
  tools: TaskTools,
): Promise<Result<WrittenGuide>> {
  const jobFolder = await jobFolderIn(to, request.job);
  if (!jobFolder.ok) return jobFolder;
  const drawn = await work.run('guide', request, tools);
  if (!drawn.ok) return drawn;
  const { scale, files, remarks } = drawn.value;
  const staged = await stageTogether(jobFolder.value, async (folder) => {
    for (const { name, bytes } of files) await folder.write(name, bytes);
    return resultOk(folder.path);
  });
  if (!staged.ok) return staged;
  const placed = await placeNumbered(staged.value, 'guide');
  if (!placed.ok) return placed;
  const folder = placed.value;
  return resultOk({ folder, scale, files: files.map(({ name }) => join(folder, name)), remarks });
}
