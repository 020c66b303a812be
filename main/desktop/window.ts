import { join } from 'node:path';
import type { BrowserWindow, BrowserWindowConstructorOptions, Screen } from 'electron';
import { SCREENS_ORIGIN } from './channels.ts';
import { windowPreferences } from './security.ts';
import { windowStateRead, windowStateWrite } from './window-state.ts';

export interface WindowPlace {
  readonly preload: string;
  readonly settingsFolder: string;
}

/** Opens the window where it was last, and remembers where it is left. */
export function windowOpened(
  create: (options: BrowserWindowConstructorOptions) => BrowserWindow,
  screen: Pick<Screen, 'getAllDisplays'>,
  place: WindowPlace,
): BrowserWindow {
  const statePath = join(place.settingsFolder, 'window.json');
  const { isMaximized, ...bounds } = windowStateRead(statePath, screen.getAllDisplays());
  const window = create({
    ...bounds,
    minWidth: 800,
    minHeight: 600,
    show: false,
    title: 'Panelwright',
    webPreferences: windowPreferences(place.preload),
  });
  if (isMaximized) window.maximize();
  window.once('ready-to-show', () => window.show());
  window.on('close', () => {
    // Losing the window's place is no reason to keep it open or to trouble anyone.
    windowStateWrite(statePath, { ...window.getNormalBounds(), isMaximized: window.isMaximized() }).catch(
      () => undefined,
    );
  });
  void window.loadURL(`${SCREENS_ORIGIN}/`);
  return window;
}
