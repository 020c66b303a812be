/** The archive that the windows work in: opened when the program starts, exchanged when a backup is restored. */
import type { BrowserWindow, Dialog } from 'electron';
import { setArchiveAside } from '../archive/archive.ts';
import { keptPlace, keptPlaceFile } from '../archive/kept-place.ts';
import type { ArchiveProblemCode } from '../archive/port.ts';
import { discardStaged, finishRestoring, putInPlace, type StagedBackup } from '../archive/restore.ts';
import type { Log } from '../files/day-log.ts';
import { type ServiceOptions, type Services, startServices } from '../services/services.ts';
import type { LastFolders } from './last-folders.ts';
import { restoreBackup } from './restore-backup.ts';

export interface ArchiveTools {
  readonly options: ServiceOptions;
  readonly dialog: Pick<Dialog, 'showOpenDialog' | 'showMessageBox' | 'showErrorBox'>;
  readonly lastFolders: LastFolders;
  readonly log: Log;
  /** Saves what the windows hold; false where the user would rather stay with what is not saved. */
  mayLeave(): Promise<boolean>;
}

/** A backup or a new database can take the place of the one that is damaged or missing. */
const MENDABLE: readonly ArchiveProblemCode[] = ['archive-damaged', 'archive-lost'];

export class DesktopArchive {
  /** None before the archive is open, and while another takes its place. */
  services: Services | undefined;
  readonly #tools: ArchiveTools;
  readonly #closing = new AbortController();
  #isRestoring = false;

  constructor(tools: ArchiveTools) {
    this.#tools = tools;
  }

  /**
   * Opens the archive; false where that fails. A damaged one is replaced only when the user says so: by a backup, or by
   * a new one.
   */
  async open(): Promise<boolean> {
    const { options, dialog } = this.#tools;
    await finishRestoring(options.archiveFolder, options.now());
    for (;;) {
      const started = await startServices(options);
      if (started.ok) {
        this.services = started.value;
        return true;
      }
      if (!MENDABLE.includes(started.problem.code)) {
        dialog.showErrorBox(started.problem.message, `${started.problem.remedy}${this.#wayBack()}`);
        return false;
      }
      const { response } = await dialog.showMessageBox({
        type: 'warning',
        message: started.problem.message,
        detail:
          'A backup can take its place, or a new, empty list of jobs can begin. What is there now is kept. Nothing is deleted.',
        buttons: ['Quit', 'Restore a backup…', 'Begin a new archive'],
        defaultId: 0,
        cancelId: 0,
      });
      if (response === 0) return false;
      if (response === 1) await this.#restore(undefined, async (staged) => await this.#exchange(staged));
      else await setArchiveAside(options.archiveFolder, options.now());
    }
  }

  /** An archive that cannot be opened shows no screen on which another could be selected. */
  #wayBack(): string {
    const file = keptPlaceFile();
    return keptPlace(file) === this.#tools.options.archiveFolder
      ? ` It was selected on screen: delete ${file} to start with the usual archive.`
      : '';
  }

  /** Lets the user put a backup in the place of the archive. True where one is there now: the windows show the earlier one. */
  async restore(window: BrowserWindow | undefined): Promise<boolean> {
    if (this.#isRestoring) return false;
    this.#isRestoring = true;
    try {
      return await this.#restore(window, async (staged) => {
        if (!(await this.#tools.mayLeave())) {
          await discardStaged(staged);
          return false;
        }
        await this.#close();
        const isExchanged = await this.#exchange(staged);
        return (await this.open()) && isExchanged;
      });
    } finally {
      this.#isRestoring = false;
    }
  }

  /** Closes the archive for good. */
  async close(): Promise<void> {
    this.#closing.abort();
    await this.#close();
  }

  async #close(): Promise<void> {
    const open = this.services;
    this.services = undefined;
    await open?.close();
  }

  async #restore(
    window: BrowserWindow | undefined,
    replace: (staged: StagedBackup) => Promise<boolean>,
  ): Promise<boolean> {
    const { dialog, lastFolders, options } = this.#tools;
    const { archiveFolder } = options;
    return await restoreBackup({
      dialog,
      window,
      lastFolders,
      archiveFolder,
      signal: this.#closing.signal,
      replace,
    });
  }

  async #exchange(staged: StagedBackup): Promise<boolean> {
    const { options, dialog, log } = this.#tools;
    try {
      const aside = await putInPlace(staged, options.archiveFolder, options.now());
      log('Backup restored; the earlier archive', aside ?? 'was not there');
      return true;
    } catch (error) {
      log('Restoring failed', error);
      dialog.showErrorBox('The backup could not take the place of the archive.', String(error));
      return false;
    }
  }
}
