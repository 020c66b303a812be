/** The parts of the shell, each by itself: fakes stand in for what Electron hands them. */
import { EventEmitter } from 'node:events';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { BrowserWindow, IpcMain, MenuItemConstructorOptions, WebContents } from 'electron';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { MENU_KEYS, type MenuCommand } from '../../../core/contract/screen-message.ts';
import { defaultArchiveFolder } from '../../../main/archive/archive-folder.ts';
import { DONE_CHANNEL, MESSAGE_CHANNEL } from '../../../main/desktop/channels.ts';
import { jobFilesNamed, setUpJobFiles } from '../../../main/desktop/job-files.ts';
import { LastFolders } from '../../../main/desktop/last-folders.ts';
import { menuTemplate } from '../../../main/desktop/menu.ts';
import { nativeDialogs } from '../../../main/desktop/native-dialogs.ts';
import { setUpQuit } from '../../../main/desktop/quit.ts';
import { ScreenMessages } from '../../../main/desktop/screen-messages.ts';
import { setUpScreenRecovery } from '../../../main/desktop/screen-recovery.ts';
import { openLog } from '../../../main/files/day-log.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-shell-'));
});
afterEach(() => {
  vi.useRealTimers();
  rmSync(folder, { recursive: true });
});

it('window, command line and host keep one archive, where PANELWRIGHT_ARCHIVE says or the system has program data', () => {
  const env = { PANELWRIGHT_ARCHIVE: '/shop/archive', XDG_DATA_HOME: '/data', APPDATA: '/roaming' };
  for (const system of ['linux', 'darwin', 'win32'] as const) {
    expect(defaultArchiveFolder(system, env, '/home/a')).toBe('/shop/archive');
  }
  expect(defaultArchiveFolder('linux', { XDG_DATA_HOME: '/data' }, '/home/a')).toBe(
    '/data/panelwright/archive',
  );
  expect(defaultArchiveFolder('linux', {}, '/home/a')).toBe('/home/a/.local/share/panelwright/archive');
});

describe('the log', () => {
  it('has one plain line for each event, a file for each day, and forgets days after thirty', () => {
    for (const name of ['panelwright-2026-02-07.log', 'panelwright-2026-02-08.log', 'notes.log']) {
      writeFileSync(join(folder, name), '');
    }
    let now = '2026-03-09T23:59:59.000Z';
    const log = openLog(folder, () => now);
    log('Start', { version: '1.2.3' });
    log('Unexpected error', Object.assign(new Error(), { stack: 'Error: odd\n    at here\n    at there' }));
    now = '2026-03-10T00:00:01.000Z';
    log('Quit');
    expect(readdirSync(folder).toSorted()).toEqual([
      'notes.log',
      'panelwright-2026-03-09.log',
      'panelwright-2026-03-10.log',
    ]);
    expect(readFileSync(join(folder, 'panelwright-2026-03-09.log'), 'utf8')).toBe(
      '2026-03-09T23:59:59.000Z Start: {"version":"1.2.3"}\n' +
        '2026-03-09T23:59:59.000Z Unexpected error: Error: odd | at here | at there\n',
    );
  });

  it('stops nobody where it cannot be written', () => {
    writeFileSync(join(folder, 'file'), '');
    openLog(join(folder, 'file', 'logs'), () => '2026-03-09T10:00:00.000Z')('Start');
    expect(existsSync(join(folder, 'file', 'logs'))).toBe(false);
  });
});

it('each kind of dialog opens in the folder that it was left in, after a restart too', async () => {
  const [art, out] = [join(folder, 'art'), join(folder, 'out')];
  for (const path of [art, out]) mkdirSync(path);
  const path = join(folder, 'folders.json');
  const asked: (string | undefined)[] = [];
  const properties: (readonly string[])[] = [];
  let answers: string[][] = [];
  const dialogs = () =>
    nativeDialogs(
      {
        showOpenDialog: (async (options: { defaultPath?: string; properties: string[] }) => {
          asked.push(options.defaultPath);
          properties.push(options.properties);
          const filePaths = answers.shift() ?? [];
          return { canceled: filePaths.length === 0, filePaths };
        }) as never,
      },
      { openPath: async () => '' },
      () => undefined,
      new LastFolders(path),
    );
  answers = [[join(art, 'left.pdf'), join(art, 'right.pdf')], [out]];
  const first = dialogs();
  expect(await first.chooseFiles('artwork', 'w')).toEqual([join(art, 'left.pdf'), join(art, 'right.pdf')]);
  expect(await first.chooseFolder('Folder to write the job to', 'w')).toBe(out);
  expect(await first.chooseFiles('artwork', 'w')).toEqual([]);
  await vi.waitFor(() => expect(readFileSync(path, 'utf8')).toContain(out));
  const second = dialogs();
  await second.chooseFolder('Folder to write the job to', 'w');
  await second.chooseFiles('job-bundle', 'w');
  rmSync(art, { recursive: true });
  await second.chooseFiles('artwork', 'w');
  expect(asked).toEqual([undefined, undefined, art, out, undefined, undefined]);
  expect(properties.map((given) => given.includes('multiSelections'))).toEqual([
    true,
    false,
    true,
    false,
    false,
    true,
  ]);
});

describe('job files', () => {
  it('are found among the arguments, in the folder in which the program was started', () => {
    expect(
      jobFilesNamed(['electron', 'dist', '--lang=de.pwjob', 'a b.PWJOB', '/x/c.pwjob', 'd.pdf'], '/jobs'),
    ).toEqual({
      jobFiles: ['/jobs/a b.PWJOB', '/x/c.pwjob'],
    });
  });

  it('wait until the window can show them, whichever way they come', () => {
    const app = new EventEmitter();
    const shown = vi.fn();
    const files = setUpJobFiles(app as never, { jobFiles: ['/first.pwjob'] }, shown);
    const preventDefault = vi.fn();
    app.emit('open-file', { preventDefault }, '/double-clicked.pwjob');
    const opened: string[] = [];
    files.forEach((path) => void opened.push(path));
    app.emit('second-instance', {}, ['x', '/not-from-here.pwjob'], '/', { jobFiles: ['/second.pwjob'] });
    app.emit('second-instance', {}, [], '/', { jobFiles: ['/etc/passwd'] });
    app.emit('second-instance', {}, [], '/', undefined);
    expect(opened).toEqual(['/first.pwjob', '/double-clicked.pwjob', '/second.pwjob']);
    expect(preventDefault).toHaveBeenCalledOnce();
    expect(shown).toHaveBeenCalledTimes(3);
  });
});

describe('quitting', () => {
  it('waits for all that is to be closed, once, and then ends', async () => {
    const app = Object.assign(new EventEmitter(), { exit: vi.fn() });
    let close!: () => void;
    setUpQuit(
      app as never,
      {
        mayLeave: async () => true,
        close: () =>
          new Promise<void>((resolve) => {
            close = resolve;
          }),
      },
      () => undefined,
    );
    const preventDefault = vi.fn();
    app.emit('before-quit', { preventDefault });
    await vi.waitFor(() => expect(close).toBeDefined());
    app.emit('before-quit', { preventDefault });
    expect(preventDefault).toHaveBeenCalledTimes(2);
    expect(app.exit).not.toHaveBeenCalled();
    close();
    await vi.waitFor(() => expect(app.exit).toHaveBeenCalledExactlyOnceWith(0));
  });

  it('ends after eight seconds where something does not close, and after a failure too', async () => {
    vi.useFakeTimers();
    for (const close of [() => new Promise<void>(() => undefined), () => Promise.reject(new Error('no'))]) {
      const app = Object.assign(new EventEmitter(), { exit: vi.fn() });
      setUpQuit(app as never, { mayLeave: async () => true, close }, () => undefined);
      app.emit('before-quit', { preventDefault: () => undefined });
      await vi.advanceTimersByTimeAsync(8001);
      expect(app.exit).toHaveBeenCalledExactlyOnceWith(0);
    }
  });

  it('is off where the user stays with what is not saved, and can be asked for again', async () => {
    const app = Object.assign(new EventEmitter(), { exit: vi.fn() });
    const mayLeave = vi.fn(async () => false);
    setUpQuit(app as never, { mayLeave, close: async () => undefined }, () => undefined);
    app.emit('before-quit', { preventDefault: () => undefined });
    await vi.waitFor(() => expect(mayLeave).toHaveBeenCalledOnce());
    await new Promise(setImmediate);
    expect(app.exit).not.toHaveBeenCalled();
    mayLeave.mockResolvedValue(true);
    app.emit('before-quit', { preventDefault: () => undefined });
    await vi.waitFor(() => expect(app.exit).toHaveBeenCalledOnce());
  });
});

describe('messages to the screens', () => {
  const frame = { parent: null, url: 'panelwright://screens/' };
  const windowOf = () => Object.assign(new EventEmitter(), { id: 3, send: vi.fn() });
  const started = () => {
    const ipc = new EventEmitter();
    const contents = windowOf();
    const messages = new ScreenMessages(ipc as unknown as IpcMain);
    messages.watch(contents as unknown as WebContents);
    const done = (number: unknown, isSaved: unknown = true, from: object = frame) =>
      ipc.emit(DONE_CHANNEL, { sender: contents, senderFrame: from }, number, isSaved);
    const send = (command: MenuCommand) =>
      messages.send(contents as unknown as WebContents, { kind: 'command', command });
    const saveNow = () => messages.saveNow(contents as unknown as WebContents, 1000);
    return { contents, done, send, saveNow };
  };

  it('wait until the screens listen, and again after a crash', () => {
    const { contents, done, send } = started();
    send('undo');
    done(0, true, { parent: null, url: 'https://example.org/' });
    done('0');
    expect(contents.send).not.toHaveBeenCalled();
    done(0);
    send('redo');
    contents.emit('render-process-gone');
    send('keys-show');
    const sent = () => contents.send.mock.calls.map(([channel, , message]) => [channel, message.command]);
    expect(sent()).toEqual([
      [MESSAGE_CHANNEL, 'undo'],
      [MESSAGE_CHANNEL, 'redo'],
    ]);
    done(0);
    expect(sent()).toHaveLength(3);
  });

  it('tell whether all was saved, and wait for no screens that cannot answer', async () => {
    vi.useFakeTimers();
    const { contents, done, saveNow } = started();
    expect(await saveNow()).toBe(true);
    done(0);
    const refused = saveNow();
    done(1, false);
    expect(await refused).toBe(false);
    const crashed = saveNow();
    contents.emit('render-process-gone');
    expect(await crashed).toBe(true);
    done(0);
    const hung = saveNow();
    await vi.advanceTimersByTimeAsync(1000);
    expect(await hung).toBe(true);
  });
});

describe('screens that crash or hang', () => {
  const started = (response: number) => {
    const contents = Object.assign(new EventEmitter(), { reload: vi.fn(), forcefullyCrashRenderer: vi.fn() });
    const window = Object.assign(new EventEmitter(), { webContents: contents, isDestroyed: () => false });
    const showMessageBox = vi.fn(async () => ({ response, checkboxChecked: false }));
    const [onGone, onLoadedAgain] = [vi.fn(), vi.fn()];
    setUpScreenRecovery(window as unknown as BrowserWindow, {
      dialog: { showMessageBox },
      log: () => undefined,
      onGone,
      onLoadedAgain,
      now: () => 5,
    });
    const crash = (reason = 'crashed') => contents.emit('render-process-gone', {}, { reason, exitCode: 5 });
    return { contents, window, showMessageBox, onGone, onLoadedAgain, crash };
  };

  it('are loaded again with a sentence, and asked about when they crash again and again', async () => {
    const { contents, showMessageBox, onGone, onLoadedAgain, crash } = started(1);
    crash('clean-exit');
    expect(onGone).not.toHaveBeenCalled();
    for (let n = 0; n < 3; n++) crash();
    expect(contents.reload).not.toHaveBeenCalled();
    await new Promise(setImmediate);
    expect([contents.reload, onGone, onLoadedAgain].map(({ mock }) => mock.calls.length)).toEqual([3, 3, 3]);
    expect(showMessageBox).not.toHaveBeenCalled();
    crash();
    expect(showMessageBox).toHaveBeenCalledOnce();
    await vi.waitFor(() => expect(contents.reload).toHaveBeenCalledTimes(4));
  });

  it.each([
    [0, false, false],
    [1, false, true],
    [1, true, false],
  ])('are asked about when they hang: answer %i, back meanwhile %s', async (response, isBack, isEnded) => {
    const { contents, window, showMessageBox } = started(response);
    window.emit('unresponsive');
    window.emit('unresponsive');
    if (isBack) window.emit('responsive');
    await new Promise(setImmediate);
    expect(showMessageBox).toHaveBeenCalledOnce();
    expect(contents.forcefullyCrashRenderer.mock.calls.length > 0).toBe(isEnded);
  });
});

describe('the menu', () => {
  const noActs = () => ({ send: vi.fn(), openLogFolder: vi.fn(), restoreBackup: vi.fn() });
  const items = (platform: NodeJS.Platform, acts = noActs()) =>
    menuTemplate(platform, acts).flatMap(({ submenu }) =>
      Array.isArray(submenu) ? submenu : [],
    ) as MenuItemConstructorOptions[];

  it.each(['win32', 'darwin', 'linux'] as const)(
    'of %s sends each command once, and no two have one key',
    (platform) => {
      const send = vi.fn();
      const all = items(platform, { ...noActs(), send });
      const keys = all.flatMap(({ accelerator }) => accelerator ?? []);
      expect(new Set(keys).size).toBe(keys.length);
      for (const { click } of all) (click as (() => void) | undefined)?.();
      const sent = send.mock.calls.map(([command]) => command);
      expect(sent.toSorted()).toEqual(Object.keys(MENU_KEYS).toSorted());
    },
  );

  it('leaves the keys to the screens where the system would hand them to the menu first', () => {
    const shown = (platform: NodeJS.Platform, label: string) => {
      const item = items(platform).find((each) => each.label === label);
      return [item?.accelerator, item?.registerAccelerator];
    };
    expect(shown('win32', 'Redo')).toEqual(['CmdOrCtrl+Y', false]);
    expect(shown('darwin', 'Redo')).toEqual(['CmdOrCtrl+Shift+Z', true]);
    expect(shown('linux', 'Zoom in')).toEqual(['CmdOrCtrl+Plus', false]);
    expect(shown('linux', 'Make everything larger')).toEqual(['CmdOrCtrl+Alt+Plus', false]);
    const roles = menuTemplate('darwin', noActs()).map(({ role }) => role);
    expect(roles).toEqual(expect.arrayContaining(['appMenu', 'windowMenu', 'help']));
  });
});
