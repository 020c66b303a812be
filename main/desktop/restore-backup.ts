/** Puts a backup in the place of the archive, by the system's own dialogs: there may be no archive to show a screen of. */
import { basename } from 'node:path';
import type { BrowserWindow, Dialog, MessageBoxOptions } from 'electron';
import { archiveFaults } from '../archive/archive-faults.ts';
import type { ArchiveReport } from '../archive/port.ts';
import { discardStaged, type StagedBackup, stageBackup } from '../archive/restore.ts';
import type { LastFolders } from './last-folders.ts';

const PURPOSE = 'Backup to restore';

export interface RestoreTools {
  readonly dialog: Pick<Dialog, 'showOpenDialog' | 'showMessageBox' | 'showErrorBox'>;
  readonly window: BrowserWindow | undefined;
  readonly lastFolders: LastFolders;
  readonly archiveFolder: string;
  /** Aborted when the program quits meanwhile. */
  readonly signal: AbortSignal;
  /** Exchanges the archives while nothing uses them; false where that could not be. */
  replace(staged: StagedBackup): Promise<boolean>;
}

/** Lets the user choose a backup, reads it in full, asks, and exchanges the archives. False where nothing came of it. */
export async function restoreBackup(tools: RestoreTools): Promise<boolean> {
  const { dialog, window, lastFolders, archiveFolder, signal } = tools;
  const defaultPath = lastFolders.folder(PURPOSE);
  const choice = {
    title: PURPOSE,
    properties: ['openDirectory' as const],
    ...(defaultPath !== undefined && { defaultPath }),
  };
  const chosen = await (window ? dialog.showOpenDialog(window, choice) : dialog.showOpenDialog(choice));
  const [backup] = chosen.filePaths;
  if (chosen.canceled || backup === undefined) return false;
  lastFolders.keep(PURPOSE, backup);

  const staged = await stageBackup(backup, archiveFolder, {
    signal,
    report: ({ done, total }) => window?.isDestroyed() || window?.setProgressBar(done / total),
  });
  if (window && !window.isDestroyed()) window.setProgressBar(-1);
  if (!staged.ok) {
    if (staged.problem.code !== 'cancelled')
      dialog.showErrorBox(staged.problem.message, staged.problem.remedy);
    return false;
  }
  const question = restoreQuestion(backup, staged.value.report);
  const { response } = await (window
    ? dialog.showMessageBox(window, question)
    : dialog.showMessageBox(question));
  if (response === 0) {
    await discardStaged(staged.value);
    return false;
  }
  return await tools.replace(staged.value);
}

function restoreQuestion(backup: string, report: ArchiveReport): MessageBoxOptions {
  const { jobs, files } = report;
  const faults = archiveFaults(report);
  const shown = faults.length > MOST_FAULTS ? [...faults.slice(0, MOST_FAULTS), '…'] : faults;
  return {
    type: faults.length > 0 ? 'warning' : 'question',
    message: `Restore the backup “${basename(backup)}”?`,
    detail: [
      `It has ${jobs} ${jobs === 1 ? 'job' : 'jobs'} and ${files} ${files === 1 ? 'file' : 'files'}${faults.length > 0 ? ', and faults:' : ', all sound.'}`,
      ...shown,
      'The archive that is here now is kept beside it under another name. Nothing is deleted.',
    ].join('\n'),
    buttons: ['Cancel', 'Restore'],
    defaultId: 0,
    cancelId: 0,
  };
}

const MOST_FAULTS = 10;
