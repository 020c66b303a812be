/**
 * The desktop application, step by step. Electron gets ready only once this file has been evaluated, so nothing is
 * awaited at its top level; what must come before ready is done at its top.
 */
import { join } from 'node:path';
import {
  app,
  BrowserWindow,
  dialog,
  ipcMain,
  Menu,
  protocol,
  screen,
  session,
  shell,
  utilityProcess,
} from 'electron';
import { archivePlace, defaultArchiveFolder } from '../archive/archive-folder.ts';
import { openLog, setUpErrorLog } from '../files/day-log.ts';
import { PROGRAM_VERSION } from '../files/program.ts';
import { ProcessTasks } from '../tasks/task-runner.ts';
import { clientIdOf, setUpAskChannel } from './ask-channel.ts';
import { SCREENS_ORIGIN } from './channels.ts';
import { DesktopArchive } from './desktop-archive.ts';
import { type JobFiles, jobFilesNamed, setUpJobFiles } from './job-files.ts';
import { LastFolders } from './last-folders.ts';
import { menuTemplate } from './menu.ts';
import { nativeDialogs } from './native-dialogs.ts';
import { setUpQuit } from './quit.ts';
import { ScreenMessages } from './screen-messages.ts';
import { setUpScreenRecovery } from './screen-recovery.ts';
import { registerScreensScheme, setUpScreensProtocol } from './screens-protocol.ts';
import { setUpContentsRestrictions, setUpPermissionDenials } from './security.ts';
import { utilityTaskProcess } from './utility-process.ts';
import { createWindow, keepWindowPlace, setUpClosing } from './window.ts';

const SCREENS_FOLDER = join(import.meta.dirname, '../../screens');
const PRELOAD = join(import.meta.dirname, '../../preload.cjs');
const SAVE_MS = 2000;

const now = (): string => new Date().toISOString();
const settingsFolder = app.getPath('userData');
const log = openLog(app.getPath('logs'), now);
const lastFolders = new LastFolders(join(settingsFolder, 'folders.json'));
const archive = new DesktopArchive({
  options: {
    archiveFolder: archivePlace(defaultArchiveFolder(), process.env.PANELWRIGHT_VAULT),
    host: 'desktop',
    dialogs: nativeDialogs(dialog, shell, windowOfClient, lastFolders),
    tasks: () => new ProcessTasks(utilityTaskProcess(utilityProcess)),
    now,
    logs: { folder: app.getPath('logs'), log },
  },
  dialog,
  lastFolders,
  log,
  mayLeave,
});
const messages = new ScreenMessages(ipcMain);
const asks = setUpAskChannel(
  ipcMain,
  () => archive.services,
  (error) => log('Unexpected error', error),
);

const jobFilesGiven = jobFilesNamed(process.argv, process.cwd());
if (app.requestSingleInstanceLock(jobFilesGiven)) {
  log('Start', { version: PROGRAM_VERSION, electron: process.versions.electron, system: process.platform });
  setUpErrorLog(process, log);
  // The installer gives its shortcut the same name: Windows groups windows by it.
  if (process.platform === 'win32') app.setAppUserModelId('org.panelwright.workstation');
  registerScreensScheme(protocol);
  setUpContentsRestrictions(app);
  const jobFiles = setUpJobFiles(app, jobFilesGiven, () => archive.services && showWindow());
  setUpQuit(app, { mayLeave, close: async () => await archive.close() }, log);
  app.on('window-all-closed', () => process.platform !== 'darwin' && app.quit());
  app.on('child-process-gone', (_event, details) => log('A process stopped', details));
  app
    .whenReady()
    .then(async () => await start(jobFiles))
    .catch(reportFatal);
} else {
  app.quit();
}

async function start(jobFiles: JobFiles): Promise<void> {
  if (!(await archive.open())) return app.quit();
  setUpPermissionDenials(session.defaultSession);
  setUpScreensProtocol(protocol, SCREENS_FOLDER);
  Menu.setApplicationMenu(Menu.buildFromTemplate(menuTemplate(process.platform, menuActs)));
  showWindow();
  archive.services?.warm();
  app.on('activate', () => void showWindow());
  jobFiles.forEach(openJobFile);
}

const menuActs: Parameters<typeof menuTemplate>[1] = {
  send: (command) => messages.send(showWindow().webContents, { kind: 'command', command }),
  openLogFolder: () => void shell.openPath(app.getPath('logs')),
  restoreBackup: () => void restoreBackup().catch(reportFatal),
};

async function restoreBackup(): Promise<void> {
  const isRestored = await archive.restore(BrowserWindow.getAllWindows()[0]);
  if (!archive.services) return app.quit();
  if (!isRestored) return;
  for (const window of BrowserWindow.getAllWindows()) {
    await window.loadURL(`${SCREENS_ORIGIN}/`);
    messages.send(window.webContents, RESTORED);
  }
}

function openWindow(): BrowserWindow {
  const window = createWindow((options) => new BrowserWindow(options), screen, {
    preload: PRELOAD,
    settingsFolder,
  });
  const { webContents } = window;
  const clientId = clientIdOf(webContents);
  const releaseClient = (): void => {
    asks.cancelAll(clientId);
    archive.services?.releaseClient(clientId);
  };
  messages.watch(webContents);
  webContents.on('did-navigate', () => asks.cancelAll(clientId));
  window.on('closed', releaseClient);
  setUpClosing(window, async () => await mayLeave([window]));
  setUpScreenRecovery(window, {
    dialog,
    log,
    now: Date.now,
    onGone: releaseClient,
    onLoadedAgain: () => messages.send(webContents, LOADED_AGAIN),
  });
  window
    .loadURL(`${SCREENS_ORIGIN}/`)
    .catch((error) => window.isDestroyed() || webContents.isCrashed() || reportFatal(error));
  return window;
}

/** The window, in front of all others. On a Mac the program runs on without one. */
function showWindow(): BrowserWindow {
  const [window] = BrowserWindow.getAllWindows();
  if (!window) return openWindow();
  if (window.isMinimized()) window.restore();
  if (window.isVisible()) window.focus();
  return window;
}

function openJobFile(path: string): void {
  const { webContents } = showWindow();
  const file = archive.services?.chosen.add(path, 'file', clientIdOf(webContents));
  if (file) messages.send(webContents, { kind: 'job-file', file });
}

/** Saves what windows hold and remembers where they are; false where that failed and the user would rather stay. */
async function mayLeave(windows = BrowserWindow.getAllWindows()): Promise<boolean> {
  for (const window of windows) {
    await keepWindowPlace(window, settingsFolder);
    if (await messages.saveNow(window.webContents, SAVE_MS)) continue;
    const { response } = await dialog.showMessageBox(window, NOT_SAVED);
    if (response === 0) return false;
  }
  return true;
}

function windowOfClient(clientId: string): BrowserWindow | undefined {
  return BrowserWindow.getAllWindows().find(({ webContents }) => clientIdOf(webContents) === clientId);
}

function reportFatal(error: unknown): void {
  log('Fatal error', error);
  dialog.showErrorBox('Panelwright cannot go on.', error instanceof Error ? error.message : String(error));
  app.exit(1);
}

const RESTORED = {
  kind: 'notice',
  message: 'The backup is restored.',
  remedy: 'The archive that was here before lies beside it under another name.',
} as const;

const LOADED_AGAIN = {
  kind: 'notice',
  message: 'The screens stopped and were loaded again.',
  remedy:
    'Everything up to the last saved edit is here. If it happens again, report it with the log (Help menu).',
} as const;

const NOT_SAVED = {
  type: 'warning' as const,
  message: 'The last changes are not saved.',
  detail: 'The window says why. Stay to mend that, or close it and lose the last changes.',
  buttons: ['Stay', 'Close without saving'],
  defaultId: 0,
  cancelId: 0,
};
