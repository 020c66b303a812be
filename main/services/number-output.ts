import { type Result, resultOk } from '../../core/measure/result.ts';
import type { Archive } from '../archive/port.ts';
import { placeNumbered } from '../files/job-folder.ts';

/** An output in its folder. */
export type Placed<T extends { readonly staged: string }> = Omit<T, 'staged'> & {
  /** The output is known by it, in the archive and by the name of its folder. */
  readonly number: number;
  readonly folder: string;
};

/** Gives a staged output its number, the archive's next where there is one, and the folder of that number. */
export async function numberOutput<T extends { readonly staged: string }>(
  archive: Archive | undefined,
  { staged, ...output }: T,
): Promise<Result<Placed<T>>> {
  const placed = await placeNumbered(
    staged,
    'output',
    archive && ((atLeast) => archive.outputs.reserveNumber(atLeast)),
  );
  return placed.ok ? resultOk({ ...output, ...placed.value }) : placed;
}
