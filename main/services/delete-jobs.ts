/** What is deleted for good, after the user was asked: jobs with all that was printed of them, and files without a job. */
import type { ContractReply } from '../../core/contract/contract.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import type { Archive, Deleted } from '../archive/port.ts';

interface DeletionParts {
  readonly archive: Archive;
  readonly now: () => string;
  /** Pictures and figures that were kept of an artwork, for screens. */
  forget?(sha256: string): Promise<void>;
}

type Deletion = ContractReply<'job:delete'>;

export async function previewDeletion(
  archive: Archive,
  jobIds: readonly string[],
): Promise<Result<Deletion>> {
  const found = await archive.deletions.preview(jobIds);
  return found.ok ? resultOk(counted(found.value)) : found;
}

export async function deleteJobs(parts: DeletionParts, jobIds: readonly string[]): Promise<Result<Deletion>> {
  const deleted = await parts.archive.deletions.deleteJobs(jobIds, Date.parse(parts.now()));
  if (!deleted.ok) return deleted;
  await forgetAll(parts, deleted.value);
  return resultOk(counted(deleted.value));
}

export async function findUnusedFiles({ archive, now }: DeletionParts): Promise<Deletion> {
  return counted(await archive.deletions.unusedFiles(Date.parse(now())));
}

export async function cleanVault(parts: DeletionParts): Promise<Deletion> {
  const deleted = await parts.archive.deletions.removeUnusedFiles(Date.parse(parts.now()));
  await forgetAll(parts, deleted);
  return counted(deleted);
}

async function forgetAll({ forget }: DeletionParts, { sha256s }: Deleted): Promise<void> {
  for (const sha256 of sha256s) await forget?.(sha256);
}

const counted = ({ jobs, outputs, files, bytes }: Deleted): Deletion => ({ jobs, outputs, files, bytes });
