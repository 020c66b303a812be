/** Job files: read through the gate of core/job, written whole. */
import { readFile, stat } from 'node:fs/promises';
import { jobFromJson, jobToJson } from '../../core/job/job-json.ts';
import type { Job } from '../../core/job/schema.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { writeFileAtomically } from '../files/atomic-write.ts';
import { fileProblem } from '../files/file-problem.ts';

/** A job of a thousand seams is well under a megabyte. */
const MAX_JOB_FILE_BYTES = 64 * 2 ** 20;

export async function readJobFile(path: string): Promise<Result<Job>> {
  try {
    if ((await stat(path)).size > MAX_JOB_FILE_BYTES) {
      return resultProblem({
        code: 'job-too-large',
        message: `${path} is too large to be a job file.`,
        remedy: 'Select a job file, not the artwork.',
      });
    }
    const job = jobFromJson(await readFile(path, 'utf8'));
    return job.ok ? job : resultProblem({ ...job.problem, message: `${path}: ${job.problem.message}` });
  } catch (error) {
    return asFileProblem(error, path);
  }
}

export async function writeJobFile(path: string, job: Job): Promise<Result<void>> {
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
