import { open } from 'node:fs/promises';
import { join } from 'node:path';
import type { Job } from '../../core/job/schema.ts';
import { firstOf } from '../../core/measure/present.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { fileNameStem } from '../../core/output/file-name.ts';
import { jobFolderIn, placeNumbered } from '../files/job-folder.ts';
import { stageTogether } from '../files/staged-folder.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { ActParts } from './service-parts.ts';

export interface DesignerFindingsOrder {
  readonly job: Job;
  readonly artwork: ArtworkAt;
  readonly to: string;
}

export interface WrittenFindings {
  readonly folder: string;
  /** With their folder. */
  readonly files: readonly string[];
  readonly count: number;
  readonly remarks: readonly string[];
}

/** Writes what the designer is asked to mend into a folder of its own: a report, and a copy of the artwork with remarks. */
export async function writeDesignerFindings(
  { archive, work, now }: Pick<ActParts, 'archive' | 'work' | 'now'>,
  { job, artwork, to }: DesignerFindingsOrder,
  tools: TaskTools,
): Promise<Result<WrittenFindings>> {
  const jobFolder = await jobFolderIn(to, job);
  if (!jobFolder.ok) return jobFolder;
  const request = { job, artwork, at: now(), archiveFolder: archive.folder };
  const report = await work.run('designerReport', request, tools);
  if (!report.ok) return report;
  const { bytes, appended, findings, remarks } = report.value;
  const stem = fileNameStem(job.number);
  const names = [`${stem}_findings.pdf`];
  const staged = await stageTogether(jobFolder.value, async (folder) => {
    await folder.write(firstOf(names), bytes);
    if (appended && findings.length > 0) {
      const name = `${stem}_artwork-with-findings.pdf`;
      tools.report({ what: 'Copying the artwork', done: 0, total: 1 });
      await folder.copy(name, artwork.path, tools.signal);
      const file = await open(folder.stagedPath(name), 'a');
      try {
        await file.writeFile(appended);
        await file.sync();
      } finally {
        await file.close();
      }
      names.push(name);
    }
    return resultOk(folder.path);
  });
  if (!staged.ok) return staged;
  const placed = await placeNumbered(staged.value, 'findings');
  if (!placed.ok) return placed;
  const folder = placed.value;
  return resultOk({
    folder,
    files: names.map((name) => join(folder, name)),
    count: findings.length,
    remarks,
  });
}
