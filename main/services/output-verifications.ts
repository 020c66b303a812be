/** The verification of an output: made, made again, and shown in full with its pictures. */
import { readFile } from 'node:fs/promises';
import type { ContractReply } from '../../core/contract/contract.ts';
import { jobFromJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import type { OutputVerification } from '../../core/verify/output-verification.ts';
import type { VerificationReport } from '../../core/verify/verification-report.ts';
import type { Archive, ArchivedOutput } from '../archive/port.ts';
import type { AskContext } from '../contract/handlers.ts';
import { pngSize } from '../render/png.ts';
import { archiveVerification } from '../verify/verification-task.ts';
import { artworkAt, artworkInVault } from './artwork-in-vault.ts';
import type { ServiceParts } from './service-parts.ts';

type VerificationParts = Pick<ServiceParts, 'archive' | 'pictures' | 'work'>;

/** Verifies the files of an output where they lie, and keeps what came of it. An output stays, whatever its verification says. */
export async function verifyWrittenOutput(
  parts: VerificationParts,
  output: ArchivedOutput,
  job: Job,
  panelIds: readonly string[] | undefined,
  context: AskContext,
): Promise<ArchivedOutput> {
  const report = await verifyOutputFiles(parts, output, job, panelIds, context);
  return { ...output, verification: await archiveVerification(parts.archive, output, report) };
}

/** Where no verification can be made this time, the earlier one stands and the problem is told. */
export async function verifyOutputAgain(
  parts: VerificationParts,
  outputId: number,
  context: AskContext,
): Promise<Result<OutputVerification>> {
  const output = await parts.archive.outputs.find(outputId);
  if (!output.ok) return output;
  const job = jobFromJson(output.value.document);
  if (!job.ok) return job;
  const panelIds = output.value.files.flatMap((file) => file.panelId ?? []);
  const report = await verifyOutputFiles(parts, output.value, job.value, panelIds, context);
  return report.ok ? resultOk(await archiveVerification(parts.archive, output.value, report)) : report;
}

async function verifyOutputFiles(
  { archive, pictures, work }: VerificationParts,
  { folder, artworkSha256 }: ArchivedOutput,
  job: Job,
  panelIds: readonly string[] | undefined,
  context: AskContext,
): Promise<Result<VerificationReport>> {
  // The artwork that the output was cut from, whatever the job has now.
  const reference = { ...job.artwork!, sha256: artworkSha256 };
  const path = await artworkInVault(archive, reference);
  if (!path.ok) return path;
  const artwork = artworkAt(path.value, reference, pictures);
  return await work.run('verification', { job, artwork, folder, ...(panelIds && { panelIds }) }, context);
}

export async function outputVerificationReport(
  archive: Archive,
  outputId: number,
): Promise<Result<ContractReply<'output:verification'>>> {
  const output = await archive.outputs.find(outputId);
  return output.ok ? resultOk((await archive.outputs.verificationReport(outputId)) ?? null) : output;
}

/** The picture of a panel's difference, as it was kept when the output was verified. */
export async function verificationPicture(
  archive: Archive,
  outputId: number,
  panelLabel: string,
): Promise<Result<ContractReply<'output:difference'>>> {
  const output = await archive.outputs.find(outputId);
  if (!output.ok) return output;
  const report = await archive.outputs.verificationReport(outputId);
  const panels = report?.sides.flatMap((side) => side.panels) ?? [];
  const sha256 = panels.find(({ label }) => label === panelLabel)?.differencePictureSha256;
  if (sha256 === undefined || (await archive.vault.state(sha256)) !== 'sound') return resultOk(null);
  const png = new Uint8Array(await readFile(await archive.vault.path(sha256)));
  const { width, height } = pngSize(png);
  return resultOk({ png, widthPx: width, heightPx: height });
}
