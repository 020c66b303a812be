/** A proof of what lies in a folder, asked for by plain values. */
import { readFile } from 'node:fs/promises';
import { join, posix } from 'node:path';
import { jobFromJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { Manifest } from '../../core/output/manifest.ts';
import type { ProofReport } from '../../core/verify/proof-report.ts';
import { NOT_PROVED, type RunProof, runProofFromReport } from '../../core/verify/run-proof.ts';
import type { Archive, Run } from '../archive/archive.ts';
import { artworkOpened, type OpenedArtwork } from '../artwork/artwork-file.ts';
import { MANIFEST_NAME } from '../files/staged-folder.ts';
import { jobState } from '../job/job-state.ts';
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
  return await proofArchived(archive, run, await runFilesProved(archive, run, password, tools));
}

/**
 * The same for a run that may have been proved before: where no proof can be made, what was said of it then stands.
 * Problems: those of `folderProved`, of the job and of the artwork.
 */
export async function archivedRunProvedAgain(
  archive: Archive,
  run: Run,
  password: string | undefined,
  tools: ProofTools,
): Promise<Result<RunProof>> {
  const report = await runFilesProved(archive, run, password, tools);
  return report.ok ? resultOk(await proofArchived(archive, run, report)) : report;
}

async function runFilesProved(
  archive: Archive,
  run: Run,
  password: string | undefined,
  tools: ProofTools,
): Promise<Result<ProofReport>> {
  const job = jobFromJson(run.document);
  if (!job.ok) return job;
  const opened = await archivedArtwork(archive, run, job.value, password);
  if (!opened.ok) return opened;
  const panelIds = run.files.flatMap((file) => file.panelId ?? []);
  return await folderProved({ job: job.value, folder: run.folder, panelIds }, opened.value, tools);
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

/**
 * Keeps the outcome of a proof with its run, and the pictures of differences in the vault: the folder may be gone when
 * somebody asks why a run was not released.
 */
export async function proofArchived(
  archive: Archive,
  { id, folder }: Pick<Run, 'id' | 'folder'>,
  result: Result<ProofReport>,
): Promise<RunProof> {
  const proof = runProofFromResult(result);
  const report = result.ok ? result.value : undefined;
  for (const { differencePicture } of report?.sides.flatMap(({ panels }) => panels) ?? []) {
    if (differencePicture !== undefined)
      await archive.vault.addFile(join(folder, ...differencePicture.split(posix.sep)));
  }
  archive.recordProof(id, proof, report);
  return proof;
}
