import { join } from 'node:path';
import type { Job } from '../../core/job/schema.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { isDrawnKind, type SheetKind } from '../../core/output/sheet-kind.ts';
import { jobFolderIn, placeNumbered } from '../files/job-folder.ts';
import { stageTogether } from '../files/staged-folder.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { ActParts } from './service-parts.ts';
import { shopLogo } from './shop-logo.ts';

export interface SheetsOrder {
  readonly job: Job;
  /** Absent only where every kind can do without. */
  readonly artwork: ArtworkAt | undefined;
  /** Without panels there is no table of them: of all others. */
  readonly kinds: readonly SheetKind[];
  /** The folder of the job is made in it; see main/files/job-folder.ts. */
  readonly to: string;
}

/** Writes the papers of a job alone, to a folder of their own. */
export async function writeSheets(
  { archive, work }: Pick<ActParts, 'archive' | 'work'>,
  { job, artwork, kinds, to }: SheetsOrder,
  tools: TaskTools,
): Promise<Result<{ readonly files: readonly string[]; readonly remarks: readonly string[] }>> {
  const jobFolder = await jobFolderIn(to, job);
  if (!jobFolder.ok) return jobFolder;
  const request = {
    job,
    kinds: kinds.filter(isDrawnKind),
    archiveFolder: archive.folder,
    logo: await shopLogo(archive),
    ...(artwork && { artwork }),
  };
  const drawn = await work.run('sheets', request, tools);
  if (!drawn.ok) return drawn;
  const { sheets, remarks } = drawn.value;
  const staged = await stageTogether(jobFolder.value, async (folder) => {
    for (const { name, bytes } of sheets) await folder.write(name, bytes);
    return resultOk(folder.path);
  });
  if (!staged.ok) return staged;
  const placed = await placeNumbered(staged.value, 'sheets');
  if (!placed.ok) return placed;
  const folder = placed.value;
  return resultOk({ files: sheets.map(({ name }) => join(folder, name)), remarks });
}
