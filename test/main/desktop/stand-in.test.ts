/** That the stand-in for Electron behaves as Electron's sources and documentation say, where a shell can go wrong. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { runInNewContext } from 'node:vm';
import type { Browser } from 'playwright-core';
import { afterAll, afterEach, expect, it } from 'vitest';
import { DesktopRun } from '../../support/electron/desktop-run.ts';
import { preloadScript, valueFromWire, wireFromValue } from '../../support/electron/page-shim.ts';

const home = mkdtempSync(join(tmpdir(), 'panelwright-stand-in-'));
let run: DesktopRun;
afterEach(() => run?.kill());
afterAll(() => rmSync(home, { recursive: true }));

/** No page is loaded here. */
const noBrowser = { newContext: () => new Promise(() => undefined) } as unknown as Browser;

const MANIFEST = { name: 'small', productName: 'Small App' };

function start(entry: string, manifest: object = MANIFEST, openFile?: string): DesktopRun {
  const appFolder = join(home, 'app');
  mkdirSync(appFolder, { recursive: true });
  writeFileSync(
    join(appFolder, 'package.json'),
    JSON.stringify({ type: 'module', main: 'main.js', ...manifest }),
  );
  writeFileSync(
    join(appFolder, 'main.js'),
    `import * as electron from 'electron';\nconst { app, BrowserWindow } = electron;\nconst say = (...words) => console.log(...words);\n${entry}`,
  );
  run = new DesktopRun({ appFolder, home, browser: noBrowser, ...(openFile !== undefined && { openFile }) });
  return run;
}

/** What the program wrote, once it has ended. */
async function said(entry: string, manifest?: object): Promise<string[]> {
  start(entry, manifest);
  expect(await run.exited).toEqual({ code: 0, signal: null });
  return run.output.join('').trim().split('\n');
}

it('1: is ready only once the entry has been evaluated: an entry that awaits it waits for ever', async () => {
  start("setTimeout(() => say('waiting'), 20);\nawait app.whenReady();\nsay('ready');");
  await expect.poll(() => run.output.join(''), { timeout: 20_000 }).toContain('waiting');
  expect(await run.ask({ kind: 'state' })).toEqual({ isReady: false });
  expect(run.told.some(({ kind }) => kind === 'entry-settled')).toBe(false);
});

it('1: refuses before ready what needs it, and afterwards what must come before', async () => {
  const tried =
    'const tried = (name, act) => { try { act(); } catch (error) { say(name, error.message); } };';
  const all = `${tried}
    const { screen, session, protocol, dialog } = electron;
    const acts = () => {
      tried('window', () => new BrowserWindow());
      tried('screen', () => screen.getAllDisplays());
      tried('session', () => session.defaultSession);
      tried('protocol', () => protocol.handle('x', () => new Response('')));
      tried('schemes', () => protocol.registerSchemesAsPrivileged([]));
    };
    acts();
    say('--');
    app.whenReady().then(() => { acts(); app.exit(0); });`;
  const lines = await said(all);
  const names = (part: string[]) => part.map((line) => line.split(' ')[0]);
  expect(names(lines.slice(0, lines.indexOf('--')))).toEqual(['window', 'screen', 'session', 'protocol']);
  expect(names(lines.slice(lines.indexOf('--') + 1))).toEqual(['schemes']);
});

const EVENTS = `
  for (const name of ['before-quit', 'window-all-closed', 'will-quit', 'quit']) app.on(name, () => say(name));
  const open = () => {
    const window = new BrowserWindow();
    for (const name of ['close', 'closed']) window.on(name, () => say(name));
    return window;
  };`;

it('2: quits step by step, without window-all-closed, and awaits nothing', async () => {
  const lines = await said(`${EVENTS}
    app.on('will-quit', () => setTimeout(() => say('too late'), 1000));
    app.whenReady().then(() => { open(); app.quit(); });`);
  expect(lines).toEqual(['before-quit', 'close', 'closed', 'will-quit', 'quit']);
});

it('2: a window that does not close calls the quitting off; exit asks nobody', async () => {
  const lines = await said(`${EVENTS}
    app.whenReady().then(() => {
      open().on('close', (event) => event.preventDefault());
      app.quit();
      say('still here');
      app.exit(0);
    });`);
  expect(lines).toEqual(['before-quit', 'close', 'still here', 'closed', 'quit']);
});

it('2: tells when the last window is closed while nobody quits', async () => {
  const lines = await said(`${EVENTS} app.whenReady().then(() => { open().close(); app.quit(); });`);
  expect(lines).toEqual(['close', 'closed', 'window-all-closed', 'before-quit', 'will-quit', 'quit']);
});

it('3: only warns of a rejection that nobody handles', async () => {
  const lines = await said(
    "Promise.reject(new Error('lost')); setTimeout(() => { say('goes on'); app.exit(0); }, 20);",
  );
  expect(lines).toContain('goes on');
  expect(lines.join('\n')).toMatch(/lost/);
});

it('4: copies what main answers, and refuses what cannot be copied', async () => {
  start(`electron.ipcMain.handle('x', (event, what) => ({
      bytes: Buffer.from('ab'), date: class { toJSON() {} }.prototype.constructor.name, function: () => 0,
    })[what] ?? Object.create({ inherited: 1 }, { own: { value: 2, enumerable: true } }));
    electron.ipcMain.handle('frame', ({ senderFrame }) => senderFrame);
    app.whenReady().then(() => new BrowserWindow());`);
  await run.until(({ kind }) => kind === 'window');
  const frame = { url: 'x://y', isInner: false };
  const invoke = (channel: string, args: unknown[], from: typeof frame | null = frame) =>
    run.ask({ kind: 'invoke', id: 1, frame: from, channel, args });
  const bytes = await invoke('x', ['bytes']);
  expect([bytes, Buffer.isBuffer(bytes)]).toEqual([new Uint8Array([97, 98]), false]);
  expect(await invoke('x', ['other'])).toEqual({ own: 2 });
  await expect(invoke('x', ['function'])).rejects.toThrow(/could not be cloned/);
  await expect(invoke('y', [])).rejects.toThrow(/No handler registered for 'y'/);
  expect(await invoke('frame', [], null)).toBeNull();
});

it('5: copies what crosses the bridge, freezes it, and drops prototypes', async () => {
  const sent: string[] = [];
  const page = Object.assign(
    { structuredClone, btoa, atob, Blob, Error },
    {
      standInSend: async (kind: string, wire: string) => {
        sent.push(kind);
        return { wire };
      },
    },
  ) as Record<string, unknown>;
  Object.assign(page, { self: page, top: page });
  runInNewContext(
    preloadScript(`
      const { contextBridge, ipcRenderer } = require('electron');
      class Odd { own = 1; method() {} }
      contextBridge.exposeInMainWorld('api', {
        odd: new Odd(),
        given: (value) => Object.getPrototypeOf(value) === Object.prototype && value.inner.own,
        ask: () => ipcRenderer.invoke('x', { missing: undefined, bytes: new Uint8Array([7]) }),
        wrong: () => ipcRenderer.invoke('x', () => 0),
      });`),
    page,
  );
  const api = page.api as {
    odd: { own: number; method?: unknown };
    given(value: object): unknown;
    ask(): Promise<[string, object]>;
    wrong(): Promise<unknown>;
  };
  expect(Object.isFrozen(api) && Object.isFrozen(api.odd)).toBe(true);
  expect(Object.keys(api.odd)).toEqual(['own']);
  expect(api.odd.method).toBeUndefined();
  expect(api.given({ inner: Object.assign(Object.create({ method: 1 }), { own: 5 }) })).toBe(5);
  expect(await api.ask()).toEqual(['x', { missing: undefined, bytes: new Uint8Array([7]) }]);
  await expect(api.wrong()).rejects.toThrow(/could not be cloned/);
  expect(sent).toEqual(['invoke']);
});

it('5: keeps undefined, bytes and odd numbers on their way', () => {
  const value = { a: undefined, b: [new Uint8Array([0, 255]), Number.NaN, -0.5, null], c: { d: 'ü' } };
  expect(valueFromWire(wireFromValue(value))).toEqual(value);
  expect(Object.keys(valueFromWire(wireFromValue(value)) as object)).toEqual(['a', 'b', 'c']);
});

it('6: shows a window that is maximized, and rejects an address that does not load', async () => {
  start(`app.whenReady().then(() => {
    const window = new BrowserWindow({ show: false });
    window.on('ready-to-show', () => say('ready-to-show'));
    say(window.isVisible());
    window.maximize();
    say(window.isVisible());
    window.loadURL('x://y').catch((error) => { say(error.message); app.exit(0); });
  });`);
  await run.until(({ kind }) => kind === 'load');
  run.post({ kind: 'load-failed', id: 1, url: 'x://y', error: 'ERR_FAILED' });
  await run.exited;
  expect(run.output.join('').trim().split('\n')).toEqual(['false', 'true', "ERR_FAILED loading 'x://y'"]);
});

it.each([
  [{ name: 'small', productName: 'Small App' }, 'Small App'],
  [{ name: 'small' }, 'small'],
  [{}, 'Electron'],
])('7: is called by the package.json of its folder: %j', async (manifest, name) => {
  const lines = await said("say(app.getPath('userData')); app.exit(0);", manifest);
  expect(lines).toEqual([join(home, '.config', name)]);
});

it('9: hands over a second start with arguments in another order, and files opened early before ready', async () => {
  const entry = `
    app.on('open-file', (event, path) => say('file', path, app.isReady()));
    if (app.requestSingleInstanceLock({ n: process.argv.length })) {
      app.on('second-instance', (event, argv, folder, data) => { say('second', argv.slice(-2), data.n); app.exit(0); });
      app.whenReady().then(() => say('ready'));
    } else { say('other'); app.quit(); }`;
  const first = start(entry, undefined, '/early.txt');
  await run.until(({ kind }) => kind === 'ready');
  const second = new DesktopRun({ appFolder: join(home, 'app'), home, browser: noBrowser, args: ['a', 'b'] });
  expect(await second.exited).toEqual({ code: 0, signal: null });
  await first.exited;
  expect(second.output.join('')).toBe('other\n');
  expect(first.output.join('')).toBe(
    `file /early.txt false\nready\nsecond [ 'a', '${join(home, 'app')}' ] 4\n`,
  );
});
