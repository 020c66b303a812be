/** Windows and what they hold. The page itself is a page of Chromium, in the hands of the test. */
import { EventEmitter } from 'node:events';
import { app, needReady, PreventableEvent } from './app.ts';
import { type FrameFacts, hear, tell } from './link.ts';

interface Options {
  readonly show?: boolean;
  readonly width?: number;
  readonly height?: number;
  readonly x?: number;
  readonly y?: number;
  readonly webPreferences?: { readonly preload?: string };
}

let lastId = 0;
const windows = new Map<number, BrowserWindow>();

export class WebContents extends EventEmitter {
  readonly id: number;
  loading: PromiseWithResolvers<void> | undefined;
  #url = '';
  #isCrashed = false;
  #isDestroyed = false;
  openHandler: ((details: { url: string }) => { action: string }) | undefined;

  constructor(id: number) {
    super();
    this.id = id;
    this.on('renderer-gone', () => {
      this.#isCrashed = true;
    });
  }

  isDestroyed = (): boolean => this.#isDestroyed;
  isCrashed = (): boolean => this.#isCrashed;
  getURL = (): string => this.#url;

  setWindowOpenHandler(handler: (details: { url: string }) => { action: string }): void {
    this.openHandler = handler;
  }

  send(channel: string, ...args: unknown[]): void {
    this.#live();
    // To a renderer that has gone, messages are lost without a word.
    if (!this.#isCrashed) tell({ kind: 'to-page', id: this.id, channel, args: structuredClone(args) });
  }

  async loadURL(url: string): Promise<void> {
    this.#live();
    this.loading = Promise.withResolvers<void>();
    tell({ kind: 'load', id: this.id, url });
    await this.loading.promise;
  }

  reload(): void {
    this.#live();
    tell({ kind: 'load', id: this.id, url: undefined });
  }

  forcefullyCrashRenderer(): void {
    this.#live();
    tell({ kind: 'end-renderer', id: this.id });
  }

  /** The page has been exchanged; none of its scripts has run yet. */
  navigated(url: string): void {
    this.#url = url;
    this.#isCrashed = false;
    this.emit('did-navigate', {}, url, 200, 'OK');
  }

  loaded(): void {
    this.emit('did-finish-load');
    this.loading?.resolve();
  }

  destroyed(): void {
    this.#isDestroyed = true;
    this.loading?.reject(new Error(`ERR_FAILED (-2) loading '${this.#url}'`));
    this.emit('destroyed');
  }

  #live(): void {
    if (this.#isDestroyed) throw new TypeError('Object has been destroyed');
  }
}

export class BrowserWindow extends EventEmitter {
  static getAllWindows = (): BrowserWindow[] => [...windows.values()];
  static getFocusedWindow = (): BrowserWindow | null => BrowserWindow.getAllWindows()[0] ?? null;

  readonly id = ++lastId;
  readonly webContents: WebContents;
  #isVisible: boolean;
  #isMaximized = false;
  #isDestroyed = false;
  #isReadyToShow = false;
  readonly #bounds: { x: number; y: number; width: number; height: number };

  constructor(options: Options = {}) {
    super();
    needReady('BrowserWindow');
    const { width = 800, height = 600, x = 0, y = 0 } = options;
    this.#bounds = { x, y, width, height };
    this.#isVisible = options.show !== false;
    this.webContents = new WebContents(this.id);
    windows.set(this.id, this);
    app.windows.add(this);
    tell({ kind: 'window', id: this.id, preload: options.webPreferences?.preload ?? '', width, height });
    app.emit('browser-window-created', {}, this);
    app.emit('web-contents-created', {}, this.webContents);
  }

  loadURL = (url: string): Promise<void> => this.webContents.loadURL(url);
  isDestroyed = (): boolean => this.#isDestroyed;
  isVisible = (): boolean => this.#isVisible;
  isMaximized = (): boolean => this.#isMaximized;
  isMinimized = (): boolean => false;
  getNormalBounds = (): { x: number; y: number; width: number; height: number } => ({ ...this.#bounds });
  focus(): void {}
  setProgressBar(): void {}

  show(): void {
    if (this.#isVisible) return;
    this.#isVisible = true;
    tell({ kind: 'shown', id: this.id });
  }

  /** To maximize a window is to show it, drawn or not. */
  maximize(): void {
    this.#isMaximized = true;
    this.show();
  }

  close(): void {
    if (this.#isDestroyed) return;
    const event = new PreventableEvent();
    this.emit('close', event);
    if (event.defaultPrevented) app.closeWasPrevented();
    else this.destroy();
  }

  destroy(): void {
    if (this.#isDestroyed) return;
    this.#isDestroyed = true;
    windows.delete(this.id);
    tell({ kind: 'closed', id: this.id });
    this.emit('closed');
    this.webContents.destroyed();
    app.windowClosed(this);
  }

  loaded(): void {
    this.webContents.loaded();
    if (this.#isReadyToShow) return;
    this.#isReadyToShow = true;
    this.emit('ready-to-show');
  }
}

/** Who sent a message. A frame that has gone is null, and its window may have gone as well. */
export function senderOf(
  id: number,
  frame: FrameFacts | null,
): { sender: WebContents; senderFrame: unknown } {
  const sender = windows.get(id)?.webContents;
  if (!sender) throw new Error('The sender has gone.');
  return {
    sender,
    senderFrame: frame && {
      url: frame.url,
      parent: frame.isInner ? { url: sender.getURL(), parent: null } : null,
    },
  };
}

export function hearOfWindows(): void {
  hear('navigated', ({ id, url }) => windows.get(id)?.webContents.navigated(url));
  hear('loaded', ({ id }) => windows.get(id)?.loaded());
  hear('load-failed', ({ id, url, error }) =>
    windows.get(id)?.webContents.loading?.reject(new Error(`${error} loading '${url}'`)),
  );
  hear('renderer-gone', ({ id, reason }) => {
    const contents = windows.get(id)?.webContents;
    contents?.emit('renderer-gone');
    contents?.emit('render-process-gone', {}, { reason, exitCode: reason === 'killed' ? 9 : 5 });
  });
  hear('unresponsive', ({ id }) => windows.get(id)?.emit('unresponsive'));
  hear('responsive', ({ id }) => windows.get(id)?.emit('responsive'));
  hear('close', ({ id }) => windows.get(id)?.close());
  hear('may-navigate', ({ id, url }) => {
    const event = Object.assign(new PreventableEvent(), { url });
    windows.get(id)?.webContents.emit('will-navigate', event, url);
    return !event.defaultPrevented;
  });
}
