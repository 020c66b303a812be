import { join } from 'node:path';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { Archive, ArchivedOutput, NewOutput } from '../archive/port.ts';
import { tryFiles } from '../files/file-problem.ts';
import { PROGRAM_VERSION } from '../files/program.ts';

/**
 * Keeps an output in the archive, its files first: an output that the archive lists has all of them. Where the
 * archive's disk refuses, the written files stay, and the problem says so.
 */
export async function keepOutput(
  archive: Archive,
  output: Omit<NewOutput, 'programVersion'>,
): Promise<Result<ArchivedOutput>> {
  const { folder, files } = output;
  const kept = await tryFiles(archive.vault.folder, async () => {
    for (const { name, sha256 } of files) {
      // What a worker wrote, and what is reprinted, is there already.
      if (await archive.vault.hold(sha256)) continue;
      const taken = await archive.vault.add(join(folder, name));
      if (taken.sha256 !== sha256) throw new Error(`${name} changed while it was being archived`);
    }
    return resultOk(await archive.outputs.keep({ ...output, programVersion: PROGRAM_VERSION }));
  });
  return kept.ok ? kept : resultProblem({ ...kept.problem, remedy: keptNowhere(folder) });
}

export const keptNowhere = (folder: string): string =>
  `The files in ${folder} are whole, but the archive does not have them: free space or ask for access, then write them again.`;
