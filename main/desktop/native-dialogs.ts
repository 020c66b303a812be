import type { BrowserWindow, Dialog, FileFilter, OpenDialogOptions, Shell } from 'electron';
import type { Dialogs } from '../services/dialogs.ts';

const FILTERS: Readonly<Record<'artwork' | 'job-bundle', FileFilter>> = {
  artwork: { name: 'Artwork PDF', extensions: ['pdf'] },
  'job-bundle': { name: 'Panelwright job', extensions: ['pwjob'] },
};

/** The system's own dialogs, attached to the window that asks. */
export function nativeDialogs(
  dialog: Pick<Dialog, 'showOpenDialog'>,
  shell: Pick<Shell, 'openPath'>,
  windowOf: (clientId: string) => BrowserWindow | undefined,
): Dialogs {
  const choose = async (clientId: string, options: OpenDialogOptions): Promise<string | undefined> => {
    const window = windowOf(clientId);
    const { canceled, filePaths } = await (window
      ? dialog.showOpenDialog(window, options)
      : dialog.showOpenDialog(options));
    return canceled ? undefined : filePaths[0];
  };
  return {
    chooseFile: (purpose, clientId) =>
      choose(clientId, { properties: ['openFile'], filters: [FILTERS[purpose]] }),
    chooseFolder: (title, clientId) =>
      choose(clientId, { title, properties: ['openDirectory', 'createDirectory'] }),
    showFolder: async (folder) => {
      await shell.openPath(folder);
    },
  };
}
