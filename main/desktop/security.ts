/**
 * What no page may do, with any content: leave the app's own screens, open windows, ask for devices or notifications,
 * attach web views. Follows Electron's published security checklist.
 */
import type { App, IpcMainEvent, IpcMainInvokeEvent, Session, WebContents, WebPreferences } from 'electron';
import { SCREENS_ORIGIN } from './channels.ts';

export function windowPreferences(preload: string): WebPreferences {
  return {
    preload,
    contextIsolation: true,
    sandbox: true,
    nodeIntegration: false,
    nodeIntegrationInWorker: false,
    nodeIntegrationInSubFrames: false,
    webSecurity: true,
    allowRunningInsecureContent: false,
    experimentalFeatures: false,
    webviewTag: false,
    navigateOnDragDrop: false,
    spellcheck: false,
  };
}

export function isOwnScreen(url: string): boolean {
  return url === SCREENS_ORIGIN || url.startsWith(`${SCREENS_ORIGIN}/`);
}

/** Only the top frame of one of our own screens is heard. */
export function isOwnSender(event: IpcMainEvent | IpcMainInvokeEvent): boolean {
  const frame = event.senderFrame;
  return frame !== null && frame.parent === null && isOwnScreen(frame.url);
}

/** Applies to every web contents that is ever made, not only to the window that we open ourselves. */
export function setUpContentsRestrictions(app: Pick<App, 'on'>): void {
  app.on('web-contents-created', (_event, contents) => restrictContents(contents));
}

function restrictContents(contents: WebContents): void {
  contents.on('will-navigate', (event, url) => {
    if (!isOwnScreen(url)) event.preventDefault();
  });
  contents.on('will-redirect', (event, url) => {
    if (!isOwnScreen(url)) event.preventDefault();
  });
  contents.on('will-attach-webview', (event) => event.preventDefault());
  contents.setWindowOpenHandler(() => ({ action: 'deny' }));
}

/** Figures are copied to the clipboard; nothing reads it. */
const COPYING = 'clipboard-sanitized-write';

export function setUpPermissionDenials(
  session: Pick<
    Session,
    'setPermissionRequestHandler' | 'setPermissionCheckHandler' | 'setDevicePermissionHandler'
  >,
): void {
  session.setPermissionRequestHandler((_contents, permission, decide) => decide(permission === COPYING));
  session.setPermissionCheckHandler((_contents, permission) => permission === COPYING);
  session.setDevicePermissionHandler(() => false);
}
