/** Deleting for good. Without --yes, a command says what would go and leaves it. */
import type { Deletion } from '../../core/contract/parts.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import type { Archive } from '../archive/port.ts';
import { cleanVault, deleteJobs, findUnusedFiles, previewDeletion } from '../services/delete-jobs.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { printable, type Terminal } from './terminal.ts';

interface DeleteOptions {
  readonly yes: boolean;
}

const counted = (count: number, one: string): string => `${count} ${count === 1 ? one : `${one}s`}`;

/** `1 job, 3 outputs and 12 files (48.2 MB)`. */
function deletionText({ jobs, outputs, files, bytes }: Deletion): string {
  const kept = `${counted(files, 'file')} (${(bytes / 1e6).toFixed(1)} MB)`;
  return jobs === 0 ? kept : `${counted(jobs, 'job')}, ${counted(outputs, 'output')} and ${kept}`;
}

function printDeletion(terminal: Terminal, deletion: Deletion, isDone: boolean): Result<CommandOutcome> {
  const text = deletionText(deletion);
  terminal.printResult({ isDeleted: isDone, ...deletion }, [
    isDone
      ? `Deleted: ${text}.`
      : `This would delete for good: ${text}. Nothing was deleted; to do it, add --yes.`,
  ]);
  return resultOk(isDone ? 'done' : 'blocked');
}

export const deleteCommand =
  (idOrNumber: string, options: DeleteOptions) =>
  async (context: CommandContext): Promise<Result<CommandOutcome>> =>
    await context.withArchive(async ({ archive }) => {
      const job = await archive.jobs.find(idOrNumber);
      return job.ok ? await deleteListed(context, archive, [job.value.id], options) : job;
    });

const MOST_LISTED = 1000;

export const deleteCustomerCommand =
  (customer: string, options: DeleteOptions) =>
  async (context: CommandContext): Promise<Result<CommandOutcome>> =>
    await context.withArchive(async ({ archive }) => {
      const ids: string[] = [];
      for (;;) {
        const page = await archive.jobs.list({ customer, limit: MOST_LISTED, offset: ids.length });
        ids.push(...page.map(({ id }) => id));
        if (page.length < MOST_LISTED) break;
      }
      if (ids.length > 0) return await deleteListed(context, archive, ids, options);
      return resultProblem({
        code: 'job-unknown',
        message: `The archive has no job of the customer ${printable(customer)}.`,
        remedy: 'Write the name as the list of jobs shows it.',
      });
    });

async function deleteListed(
  { terminal, now }: CommandContext,
  archive: Archive,
  ids: readonly string[],
  { yes }: DeleteOptions,
): Promise<Result<CommandOutcome>> {
  const deletion = yes ? await deleteJobs({ archive, now }, ids) : await previewDeletion(archive, ids);
  return deletion.ok ? printDeletion(terminal, deletion.value, yes) : deletion;
}

export const cleanVaultCommand =
  ({ yes }: DeleteOptions) =>
  async ({ terminal, now, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async ({ archive }) => {
      const parts = { archive, now };
      const deletion = yes ? await cleanVault(parts) : await findUnusedFiles(parts);
      if (deletion.files > 0) return printDeletion(terminal, deletion, yes);
      terminal.printResult({ isDeleted: false, ...deletion }, [
        'Every file of the vault belongs to a job or an output, or came in within the last hour.',
      ]);
      return resultOk('done');
    });
