import { type Problem, type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { type OutputMark, outputFolderName } from '../../core/output/output-mark.ts';
import { type Archive, ArchiveFailure } from '../archive/port.ts';
import { nextNumber, placeAs } from '../files/job-folder.ts';
import { keptNowhere } from './keep-output.ts';

/** An output in its folder. */
export type Placed<T extends { readonly staged: string }> = Omit<T, 'staged'> & {
  /** The output of its job is known by it, in the archive and by the name of its folder. */
  readonly number: number;
  readonly folder: string;
};

/**
 * Gives an output its number before it is written, because its sheets and codes carry it, and the folder of that number
 * once it is staged. The number is the archive's next where there is one, and it is given back where nothing came of the
 * output. Where the archive's disk refuses, the output takes the next number of its job folder, and the problem says so.
 */
export async function writeNumbered<T extends { readonly staged: string }, P extends Problem>(
  archive: Archive | undefined,
  jobId: string,
  jobFolder: string,
  reprint: OutputMark['reprint'],
  stage: (output: OutputMark) => Promise<Result<T, P>>,
): Promise<Result<Placed<T>, P | Problem>> {
  const atLeast = await nextNumber(jobFolder, 'output');
  if (!atLeast.ok) return atLeast;
  const reserved = await reservedNumber(archive, jobId, atLeast.value);
  const output: OutputMark = { number: reserved.number, ...(reprint && { reprint }) };
  const release = async () => {
    if (!reserved.failure) await archive?.outputs.releaseNumber(jobId, output.number).catch(ignoreFailure);
  };
  const staged = await stage(output).catch(async (error: unknown) => {
    await release();
    throw error;
  });
  if (!staged.ok) {
    await release();
    return staged;
  }
  const { staged: path, ...written } = staged.value;
  const placed = await placeAs(path, outputFolderName(output));
  if (!placed.ok) {
    await release();
    return placed;
  }
  const folder = placed.value;
  if (reserved.failure) return resultProblem({ ...reserved.failure.problem, remedy: keptNowhere(folder) });
  return resultOk({ ...written, number: output.number, folder });
}

async function reservedNumber(
  archive: Archive | undefined,
  jobId: string,
  atLeast: number,
): Promise<{ readonly number: number; readonly failure?: ArchiveFailure }> {
  if (!archive) return { number: atLeast };
  try {
    return { number: await archive.outputs.reserveNumber(jobId, atLeast) };
  } catch (error) {
    if (!(error instanceof ArchiveFailure)) throw error;
    return { number: atLeast, failure: error };
  }
}

/** A number that cannot be given back is left out: outputs keep their order all the same. */
function ignoreFailure(error: unknown): void {
  if (!(error instanceof ArchiveFailure)) throw error;
}
