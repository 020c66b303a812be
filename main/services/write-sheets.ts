import { join } from 'node:path';
import type { Job } from '../../core/job/schema.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { isDrawnKind, type SheetKind } from '../../core/output/sheet-kind.ts';
import { writeFileAtomically } from '../files/atomic-write.ts';
import { tryFiles } from '../files/file-problem.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { ActParts } from './service-parts.ts';

export interface SheetsOrder {
  readonly job: Job;
  readonly artwork: ArtworkAt;
  /** Without panels there is no table of them: of all others. */
  readonly kinds: readonly SheetKind[];
  readonly folder: string;
}

/** Writes the papers of a job alone. */
export async function writeSheets(
  { archive, work }: Pick<ActParts, 'archive' | 'work'>,
  { job, artwork, kinds, folder }: SheetsOrder,
  tools: TaskTools,
): Promise<Result<{ readonly files: readonly string[]; readonly remarks: readonly string[] }>> {
  const request = { job, artwork, kinds: kinds.filter(isDrawnKind), archiveFolder: archive.folder };
  const drawn = await work.run('sheets', request, tools);
  if (!drawn.ok) return drawn;
  const { sheets, remarks } = drawn.value;
  return await tryFiles(folder, async () => {
    for (const { name, bytes } of sheets) await writeFileAtomically(join(folder, name), bytes);
    return resultOk({ files: sheets.map(({ name }) => join(folder, name)), remarks });
  });
}
