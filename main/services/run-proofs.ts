/** The proof of a run: made, made again, and shown in full with its pictures. */
import { readFile } from 'node:fs/promises';
import type { ContractReply } from '../../core/contract/contract.ts';
import { jobFromJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import { type Result, resultOk } from '../../core/measure/result.ts';
import type { ProofReport } from '../../core/verify/proof-report.ts';
import type { RunProof } from '../../core/verify/run-proof.ts';
import type { Archive, Run } from '../archive/archive.ts';
import type { AskContext } from '../contract/handlers.ts';
import { pngSize } from '../render/png.ts';
import { proofArchived } from '../verify/proof-task.ts';
import { artworkAt, artworkInVault } from './artwork-in-vault.ts';
import type { ServiceParts } from './service-parts.ts';

type ProofParts = Pick<ServiceParts, 'archive' | 'pictures' | 'work'>;

/** Proves the files of a run where they lie, and keeps what came of it. A run stays, whatever its proof says. */
export async function runProved(
  parts: ProofParts,
  run: Run,
  job: Job,
  panelIds: readonly string[] | undefined,
  context: AskContext,
): Promise<Run> {
  const report = await runFilesProved(parts, run, job, panelIds, context);
  return { ...run, proof: await proofArchived(parts.archive, run, report) };
}

/** Where no proof can be made this time, the earlier one stands and the problem is told. */
export async function runProvedAgain(
  parts: ProofParts,
  runId: number,
  context: AskContext,
): Promise<Result<RunProof>> {
  const run = parts.archive.run(runId);
  if (!run.ok) return run;
  const job = jobFromJson(run.value.document);
  if (!job.ok) return job;
  const panelIds = run.value.files.flatMap((file) => file.panelId ?? []);
  const report = await runFilesProved(parts, run.value, job.value, panelIds, context);
  return report.ok ? resultOk(await proofArchived(parts.archive, run.value, report)) : report;
}

async function runFilesProved(
  { archive, pictures, work }: ProofParts,
  { folder, artworkSha256 }: Run,
  job: Job,
  panelIds: readonly string[] | undefined,
  context: AskContext,
): Promise<Result<ProofReport>> {
  // The artwork that the run was cut from, whatever the job has now.
  const reference = { ...job.artwork!, sha256: artworkSha256 };
  const path = await artworkInVault(archive, reference);
  if (!path.ok) return path;
  const artwork = artworkAt(path.value, reference, pictures);
  return await work.run('proof', { job, artwork, folder, ...(panelIds && { panelIds }) }, context);
}

export function runProofReport(archive: Archive, runId: number): Result<ContractReply<'run:proof'>> {
  const run = archive.run(runId);
  return run.ok ? resultOk(archive.proofReport(runId) ?? null) : run;
}

/** The picture of a panel's difference, as it was kept when the run was proved. */
export async function proofPicture(
  archive: Archive,
  runId: number,
  panelLabel: string,
): Promise<Result<ContractReply<'run:difference'>>> {
  const run = archive.run(runId);
  if (!run.ok) return run;
  const panels = archive.proofReport(runId)?.sides.flatMap((side) => side.panels) ?? [];
  const sha256 = panels.find(({ label }) => label === panelLabel)?.differencePictureSha256;
  if (sha256 === undefined || (await archive.vault.state(sha256)) !== 'sound') return resultOk(null);
  const png = new Uint8Array(await readFile(archive.vault.path(sha256)));
  const { width, height } = pngSize(png);
  return resultOk({ png, widthPx: width, heightPx: height });
}
