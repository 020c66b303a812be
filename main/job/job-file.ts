/** Job files: read through the gate of core/job, written whole. */
import { existsSync } from 'node:fs';
import { readFile, stat } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { jobFromJson, jobToJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import type { PageBox } from '../../core/measure/page-box.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { Archive } from '../archive/port.ts';
import { artworkOpened, type OpenedArtwork } from '../artwork/artwork-file.ts';
import { writeFileAtomically } from '../files/atomic-write.ts';
import { fileProblem } from '../files/file-problem.ts';

/** A job of a thousand seams is well under a megabyte. */
const MAX_JOB_FILE_BYTES = 64 * 2 ** 20;

export async function jobFileRead(path: string): Promise<Result<Job>> {
  try {
    if ((await stat(path)).size > MAX_JOB_FILE_BYTES) {
      return resultProblem({
        code: 'job-too-large',
        message: `${path} is too large to be a job file.`,
        remedy: 'Choose a job file, not the artwork.',
      });
    }
    const job = jobFromJson(await readFile(path, 'utf8'));
    return job.ok ? job : resultProblem({ ...job.problem, message: `${path}: ${job.problem.message}` });
  } catch (error) {
    return asFileProblem(error, path);
  }
}

export async function jobFileWritten(path: string, job: Job): Promise<Result<void>> {
  try {
    await writeFileAtomically(path, jobToJson(job));
    return resultOk(undefined);
  } catch (error) {
    return asFileProblem(error, path);
  }
}

function asFileProblem(error: unknown, path: string): Result<never, Problem> {
  const problem = fileProblem(error, path);
  if (problem) return resultProblem(problem);
  throw error;
}

export interface JobWithArtwork {
  /** Refers to the artwork that was found. */
  readonly job: Job;
  readonly artwork: OpenedArtwork;
}

/**
 * Finds the artwork of a job file: the file given, or the one that the archive keeps under the job's hash, or the
 * one of that name beside the job file. A file that is given for a job without artwork becomes its artwork;
 * one whose content is not what was imported is refused.
 */
export async function jobArtwork(
  jobPath: string,
  job: Job,
  options: {
    readonly box: PageBox;
    readonly artworkPath?: string;
    readonly password?: string;
    readonly archive?: Archive;
  },
): Promise<Result<JobWithArtwork>> {
  const path = options.artworkPath ?? (await artworkPathFound(jobPath, job, options.archive));
  if (path === undefined) {
    return resultProblem({
      code: 'artwork-none',
      message: `${jobPath} names no artwork yet.`,
      remedy: 'Give the PDF with --artwork.',
    });
  }
  if (job.artwork && options.artworkPath === undefined && !existsSync(path)) {
    return resultProblem({
      code: 'file-missing',
      message: `The artwork ${job.artwork.fileName} of job ${job.number} lies neither in the archive nor beside ${jobPath}.`,
      remedy: 'Put it back, or say where it lies with --artwork.',
    });
  }
  const opened = await artworkOpened(path, {
    box: job.artwork?.box ?? options.box,
    ...(options.password !== undefined && { password: options.password }),
    ...(job.artwork && options.artworkPath === undefined && { fileName: job.artwork.fileName }),
  });
  if (!opened.ok) return opened;
  if (job.artwork && job.artwork.sha256 !== opened.value.reference.sha256) {
    return resultProblem({
      code: 'artwork-changed',
      message: `${path} is not the artwork that job ${job.number} was planned on: its content has changed since the import.`,
      remedy: `Put the old file back, or take the new one over with: panelwright import ${path} --job ${jobPath}`,
    });
  }
  return resultOk({ job: { ...job, artwork: job.artwork ?? opened.value.reference }, artwork: opened.value });
}

async function artworkPathFound(
  jobPath: string,
  job: Job,
  archive: Archive | undefined,
): Promise<string | undefined> {
  if (!job.artwork) return undefined;
  const { sha256, fileName } = job.artwork;
  if (archive && (await archive.vault.state(sha256)) === 'sound') return await archive.vault.path(sha256);
  return join(dirname(jobPath), fileName);
}
