/** The verification of what was just written; a doubt that comes later is for verify-output.ts. */
import { join, posix } from 'node:path';
import type { Job } from '../../core/job/schema.ts';
import type { Result } from '../../core/measure/result.ts';
import {
  NOT_VERIFIED,
  type OutputVerification,
  outputVerificationFromReport,
} from '../../core/verify/output-verification.ts';
import type { VerificationReport } from '../../core/verify/verification-report.ts';
import type { Archive, ArchivedOutput } from '../archive/port.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { ActParts } from './service-parts.ts';

export interface Written {
  readonly job: Job;
  /** A problem where it is lost. */
  readonly artwork: Result<ArtworkAt>;
  readonly folder: string;
  /** Panels that were to be written; absent: all. */
  readonly panelIds?: readonly string[] | undefined;
}

/** An output stays, whatever its verification says, and one that could not be made to its end says why. */
export async function verifyWritten(
  { archive, work }: Pick<ActParts, 'work'> & { readonly archive: Archive | undefined },
  { job, artwork, folder, panelIds }: Written,
  kept: ArchivedOutput | undefined,
  tools: TaskTools,
): Promise<OutputVerification> {
  const result = artwork.ok
    ? await work.run(
        'verification',
        { job, artwork: artwork.value, folder, ...(panelIds && { panelIds }) },
        tools,
      )
    : artwork;
  return archive && kept ? await keepVerification(archive, kept, result) : verificationFromResult(result);
}

/**
 * Keeps the outcome with the output, and the pictures of differences in the vault: the folder may be gone when somebody
 * asks why an output was not released.
 */
export async function keepVerification(
  archive: Archive,
  { id, folder }: Pick<ArchivedOutput, 'id' | 'folder'>,
  result: Result<VerificationReport>,
): Promise<OutputVerification> {
  const verification = verificationFromResult(result);
  const report = result.ok ? result.value : undefined;
  for (const { differencePicture } of report?.sides.flatMap(({ panels }) => panels) ?? []) {
    if (differencePicture !== undefined)
      await archive.vault.add(join(folder, ...differencePicture.split(posix.sep)));
  }
  await archive.outputs.keepVerification(id, verification, report);
  return verification;
}

function verificationFromResult(result: Result<VerificationReport>): OutputVerification {
  if (result.ok) return outputVerificationFromReport(result.value);
  return {
    ...NOT_VERIFIED,
    sentences: [`The output was not verified. ${result.problem.message} ${result.problem.remedy}`],
  };
}
