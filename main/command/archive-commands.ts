import { type Result, resultOk } from '../../core/measure/result.ts';
import { setArchiveAside } from '../archive/archive.ts';
import { archiveFaults } from '../archive/archive-faults.ts';
import { archivePlace } from '../archive/archive-folder.ts';
import { moveBetween } from '../archive/move-between.ts';
import { shownPlace } from '../archive/postgres-place.ts';
import { backUpArchive } from '../services/back-up-archive.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';

export const checkArchiveCommand =
  () =>
  async ({ terminal, tools, withArchive, archiveFolder }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async ({ archive }) => {
      const report = await archive.checks.checkAll(tools);
      const lines = archiveFaults(report);
      terminal.printResult(report, [
        ...lines,
        lines.length === 0
          ? `The archive ${shownPlace(archiveFolder)} is sound: ${report.jobs} jobs, ${report.files} files.`
          : 'Restore the files named above from a backup.',
      ]);
      return resultOk(lines.length === 0 ? 'done' : 'blocked');
    });

export const backUpCommand =
  ({ to }: { readonly to: string }) =>
  async ({ terminal, tools, withArchive }: CommandContext): Promise<Result<CommandOutcome>> =>
    await withArchive(async ({ archive }) => {
      const copied = await backUpArchive(archive, to, tools);
      if (!copied.ok) return copied;
      const { jobs, files, lost } = copied.value;
      terminal.printResult({ folder: to, ...copied.value }, [
        ...lost.map(({ sha256, name }) => `Lost or damaged already, so not copied: ${name} (${sha256})`),
        `${jobs} jobs and ${files} files copied to ${to}. To restore, close Panelwright and put this folder in the place of ${archive.folder}; or work in it with --archive.`,
      ]);
      return resultOk(lost.length === 0 ? 'done' : 'blocked');
    });

export const moveArchiveCommand =
  ({ to, toVault }: { readonly to: string; readonly toVault?: string }) =>
  async ({ terminal, tools, archiveFolder }: CommandContext): Promise<Result<CommandOutcome>> => {
    const moved = await moveBetween(archiveFolder, archivePlace(to, toVault), tools);
    if (!moved.ok) return moved;
    const { jobs, files, lost } = moved.value;
    terminal.printResult(moved.value, [
      ...lost.map(({ sha256, name }) => `Lost or damaged already, so not copied: ${name} (${sha256})`),
      `${jobs} jobs and ${files} files copied and compared. Work on with the new archive; the other is as it was, and nothing saved there from now on comes over.`,
    ]);
    return resultOk(lost.length === 0 ? 'done' : 'blocked');
  };

export const setAsideCommand =
  () =>
  async ({ terminal, archiveFolder, now }: CommandContext): Promise<Result<CommandOutcome>> => {
    const aside = await setArchiveAside(archiveFolder, now());
    if (!aside.ok) return aside;
    terminal.printResult({ setAside: aside.value ?? null }, [
      aside.value === undefined
        ? `A new database was begun in ${archiveFolder}. The files of the vault were left as they are.`
        : `The former database is now ${aside.value}, and a new one was begun. The files of the vault were left as they are.`,
    ]);
    return resultOk('done');
  };
