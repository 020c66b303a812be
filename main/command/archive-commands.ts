import { existsSync } from 'node:fs';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { setArchiveAside } from '../archive/archive.ts';
import { fileProblem } from '../files/file-problem.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';

export const archiveCheck =
  () =>
  async ({ terminal, signal, withArchive, archiveFolder }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async (archive) => {
      const report = await archive.checks.everything({
        signal,
        report: (progress) => terminal.progress(progress),
      });
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
        const copied = await archive.checks.backup(options.to, {
          signal,
          report: (progress) => terminal.progress(progress),
        });
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
    const aside = await setArchiveAside(archiveFolder, now());
    if (!aside.ok) return aside;
    terminal.result({ setAside: aside.value }, [
      `The damaged database is now ${aside.value}; the next command begins a new one. The vault was left as it is.`,
    ]);
    return resultOk('done');
  };
