import { jobFromJson } from '../../core/job/job-json.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import type { OutputVerification } from '../../core/verify/output-verification.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import { artworkInVault } from './artwork-in-vault.ts';
import type { ActParts } from './service-parts.ts';
import { keepVerification } from './verify-written.ts';

/**
 * Verifies the files of a kept output where they lie, as often as anybody doubts them. Where that cannot be done this
 * time, the earlier outcome stands and the problem is returned.
 */
export async function verifyOutput(
  { archive, work }: Pick<ActParts, 'archive' | 'work'>,
  outputId: number,
  passwordOf: (artworkSha256: string) => string | undefined,
  tools: TaskTools,
): Promise<Result<OutputVerification>> {
  const output = await archive.outputs.find(outputId);
  if (!output.ok) return output;
  const { document, artworkSha256, folder, files } = output.value;
  const job = jobFromJson(document);
  if (!job.ok) return job;
  // The artwork that the output was cut from, whatever the job has now.
  const reference = { ...job.value.artwork!, sha256: artworkSha256 };
  const artwork = await artworkInVault(archive, reference, passwordOf(artworkSha256));
  if (!artwork.ok) return artwork;
  const panelIds = files.flatMap((file) => file.panelId ?? []);
  const written = { job: job.value, artwork: artwork.value, folder, panelIds };
  const report = await work.run('verification', written, tools);
  return report.ok ? resultOk(await keepVerification(archive, output.value, report)) : report;
}
