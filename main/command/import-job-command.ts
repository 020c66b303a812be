import type { ImportChoice } from '../../core/contract/verbs-jobs.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { importBundle } from '../services/job-bundle.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { printable } from './terminal.ts';

interface ImportJobOptions {
  readonly ifThere: 'stop' | 'replace' | 'keep-both';
  /** To keep both; the program finds one where absent. */
  readonly number?: string;
}

/** Takes a job that was exported as one file into the archive. */
export const importJobCommand =
  (path: string, options: ImportJobOptions) =>
  async ({ terminal, tools, now, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async ({ archive }) => {
      const importing = async (choice?: ImportChoice) =>
        await importBundle(archive, path, choice, { ...tools, now: now() });
      let imported = await importing(options.ifThere === 'replace' ? { kind: 'replace' } : undefined);
      if (imported.ok && imported.value.state === 'there-already') {
        const { there, freeNumber } = imported.value;
        if (options.ifThere === 'stop') {
          return resultProblem({
            code: 'job-there-already',
            message: `The archive has job ${there.number}, “${there.name}”, already; nothing was imported.`,
            remedy: `Add --if-there replace to put this one in its place, or --if-there keep-both to keep both, this one as ${freeNumber} or as --number says.`,
          });
        }
        imported = await importing({ kind: 'keep-both', number: options.number ?? freeNumber });
      }
      if (!imported.ok) return imported;
      if (imported.value.state !== 'imported')
        throw new Error('The bundle met a job after the choice was made.');
      const { job } = imported.value;
      terminal.printResult(job, [`Job ${printable(job.number)} is in the archive.`]);
      return resultOk('done');
    });
