/** The artwork of a job where the archive keeps it, as tasks ask for it. */
import type { ArtworkReference, Job } from '../../core/job/schema.ts';
import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { Archive } from '../archive/port.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';
import type { ServiceParts } from './service-parts.ts';

export async function artworkInVault(
  { vault }: Archive,
  { sha256, fileName, box }: ArtworkReference,
  password: string | undefined,
): Promise<Result<ArtworkAt>> {
  if (!(await vault.has(sha256))) {
    return resultProblem({
      code: 'artwork-absent',
      message: `The artwork ${fileName} is not in the archive.`,
      remedy: 'Import it again.',
    });
  }
  const path = await vault.path(sha256);
  return resultOk({ path, fileName, box, ...(password !== undefined && { password }) });
}

/** With the password that a screen gave for it. */
export async function artworkOfJob(
  { archive, pictures }: Pick<ServiceParts, 'archive' | 'pictures'>,
  { artwork }: Job,
): Promise<Result<ArtworkAt>> {
  if (!artwork) return resultProblem(noArtwork);
  return await artworkInVault(archive, artwork, pictures.password(artwork.sha256));
}

export const noArtwork: Problem = {
  code: 'artwork-none',
  message: 'The job has no artwork yet.',
  remedy: 'Import the artwork PDF.',
};
