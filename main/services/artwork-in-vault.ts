/** The artwork of a job where the archive keeps it, as work on another thread asks for it. */
import type { ArtworkReference } from '../../core/job/schema.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { Archive } from '../archive/port.ts';
import type { ArtworkPictures } from './artwork-pictures.ts';

export async function artworkInVault(archive: Archive, reference: ArtworkReference): Promise<Result<string>> {
  if (await archive.vault.has(reference.sha256)) return resultOk(await archive.vault.path(reference.sha256));
  return resultProblem({
    code: 'artwork-absent',
    message: `The artwork ${reference.fileName} is not in the archive.`,
    remedy: 'Import it again.',
  });
}

export function artworkAt(path: string, reference: ArtworkReference, pictures: ArtworkPictures) {
  const password = pictures.password(reference.sha256);
  return {
    path,
    fileName: reference.fileName,
    box: reference.box,
    ...(password !== undefined && { password }),
  };
}
