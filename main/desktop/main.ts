/** The desktop application, step by step. */
import { join } from 'node:path';
import { app, BrowserWindow, dialog, ipcMain, Menu, protocol, screen, session, shell } from 'electron';
import { Archive } from '../archive/archive.ts';
import { databaseSetAside } from '../archive/database.ts';
import { type Services, servicesStarted } from '../services/services.ts';
import { setUpAskChannel } from './ask-channel.ts';
import { COMMAND_CHANNEL } from './channels.ts';
import { menuTemplate } from './menu.ts';
import { nativeDialogs } from './native-dialogs.ts';
import { registerScreensScheme, setUpScreensProtocol } from './screens-protocol.ts';
import { setUpContentsRestrictions, setUpPermissionDenials } from './security.ts';
import { windowOpened } from './window.ts';

const SCREENS_FOLDER = join(import.meta.dirname, '../../screens');
const PRELOAD = join(import.meta.dirname, '../../preload.cjs');

if (app.requestSingleInstanceLock()) {
  registerScreensScheme(protocol);
  setUpContentsRestrictions(app);
  app.on('second-instance', () => showWindow());
  app.on('window-all-closed', () => {
    if (process.platform !== 'darwin') app.quit();
  });
  await app.whenReady();
  await start();
} else {
  app.quit();
}

async function start(): Promise<void> {
  const services = await servicesOrNothing();
  if (!services) return app.quit();
  setUpPermissionDenials(session.defaultSession);
  setUpScreensProtocol(protocol, SCREENS_FOLDER);
  setUpAskChannel(ipcMain, services.handlers, services.chosen);
  Menu.setApplicationMenu(Menu.buildFromTemplate(menuTemplate(process.platform, sendCommand)));
  openWindow(services);
  services.warm();
  app.on('activate', () => {
    if (BrowserWindow.getAllWindows().length === 0) openWindow(services);
  });
  app.on('will-quit', () => void services.close());
}

/** Starts the services; a damaged archive is set aside only when the user says so. */
async function servicesOrNothing(): Promise<Services | undefined> {
  const archiveFolder = join(app.getPath('userData'), 'archive');
  const begin = () =>
    servicesStarted({
      archiveFolder,
      host: 'desktop',
      dialogs: nativeDialogs(dialog, shell, windowOfClient),
      now: () => new Date().toISOString(),
    });
  let services = begin();
  if (!services.ok && services.problem.code === 'archive-damaged') {
    const { response } = await dialog.showMessageBox({
      type: 'warning',
      message: services.problem.message,
      detail:
        'It can be kept under another name while a new, empty archive is begun. Nothing is deleted; a backup can be restored later.',
      buttons: ['Quit', 'Keep it aside and begin a new archive'],
      defaultId: 0,
      cancelId: 0,
    });
    if (response === 0) return undefined;
    databaseSetAside(Archive.databasePath(archiveFolder), new Date().toISOString());
    services = begin();
  }
  if (services.ok) return services.value;
  dialog.showErrorBox(services.problem.message, services.problem.remedy);
  return undefined;
}

function openWindow(services: Services): void {
  const window = windowOpened((options) => new BrowserWindow(options), screen, {
    preload: PRELOAD,
    settingsFolder: app.getPath('userData'),
  });
  const clientId = `window-${window.webContents.id}`;
  window.on('closed', () => services.clientLeft(clientId));
}

function windowOfClient(clientId: string): BrowserWindow | undefined {
  return BrowserWindow.getAllWindows().find(({ webContents }) => clientId === `window-${webContents.id}`);
}

function showWindow(): void {
  const [window] = BrowserWindow.getAllWindows();
  if (window?.isMinimized()) window.restore();
  window?.focus();
}

function sendCommand(command: string): void {
  BrowserWindow.getFocusedWindow()?.webContents.send(COMMAND_CHANNEL, command);
}
