/** A verification of what lies in a folder, asked for by plain values. */
import { readFile } from 'node:fs/promises';
import { join, posix } from 'node:path';
import { jobFromJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import { manifestFromJson } from '../../core/output/manifest-json.ts';
import {
  NOT_VERIFIED,
  type OutputVerification,
  outputVerificationFromReport,
} from '../../core/verify/output-verification.ts';
import type { VerificationReport } from '../../core/verify/verification-report.ts';
import type { Archive, ArchivedOutput } from '../archive/port.ts';
import { artworkOpened, type OpenedArtwork } from '../artwork/artwork-file.ts';
import { MANIFEST_NAME } from '../files/staged-folder.ts';
import { jobKnown } from '../job/job-state.ts';
import { type VerificationTools, verifyOutput } from './output-verification.ts';

export interface FolderToVerify {
  readonly job: Job;
  readonly folder: string;
  /** Panels that were to be written; absent: all. */
  readonly panelIds?: readonly string[];
}

/** Problems: those of `manifestFromJson`, those of `verifyOutput`. */
export async function verifyFolder(
  { job, folder, panelIds }: FolderToVerify,
  artwork: OpenedArtwork,
  tools: VerificationTools,
): Promise<Result<VerificationReport>> {
  const text = await readFile(join(folder, MANIFEST_NAME), 'utf8').catch(() => undefined);
  const manifest = manifestFromJson(text, `in ${folder}`);
  if (!manifest.ok) return manifest;
  const state = jobKnown(job, artwork);
  return await verifyOutput(
    { manifest: manifest.value, folder, state, artwork, ...(panelIds && { panelIds: new Set(panelIds) }) },
    tools,
  );
}

/** Verifies an output of the archive where its files were written, and keeps the outcome. */
export async function verifyArchivedOutput(
  archive: Archive,
  output: ArchivedOutput,
  password: string | undefined,
  tools: VerificationTools,
): Promise<OutputVerification> {
  return await archiveVerification(
    archive,
    output,
    await verifyOutputFiles(archive, output, password, tools),
  );
}

/**
 * The same for an output that may have been verified before: where no verification can be made, what was said of it then stands.
 * Problems: those of `verifyFolder`, of the job and of the artwork.
 */
export async function verifyArchivedOutputAgain(
  archive: Archive,
  output: ArchivedOutput,
  password: string | undefined,
  tools: VerificationTools,
): Promise<Result<OutputVerification>> {
  const report = await verifyOutputFiles(archive, output, password, tools);
  return report.ok ? resultOk(await archiveVerification(archive, output, report)) : report;
}

async function verifyOutputFiles(
  archive: Archive,
  output: ArchivedOutput,
  password: string | undefined,
  tools: VerificationTools,
): Promise<Result<VerificationReport>> {
  const job = jobFromJson(output.document);
  if (!job.ok) return job;
  const opened = await archivedArtwork(archive, output, job.value, password);
  if (!opened.ok) return opened;
  const panelIds = output.files.flatMap((file) => file.panelId ?? []);
  return await verifyFolder({ job: job.value, folder: output.folder, panelIds }, opened.value, tools);
}

const archivedArtwork = async (
  archive: Archive,
  output: ArchivedOutput,
  job: Job,
  password: string | undefined,
) =>
  await artworkOpened(await archive.vault.path(output.artworkSha256), {
    box: job.artwork?.box ?? 'crop',
    fileName: job.artwork?.fileName ?? output.artworkSha256,
    ...(password !== undefined && { password }),
  });

/** What a verification came to; one that could not be made to its end verifies nothing, and says why. */
export function outputVerificationFromResult(result: Result<VerificationReport>): OutputVerification {
  if (result.ok) return outputVerificationFromReport(result.value);
  return {
    ...NOT_VERIFIED,
    sentences: [`The output was not verified. ${result.problem.message} ${result.problem.remedy}`],
  };
}

/**
 * Keeps the outcome of a verification with its output, and the pictures of differences in the vault: the folder may be gone when
 * somebody asks why an output was not released.
 */
export async function archiveVerification(
  archive: Archive,
  { id, folder }: Pick<ArchivedOutput, 'id' | 'folder'>,
  result: Result<VerificationReport>,
): Promise<OutputVerification> {
  const verification = outputVerificationFromResult(result);
  const report = result.ok ? result.value : undefined;
  for (const { differencePicture } of report?.sides.flatMap(({ panels }) => panels) ?? []) {
    if (differencePicture !== undefined)
      await archive.vault.add(join(folder, ...differencePicture.split(posix.sep)));
  }
  await archive.outputs.keepVerification(id, verification, report);
  return verification;
}
