import { existsSync } from 'node:fs';
import type { Progress } from '../../core/contract/contract.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { Archive } from '../archive/archive.ts';
import { archiveCopied } from '../archive/backup.ts';
import { databaseSetAside } from '../archive/database.ts';
import { fileProblem } from '../files/file-problem.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';

export const archiveCheck =
  () =>
  async ({ terminal, signal, withArchive, archiveFolder }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (archive) => {
      const report = await archive.checked(signal, (progress) => terminal.progress(progress));
      const lines = [
        ...report.databaseTrouble.map((trouble) => `Database: ${trouble}`),
        ...report.absent.map(({ sha256, name }) => `Missing: ${name} (${sha256})`),
        ...report.damaged.map(({ sha256, name }) => `Damaged: ${name} (${sha256})`),
      ];
      terminal.result(report, [
        ...lines,
        lines.length === 0
          ? `The archive ${archiveFolder} is sound: ${report.jobs} jobs, ${report.files} files.`
          : 'Restore the files named above from a backup.',
      ]);
      return resultOk(lines.length === 0 ? 'done' : 'blocked');
    });

export const archiveBackup =
  (options: { readonly to: string }) =>
  async ({ terminal, signal, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (archive) => {
      if (existsSync(options.to)) {
        return resultProblem({
          code: 'file-exists',
          message: `${options.to} is there already.`,
          remedy: 'Choose a new name for the backup.',
        });
      }
      try {
        const tools = { signal, report: (progress: Progress) => terminal.progress(progress) };
        const copied = await archiveCopied(archive, options.to, tools);
        if (!copied.ok) return copied;
        const { jobs, files, lost } = copied.value;
        terminal.result({ folder: options.to, ...copied.value }, [
          ...lost.map(({ sha256, name }) => `Lost or damaged already, so not copied: ${name} (${sha256})`),
          `${jobs} jobs and ${files} files copied to ${options.to}. To restore, close Panelwright and put this folder in the place of ${archive.folder}; or work in it with --archive.`,
        ]);
        return resultOk(lost.length === 0 ? 'done' : 'blocked');
      } catch (error) {
        const problem = fileProblem(error, options.to);
        if (problem) return resultProblem(problem);
        throw error;
      }
    });

export const archiveSetAside =
  () =>
  async ({ terminal, archiveFolder, now }: CommandContext): Promise<Result<CommandOutcome>> => {
    const path = Archive.databasePath(archiveFolder);
    if (!existsSync(path)) {
      return resultProblem({
        code: 'archive-none',
        message: `There is no archive in ${archiveFolder}.`,
        remedy: 'Name the folder with --archive.',
      });
    }
    const opened = Archive.open(archiveFolder);
    if (opened.ok) {
      opened.value.close();
      return resultProblem({
        code: 'archive-sound',
        message: `The archive in ${archiveFolder} can be opened, so it is not set aside.`,
        remedy: 'Go on using it, or choose another folder with --archive.',
      });
    }
    if (opened.problem.code !== 'archive-damaged') return opened;
    const aside = databaseSetAside(path, now());
    terminal.result({ setAside: aside }, [
      `The damaged database is now ${aside}; the next command begins a new one. The vault was left as it is.`,
    ]);
    return resultOk('done');
  };
