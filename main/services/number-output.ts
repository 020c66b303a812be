import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { type Archive, ArchiveFailure } from '../archive/port.ts';
import { placeNumbered } from '../files/job-folder.ts';
import { keptNowhere } from './keep-output.ts';

/** An output in its folder. */
export type Placed<T extends { readonly staged: string }> = Omit<T, 'staged'> & {
  /** The output is known by it, in the archive and by the name of its folder. */
  readonly number: number;
  readonly folder: string;
};

/**
 * Gives a staged output its number, the archive's next where there is one, and the folder of that number. Where the
 * archive's disk refuses, the output takes the next number of its job folder, and the problem says so.
 */
export async function numberOutput<T extends { readonly staged: string }>(
  archive: Archive | undefined,
  { staged, ...output }: T,
): Promise<Result<Placed<T>>> {
  let failure: ArchiveFailure | undefined;
  const placed = await placeNumbered(staged, 'output', async (atLeast) => {
    try {
      return (await archive?.outputs.reserveNumber(atLeast)) ?? atLeast;
    } catch (error) {
      if (!(error instanceof ArchiveFailure)) throw error;
      failure = error;
      return atLeast;
    }
  });
  if (!placed.ok) return placed;
  if (failure) return resultProblem({ ...failure.problem, remedy: keptNowhere(placed.value.folder) });
  return resultOk({ ...output, ...placed.value });
}
