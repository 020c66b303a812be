/** A proof of what lies in a folder, asked for by plain values. */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { jobFromJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import { Manifest } from '../../core/manifest.ts';
import { type Result, resultProblem } from '../../core/measure/result.ts';
import type { ProofReport } from '../../core/proof/proof-report.ts';
import { NOT_PROVED, type RunProof, runProofFromReport } from '../../core/proof/run-proof.ts';
import type { Archive, Run } from '../archive/archive.ts';
import { MANIFEST_NAME } from '../files/staged-folder.ts';
import { artworkOpened, type OpenedArtwork } from '../services/artwork-file.ts';
import { jobState } from '../services/job-state.ts';
import { outputProved, type ProofTools } from './output-proof.ts';

export interface FolderToProve {
  readonly job: Job;
  readonly folder: string;
  /** Panels that were to be written; absent: all. */
  readonly panelIds?: readonly string[];
}

/** Problems: `manifest-unreadable`, those of `outputProved`. */
export async function folderProved(
  { job, folder, panelIds }: FolderToProve,
  artwork: OpenedArtwork,
  tools: ProofTools,
): Promise<Result<ProofReport>> {
  const manifest = await manifestRead(folder);
  if (!manifest) {
    return resultProblem({
      code: 'manifest-unreadable',
      message: `The manifest in ${folder} is missing or damaged, so nothing says what its panels should be.`,
      remedy: 'Cut the job again.',
    });
  }
  const state = jobState(job, artwork);
  return await outputProved(
    { manifest, folder, state, artwork, ...(panelIds && { panelIds: new Set(panelIds) }) },
    tools,
  );
}

async function manifestRead(folder: string): Promise<Manifest | undefined> {
  const text = await readFile(join(folder, MANIFEST_NAME), 'utf8').catch(() => undefined);
  if (text === undefined) return undefined;
  try {
    return Manifest.safeParse(JSON.parse(text)).data;
  } catch {
    return undefined;
  }
}

/** Proves a run of the archive where its files were written, and keeps the outcome. */
export async function archivedRunProved(
  archive: Archive,
  run: Run,
  password: string | undefined,
  tools: ProofTools,
): Promise<RunProof> {
  const job = jobFromJson(run.document);
  if (!job.ok) return proofArchived(archive, run.id, job);
  const opened = await archivedArtwork(archive, run, job.value, password);
  if (!opened.ok) return proofArchived(archive, run.id, opened);
  const panelIds = run.files.flatMap((file) => file.panelId ?? []);
  const report = await folderProved({ job: job.value, folder: run.folder, panelIds }, opened.value, tools);
  return proofArchived(archive, run.id, report);
}

const archivedArtwork = (archive: Archive, run: Run, job: Job, password: string | undefined) =>
  artworkOpened(archive.vault.path(run.artworkSha256), {
    box: job.artwork?.box ?? 'crop',
    fileName: job.artwork?.fileName ?? run.artworkSha256,
    ...(password !== undefined && { password }),
  });

/** What a proof came to; one that could not be made to its end proves nothing, and says why. */
export function runProofFromResult(result: Result<ProofReport>): RunProof {
  if (result.ok) return runProofFromReport(result.value);
  return {
    ...NOT_PROVED,
    sentences: [`The output was not proved. ${result.problem.message} ${result.problem.remedy}`],
  };
}

/** Keeps the outcome of a proof with its run. */
export function proofArchived(archive: Archive, runId: number, result: Result<ProofReport>): RunProof {
  const proof = runProofFromResult(result);
  archive.recordProof(runId, proof, result.ok ? result.value : undefined);
  return proof;
}
