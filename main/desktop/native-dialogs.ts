import { dirname } from 'node:path';
import type { BrowserWindow, Dialog, FileFilter, OpenDialogOptions, Shell } from 'electron';
import type { Dialogs } from '../services/dialogs.ts';
import type { LastFolders } from './last-folders.ts';

const FILTERS: Readonly<Record<'artwork' | 'job-bundle', FileFilter>> = {
  artwork: { name: 'Artwork PDF', extensions: ['pdf'] },
  'job-bundle': { name: 'Panelwright job', extensions: ['pwjob'] },
};

/** The system's own dialogs, attached to the window that asks. Each purpose has a last folder of its own. */
export function nativeDialogs(
  dialog: Pick<Dialog, 'showOpenDialog'>,
  shell: Pick<Shell, 'openPath'>,
  windowOf: (clientId: string) => BrowserWindow | undefined,
  lastFolders: LastFolders,
): Dialogs {
  const choose = async (
    purpose: string,
    clientId: string,
    given: OpenDialogOptions,
  ): Promise<readonly string[]> => {
    const window = windowOf(clientId);
    const defaultPath = lastFolders.folder(purpose);
    const options = { ...given, ...(defaultPath !== undefined && { defaultPath }) };
    const { canceled, filePaths } = await (window
      ? dialog.showOpenDialog(window, options)
      : dialog.showOpenDialog(options));
    if (canceled) return [];
    const [path] = filePaths;
    if (path !== undefined) {
      lastFolders.keep(purpose, given.properties?.includes('openDirectory') ? path : dirname(path));
    }
    return filePaths;
  };
  return {
    chooseFiles: (purpose, clientId) =>
      choose(purpose, clientId, {
        properties: purpose === 'artwork' ? ['openFile', 'multiSelections'] : ['openFile'],
        filters: [FILTERS[purpose]],
      }),
    chooseFolder: async (title, clientId) => {
      const [folder] = await choose(title, clientId, {
        title,
        properties: ['openDirectory', 'createDirectory'],
      });
      return folder;
    },
    showFolder: async (folder) => {
      await shell.openPath(folder);
    },
  };
}
