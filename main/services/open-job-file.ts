import { existsSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import type { Job } from '../../core/job/schema.ts';
import type { PageBox } from '../../core/measure/page-box.ts';
import { present } from '../../core/measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { Archive } from '../archive/port.ts';
import { readJobFile } from '../job/job-file.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';
import type { TaskTools } from '../tasks/task-tools.ts';
import type { ActParts } from './service-parts.ts';

export interface JobFileOptions {
  readonly box: PageBox;
  /** The artwork's file. */
  readonly artwork?: string;
  readonly password?: string;
}

export interface OpenedJobFile {
  /** Refers to the artwork that was found. */
  readonly job: Job;
  /** Absent: the job has none yet. */
  readonly artwork?: ArtworkAt;
}

/**
 * Reads a job file and finds its artwork: the given file, else the one in the archive with the job's hash, else the one
 * of that name beside the job file. A file given for a job without artwork becomes its artwork, on which its sides are
 * not placed yet; a file whose content is not what was imported is rejected.
 */
export async function openJobFile(
  { archive, work }: Pick<ActParts, 'work'> & { readonly archive: Archive | undefined },
  jobPath: string,
  options: JobFileOptions,
  tools: TaskTools,
): Promise<Result<OpenedJobFile>> {
  const read = await readJobFile(jobPath);
  if (!read.ok) return read;
  const job = read.value;
  const path = options.artwork ?? (await findArtworkPath(jobPath, job, archive));
  if (path === undefined) return resultOk({ job });
  if (job.artwork && options.artwork === undefined && !existsSync(path)) {
    return resultProblem({
      code: 'file-missing',
      message: `The artwork ${job.artwork.fileName} of job ${job.number} lies neither in the archive nor beside ${jobPath}.`,
      remedy: 'Put it back, or say where it lies with --artwork.',
    });
  }
  const artwork = {
    ...artworkAtFile(path, options),
    ...(job.artwork && { box: job.artwork.box }),
    ...(job.artwork && options.artwork === undefined && { fileName: job.artwork.fileName }),
  };
  const kept = archive && { archiveFolder: archive.folder };
  const facts = await work.run('artworkFacts', { ...artwork, ...kept, isBrief: true }, tools);
  if (!facts.ok) return facts;
  const { reference } = facts.value;
  if (job.artwork && job.artwork.sha256 !== reference.sha256) {
    return resultProblem({
      code: 'artwork-changed',
      message: `${path} is not the artwork that job ${job.number} was laid out on: its content has changed since the import.`,
      remedy: `Put the old file back, or use the new one with: panelwright import ${path} --job ${jobPath}`,
    });
  }
  return resultOk({ job: { ...job, artwork: job.artwork ?? reference }, artwork });
}

/** The same for what cannot begin without artwork. */
export async function openJobWithArtwork(
  parts: Parameters<typeof openJobFile>[0],
  jobPath: string,
  options: JobFileOptions,
  tools: TaskTools,
): Promise<Result<Required<OpenedJobFile>>> {
  const opened = await openJobFile(parts, jobPath, options, tools);
  if (!opened.ok) return opened;
  const { job, artwork } = opened.value;
  if (artwork) return resultOk({ job, artwork });
  return resultProblem({
    code: 'artwork-none',
    message: `${jobPath} names no artwork yet.`,
    remedy: `Give the PDF with --artwork, or import it with: panelwright import ARTWORK --job ${jobPath}`,
  });
}

/** Artwork that was never imported. */
export function artworkAtFile(path: string, { box, password }: Omit<JobFileOptions, 'artwork'>): ArtworkAt {
  return { path, fileName: basename(path), box, ...(password !== undefined && { password }) };
}

async function findArtworkPath(
  jobPath: string,
  { artwork }: Job,
  archive: Archive | undefined,
): Promise<string | undefined> {
  if (!artwork) return undefined;
  if ((await archive?.vault.state(artwork.sha256)) === 'sound')
    return await present(archive, 'The archive that holds an artwork').vault.path(artwork.sha256);
  return join(dirname(jobPath), artwork.fileName);
}
