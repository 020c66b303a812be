/** What the archive menu of the screens offers. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type { ContractReply } from '../../core/contract/contract.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { archiveFaults } from '../archive/archive-faults.ts';
import type { Archive, CheckTools } from '../archive/port.ts';
import { backUpArchive } from './back-up-archive.ts';

export async function checkArchive(
  archive: Archive,
  tools: CheckTools,
): Promise<Result<ContractReply<'archive:check'>>> {
  const report = await archive.checks.checkAll(tools);
  return resultOk({ jobs: report.jobs, files: report.files, faults: archiveFaults(report) });
}

/** Copies the archive into a new folder in the one given, which is named by the day. */
export async function backUpInto(
  archive: Archive,
  folder: string,
  today: string,
  tools: CheckTools,
): Promise<Result<ContractReply<'archive:back-up'>>> {
  const folderName = findFreeName(folder, `panelwright-backup-${today}`);
  const copied = await backUpArchive(archive, join(folder, folderName), tools);
  if (!copied.ok) return copied;
  const { jobs, files, lost } = copied.value;
  return resultOk({ folderName, jobs, files, lost: lost.map(({ name }) => name) });
}

function findFreeName(folder: string, stem: string): string {
  for (let n = 1; ; n++) {
    const name = n === 1 ? stem : `${stem}-${n}`;
    if (!existsSync(join(folder, name))) return name;
  }
}
