/**
 * Stands in for Electron's modules where its binary is not: what the main process imports, with the order of events, the
 * refusals and the copying of the real ones. Published fakes have none of these, and every fault of a shell hides there.
 */
import { EventEmitter } from 'node:events';
import { utilityProcessStandIn } from '../utility-process.ts';
import { app, needReady } from './app.ts';
import { BrowserWindow, hearOfWindows, senderOf } from './browser-window.ts';
import { hear, tell } from './link.ts';

export { app, BrowserWindow };

export const utilityProcess = {
  fork(...given: Parameters<typeof utilityProcessStandIn.fork>) {
    needReady('utilityProcess');
    const child = utilityProcessStandIn.fork(...given);
    child.once('exit', (exitCode) => {
      const details = { type: 'Utility', reason: 'crashed', exitCode, serviceName: given[2]?.serviceName };
      if (exitCode !== 0) app.emit('child-process-gone', {}, details);
    });
    return child;
  },
};

type Handler = (event: unknown, ...args: unknown[]) => unknown;

class IpcMain extends EventEmitter {
  readonly #handlers = new Map<string, Handler>();

  handle(channel: string, handler: Handler): void {
    if (this.#handlers.has(channel)) {
      throw new Error(`Attempted to register a second handler for '${channel}'`);
    }
    this.#handlers.set(channel, handler);
  }

  async invoked(channel: string, event: unknown, args: unknown[]): Promise<unknown> {
    const handler = this.#handlers.get(channel);
    if (!handler) throw new Error(`No handler registered for '${channel}'`);
    // What cannot be cloned cannot be answered: functions, promises, the prototypes of classes.
    return structuredClone(await handler(event, ...args));
  }
}
export const ipcMain = new IpcMain();

type ProtocolHandler = (request: Request) => Response | Promise<Response>;
const schemes = new Map<string, ProtocolHandler>();

export const protocol = {
  registerSchemesAsPrivileged(): void {
    if (app.isReady())
      throw new Error('protocol.registerSchemesAsPrivileged should be called before app is ready');
  },
  handle(scheme: string, handler: ProtocolHandler): void {
    needReady('protocol');
    if (schemes.has(scheme)) throw new Error(`Failed to register protocol: ${scheme}`);
    schemes.set(scheme, handler);
  },
};

export const session = {
  get defaultSession() {
    needReady('session');
    const keep = (): void => undefined;
    return {
      setPermissionRequestHandler: keep,
      setPermissionCheckHandler: keep,
      setDevicePermissionHandler: keep,
    };
  },
};

export const screen = {
  getAllDisplays: () => {
    needReady('screen');
    return [{ workArea: { x: 0, y: 0, width: 1920, height: 1080 } }];
  },
};

export const shell = {
  openPath: async (path: string): Promise<string> => {
    tell({ kind: 'opened-path', path });
    return '';
  },
};

const dialogs = new Map<number, (value: unknown) => void>();
let lastDialog = 0;

function showDialog(name: string, given: unknown[]): Promise<unknown> {
  needReady('dialog');
  const options = given.find((each) => !(each instanceof BrowserWindow)) as Record<string, unknown>;
  const { signal, ...rest } = options as { signal?: AbortSignal; cancelId?: number };
  const call = ++lastDialog;
  tell({ kind: 'dialog', call, name, options: structuredClone(rest) });
  return new Promise((resolve) => {
    dialogs.set(call, resolve);
    signal?.addEventListener('abort', () =>
      resolve({ response: rest.cancelId ?? 0, checkboxChecked: false }),
    );
  });
}

export const dialog = {
  showOpenDialog: (...given: unknown[]) => showDialog('showOpenDialog', given),
  showMessageBox: (...given: unknown[]) => showDialog('showMessageBox', given),
  showErrorBox: (title: string, content: string): void =>
    tell({ kind: 'dialog', call: 0, name: 'showErrorBox', options: { title, content } }),
};

interface Item {
  readonly label?: string;
  readonly role?: string;
  readonly accelerator?: string;
  readonly registerAccelerator?: boolean;
  readonly submenu?: readonly Item[];
  readonly click?: () => void;
}
let applicationMenu: readonly Item[] = [];

export const Menu = {
  buildFromTemplate: (template: readonly Item[]) => template,
  setApplicationMenu(menu: readonly Item[]): void {
    applicationMenu = menu;
  },
};

const nameOf = ({ label, role }: Item): string => label ?? role ?? '';

const itemsBelow = (items: readonly Item[]): Item[] =>
  items.flatMap((item) => [item, ...itemsBelow(item.submenu ?? [])]);

function clickItem(labels: readonly string[]): void {
  let items = applicationMenu;
  let item: Item | undefined;
  for (const label of labels) {
    item = items.find((each) => nameOf(each) === label);
    items = item?.submenu ?? [];
  }
  if (!item) throw new Error(`The menu has no ${labels.join(' > ')}.`);
  if (item.role === 'quit') app.quit();
  else if (item.role === 'close') BrowserWindow.getFocusedWindow()?.close();
  else item.click?.();
}

/** Starts to answer the test. */
export function startStandIn(): void {
  hearOfWindows();
  hear('sent', ({ id, frame, channel, args }) => ipcMain.emit(channel, senderOf(id, frame), ...args));
  hear('invoke', ({ id, frame, channel, args }) => ipcMain.invoked(channel, senderOf(id, frame), args));
  hear('request', async ({ url }) => {
    const handler = schemes.get(new URL(url).protocol.slice(0, -1));
    if (!handler) throw new Error(`ERR_UNKNOWN_URL_SCHEME ${url}`);
    const response = await handler(new Request(url));
    return {
      status: response.status,
      headers: Object.fromEntries(response.headers),
      body: new Uint8Array(await response.arrayBuffer()),
    };
  });
  hear('dialog-answer', ({ call, value }) => dialogs.get(call)?.(value));
  hear('click', ({ labels }) => clickItem(labels));
  hear('click-all', () => {
    const items = itemsBelow(applicationMenu).filter(({ click }) => click);
    for (const { click } of items) click!();
    return items.length;
  });
  hear('menu-keys', ({ keys }) => {
    // Where a menu has registered keys, the system hands them to it, and the page never sees them.
    const item = itemsBelow(applicationMenu).find(
      ({ accelerator, registerAccelerator }) =>
        accelerator?.replace('CmdOrCtrl', 'Control') === keys && registerAccelerator !== false,
    );
    item?.click?.();
    return item !== undefined;
  });
}
