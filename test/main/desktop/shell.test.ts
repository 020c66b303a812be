/** The Electron binary is not needed here: a fake stands in for its modules, and the compiler holds us to the real types. */
import { EventEmitter } from 'node:events';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { BrowserWindow, BrowserWindowConstructorOptions, IpcMain } from 'electron';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { CONTRACT, type ContractVerb } from '../../../core/contract/contract.ts';
import { resultOk } from '../../../core/measure/result.ts';
import { ChosenFiles } from '../../../main/contract/chosen-files.ts';
import type { AskContext, Handlers } from '../../../main/contract/handlers.ts';
import { setUpAskChannel } from '../../../main/desktop/ask-channel.ts';
import { ASK_CHANNEL, CANCEL_CHANNEL, PROGRESS_CHANNEL } from '../../../main/desktop/channels.ts';
import { screenResponse } from '../../../main/desktop/screens-protocol.ts';
import {
  setUpContentsRestrictions,
  setUpPermissionDenials,
  windowPreferences,
} from '../../../main/desktop/security.ts';
import { createWindow, setUpClosing } from '../../../main/desktop/window.ts';
import { FIRST_WINDOW, readWindowState, writeWindowState } from '../../../main/desktop/window-state.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-desktop-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

describe('Electron’s security checklist (electronjs.org, tutorial/security)', () => {
  it('items 2, 3, 4, 6, 8, 9, 11: preferences of every window', () => {
    expect(windowPreferences('preload.cjs')).toMatchObject({
      nodeIntegration: false,
      nodeIntegrationInWorker: false,
      nodeIntegrationInSubFrames: false,
      contextIsolation: true,
      sandbox: true,
      webSecurity: true,
      allowRunningInsecureContent: false,
      experimentalFeatures: false,
      webviewTag: false,
    });
    expect(windowPreferences('preload.cjs')).not.toHaveProperty('enableBlinkFeatures');
  });

  it('item 5: every permission is denied but the one to copy a figure', () => {
    const handlers: Record<string, (...args: never[]) => unknown> = {};
    const keep = (name: string) => (handler: unknown) => {
      handlers[name] = handler as (...args: never[]) => unknown;
    };
    setUpPermissionDenials({
      setPermissionRequestHandler: keep('request'),
      setPermissionCheckHandler: keep('check'),
      setDevicePermissionHandler: keep('device'),
    });
    const decide = vi.fn();
    (handlers.request as (...args: unknown[]) => void)({}, 'geolocation', decide);
    expect(decide).toHaveBeenCalledExactlyOnceWith(false);
    const isAllowed = handlers.check as (...args: unknown[]) => boolean;
    expect(isAllowed({}, 'geolocation')).toBe(false);
    expect(isAllowed({}, 'clipboard-read')).toBe(false);
    expect(isAllowed({}, 'clipboard-sanitized-write')).toBe(true);
    expect(handlers.device!()).toBe(false);
  });

  it('item 7: each file of the screens carries a content security policy without inline script', async () => {
    writeFileSync(join(folder, 'index.html'), '<title>x</title>');
    const response = await screenResponse('panelwright://screens/', folder);
    const policy = response.headers.get('Content-Security-Policy')!;
    expect(policy).toContain("default-src 'none'");
    expect(policy).not.toMatch(/unsafe|\*|https?:/);
  });

  it('items 12, 13, 14: no navigation away, no new window, no web view', () => {
    const app = new EventEmitter();
    setUpContentsRestrictions(app as never);
    let openHandler: (() => { action: string }) | undefined;
    const contents = Object.assign(new EventEmitter(), {
      setWindowOpenHandler: (handler: () => { action: string }) => {
        openHandler = handler;
      },
    });
    app.emit('web-contents-created', {}, contents);
    const isPrevented = (event: string, url: string) => {
      const preventDefault = vi.fn();
      contents.emit(event, { preventDefault }, url);
      return preventDefault.mock.calls.length > 0;
    };
    expect(openHandler!()).toEqual({ action: 'deny' });
    for (const event of ['will-navigate', 'will-redirect']) {
      expect(isPrevented(event, 'https://example.org/')).toBe(true);
      expect(isPrevented(event, 'file:///etc/passwd')).toBe(true);
      expect(isPrevented(event, 'panelwright://screens.example.org/')).toBe(true);
      expect(isPrevented(event, 'panelwright://screens/index.html')).toBe(false);
    }
    expect(isPrevented('will-attach-webview', '')).toBe(true);
  });

  it('item 18: screens come from a scheme of our own that serves nothing outside its folder', async () => {
    mkdirSync(join(folder, 'screens'));
    writeFileSync(join(folder, 'secret.html'), 'outside');
    for (const url of [
      'panelwright://screens/../secret.html',
      'panelwright://screens/%2e%2e/secret.html',
      'panelwright://screens/..%2fsecret.html',
      'panelwright://elsewhere/index.html',
      'panelwright://screens/package.sqlite',
      'not an address',
    ]) {
      expect((await screenResponse(url, join(folder, 'screens'))).status).toBe(404);
    }
  });
});

describe('the ask channel', () => {
  let ipc: EventEmitter & { invoke(event: unknown, message: unknown): Promise<unknown> };
  let chosen: ChosenFiles;
  let asks: ReturnType<typeof setUpAskChannel>;
  const bugs: unknown[] = [];
  const seen: { request: unknown; context: AskContext }[] = [];
  let handle: (context: AskContext) => Promise<unknown> = async () => ({});

  beforeEach(() => {
    seen.length = 0;
    handle = async () => ({});
    let invoked: (event: unknown, message: unknown) => Promise<unknown>;
    ipc = Object.assign(new EventEmitter(), {
      handle: (channel: string, handler: typeof invoked) => {
        expect(channel).toBe(ASK_CHANNEL);
        invoked = handler;
      },
      invoke: (event: unknown, message: unknown) => invoked(event, message),
    });
    chosen = new ChosenFiles();
    const verbs = Object.keys(CONTRACT) as ContractVerb[];
    const handlers = Object.fromEntries(
      verbs.map((verb) => [
        verb,
        async (request: unknown, context: AskContext) => {
          seen.push({ request, context });
          return resultOk(await handle(context));
        },
      ]),
    ) as unknown as Handlers;
    asks = setUpAskChannel(
      ipc as unknown as IpcMain,
      () => ({ handlers, chosen }),
      (error) => bugs.push(error),
    );
  });

  const eventFrom = (url: string | null, parent: unknown = null) => ({
    senderFrame: url === null ? null : { url, parent },
    sender: { id: 7, isDestroyed: () => false, send: vi.fn() },
  });
  const own = () => eventFrom('panelwright://screens/index.html');

  it.each([
    ['another site', eventFrom('https://example.org/')],
    ['a file', eventFrom('file:///tmp/x.html')],
    ['a look-alike', eventFrom('panelwright://screens.example.org/')],
    ['a frame within a screen', eventFrom('panelwright://screens/', {})],
    ['a frame that is gone', eventFrom(null)],
  ])('item 17: does not hear %s', async (_who, event) => {
    const answer = await ipc.invoke(event, { verb: 'job:list', request: {}, ticket: 1 });
    expect(answer).toMatchObject({ ok: false, problem: { code: 'bad-request' } });
    expect(seen).toEqual([]);
  });

  it.each([
    undefined,
    null,
    'job:list',
    { verb: 'job:list' },
    { verb: 'job:list', request: {}, ticket: 0 },
    { verb: 'job:list', request: {}, ticket: 1, more: 1 },
    { verb: 'toString', request: {}, ticket: 1 },
    { verb: 'job:list', request: { limit: 'all' }, ticket: 1 },
    { dropped: '/etc/passwd' },
  ])('refuses %j', async (message) => {
    expect(await ipc.invoke(own(), message)).toMatchObject({ ok: false, problem: { code: 'bad-request' } });
    expect(seen).toEqual([]);
  });

  it('answers, reports progress under the ticket, and cancels', async () => {
    const event = own();
    let release!: () => void;
    handle = async ({ report }) => {
      report({ what: 'cutting', done: 1, total: 3 });
      await new Promise<void>((resolve) => {
        release = resolve;
      });
      return [];
    };
    const answer = ipc.invoke(event, { verb: 'job:list', request: {}, ticket: 41 });
    expect(event.sender.send).toHaveBeenCalledWith(PROGRESS_CHANNEL, 41, {
      what: 'cutting',
      done: 1,
      total: 3,
    });
    ipc.emit(CANCEL_CHANNEL, eventFrom('https://example.org/'), 41);
    expect(seen[0]!.context.signal.aborted).toBe(false);
    ipc.emit(CANCEL_CHANNEL, event, 41);
    expect(seen[0]!.context.signal.aborted).toBe(true);
    release();
    expect(await answer).toEqual({ ok: true, value: [] });
  });

  it('calls off what a window asked for that is gone, and reports a bug as one', async () => {
    handle = ({ signal }) =>
      new Promise((_, reject) => signal.addEventListener('abort', () => reject(new Error('gone'))));
    const answer = ipc.invoke(own(), { verb: 'job:list', request: {}, ticket: 5 });
    asks.cancelAll('window-8');
    expect(seen[0]!.context.signal.aborted).toBe(false);
    asks.cancelAll('window-7');
    expect(await answer).toMatchObject({ ok: false, problem: { code: 'cancelled' } });
    expect(bugs).toEqual([]);
    handle = () => Promise.reject(new Error('a bug'));
    await ipc.invoke(own(), { verb: 'job:list', request: {}, ticket: 6 });
    expect(bugs).toEqual([new Error('a bug')]);
  });

  it('takes a dropped PDF as a chosen file of that window', async () => {
    const answer = (await ipc.invoke(own(), { dropped: '/art/van.pdf' })) as { value: { token: string } };
    expect(chosen.path(answer.value.token, 'file', 'window-7')).toEqual({ ok: true, value: '/art/van.pdf' });
  });
});

describe('the window', () => {
  const displays = [{ workArea: { x: 0, y: 0, width: 1920, height: 1080 } }];

  it('opens where it was left, and at a first size where that display is gone', async () => {
    const path = join(folder, 'window.json');
    expect(readWindowState(path, displays)).toEqual(FIRST_WINDOW);
    await writeWindowState(path, { x: 31, y: 47, width: 1111, height: 777, isMaximized: false });
    expect(readWindowState(path, displays)).toEqual({
      x: 31,
      y: 47,
      width: 1111,
      height: 777,
      isMaximized: false,
    });
    await writeWindowState(path, { x: 4000, y: 47, width: 1111, height: 777, isMaximized: true });
    expect(readWindowState(path, displays)).toEqual({ width: 1111, height: 777, isMaximized: true });
    writeFileSync(path, '{"width": -5}');
    expect(readWindowState(path, displays)).toEqual(FIRST_WINDOW);
  });

  it.each([true, false])('appears only when drawn, maximized %s or not', async (isMaximized) => {
    await writeWindowState(join(folder, 'window.json'), { width: 900, height: 700, isMaximized });
    let options: BrowserWindowConstructorOptions = {};
    const [show, maximize] = [vi.fn(), vi.fn()];
    const window = Object.assign(new EventEmitter(), { show, maximize });
    createWindow(
      (given) => {
        options = given;
        return window as unknown as BrowserWindow;
      },
      { getAllDisplays: () => [] },
      { preload: 'preload.cjs', settingsFolder: folder },
    );
    expect(options).toMatchObject({ show: false, webPreferences: windowPreferences('preload.cjs') });
    expect([show.mock.calls.length, maximize.mock.calls.length]).toEqual([0, 0]);
    window.emit('ready-to-show');
    expect([show.mock.calls.length, maximize.mock.calls.length]).toEqual(isMaximized ? [0, 1] : [1, 0]);
  });

  it('closes once all is saved, and stays where it is not and the user wants to stay', async () => {
    const window = Object.assign(new EventEmitter(), { destroy: vi.fn(), isDestroyed: () => false });
    const leave = vi.fn(async () => false);
    setUpClosing(window as unknown as BrowserWindow, leave);
    const preventDefault = vi.fn();
    window.emit('close', { preventDefault });
    window.emit('close', { preventDefault });
    await vi.waitFor(() => expect(leave).toHaveBeenCalledOnce());
    expect(preventDefault).toHaveBeenCalledTimes(2);
    expect(window.destroy).not.toHaveBeenCalled();
    leave.mockResolvedValue(true);
    window.emit('close', { preventDefault });
    await vi.waitFor(() => expect(window.destroy).toHaveBeenCalledOnce());
  });
});
