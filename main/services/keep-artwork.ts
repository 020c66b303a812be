import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { Archive } from '../archive/port.ts';
import { tryFiles } from '../files/file-problem.ts';
import type { ArtworkAt } from '../tasks/kept-artwork.ts';
import type { TaskTools } from '../tasks/task-tools.ts';

/**
 * Takes artwork into the vault, unless it is there already; to the end where there are no `tools`. Problems:
 * `artwork-changed`, those of files.
 */
export async function keepArtwork(
  { vault }: Archive,
  { path, fileName }: ArtworkAt,
  sha256: string,
  tools?: TaskTools,
): Promise<Result<void>> {
  return await tryFiles(vault.folder, async () => {
    if (await vault.hold(sha256)) return resultOk(undefined);
    const onShare = (share: number) =>
      tools?.report({ what: 'Taking the artwork into the archive', done: share, total: 1 });
    const kept = await vault.add(path, { signal: tools?.signal, onShare });
    return kept.sha256 === sha256 ? resultOk(undefined) : resultProblem(changedWhileRead(fileName));
  });
}

const changedWhileRead = (fileName: string): Problem => ({
  code: 'artwork-changed',
  message: `${fileName} was changed while it was being imported.`,
  remedy: 'Wait until the program that writes it has finished, then import it again.',
});
