import { join } from 'node:path';
import type { BrowserWindow, BrowserWindowConstructorOptions, Screen } from 'electron';
import { windowPreferences } from './security.ts';
import { readWindowState, writeWindowState } from './window-state.ts';

const statePath = (settingsFolder: string): string => join(settingsFolder, 'window.json');

/** Makes a window where it was last, still empty; it appears once it has something to show. */
export function createWindow(
  create: (options: BrowserWindowConstructorOptions) => BrowserWindow,
  screen: Pick<Screen, 'getAllDisplays'>,
  place: { readonly preload: string; readonly settingsFolder: string },
): BrowserWindow {
  const { isMaximized, ...bounds } = readWindowState(
    statePath(place.settingsFolder),
    screen.getAllDisplays(),
  );
  const window = create({
    ...bounds,
    minWidth: 800,
    minHeight: 600,
    show: false,
    title: 'Panelwright',
    webPreferences: windowPreferences(place.preload),
  });
  // To maximize a window is to show it.
  window.once('ready-to-show', () => (isMaximized ? window.maximize() : window.show()));
  return window;
}

/** Remembers where a window is left. To lose its place is no reason to keep it open or to trouble anyone. */
export async function keepWindowPlace(window: BrowserWindow, settingsFolder: string): Promise<void> {
  const state = { ...window.getNormalBounds(), isMaximized: window.isMaximized() };
  await writeWindowState(statePath(settingsFolder), state).catch(() => undefined);
}

/** Closes a window only when `leave` allows it: it saves first, and asks where that fails. */
export function setUpClosing(window: BrowserWindow, leave: () => Promise<boolean>): void {
  let isLeaving = false;
  window.on('close', (event) => {
    event.preventDefault();
    if (isLeaving) return;
    isLeaving = true;
    void leave().then((mayClose) => {
      isLeaving = false;
      if (mayClose && !window.isDestroyed()) window.destroy();
    });
  });
}
