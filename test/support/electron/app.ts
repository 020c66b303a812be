/** Electron's app: when it is ready, how it quits, and that it runs once. */
import { EventEmitter } from 'node:events';
import {
  mkdirSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  renameSync,
  rmSync,
  symlinkSync,
  watch,
  writeFileSync,
} from 'node:fs';
import { homedir } from 'node:os';
import { join, resolve } from 'node:path';
import { hear, tell } from './link.ts';

/** An event that a listener may prevent. */
export class PreventableEvent {
  defaultPrevented = false;
  preventDefault(): void {
    this.defaultPrevented = true;
  }
}

interface Closable {
  close(): void;
  destroy(): void;
}

export class App extends EventEmitter {
  readonly windows = new Set<Closable>();
  #isReady = false;
  #isQuitting = false;
  #isExiting = false;
  #whenReady = Promise.withResolvers<void>();
  #folder = '';
  #manifest: { name?: string; productName?: string; version?: string } = {};
  #lock: string | undefined;

  /** The name, and so every folder of the program, comes from the package.json of what was started. */
  begin(folder: string): string {
    this.#folder = folder;
    this.#manifest = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'));
    hear('quit', () => this.quit());
    hear('state', () => ({ isReady: this.#isReady }));
    return resolve(folder, (this.#manifest as { main: string }).main);
  }

  /** Called once the entry has been evaluated, and never before. The file that a Mac starts the program for comes first. */
  becomeReady(): void {
    const { STAND_IN_OPEN_FILE: path } = process.env;
    if (path !== undefined) this.emit('open-file', new PreventableEvent(), path);
    this.#isReady = true;
    this.emit('ready', {}, {});
    this.#whenReady.resolve();
    tell({ kind: 'ready' });
  }

  isReady = (): boolean => this.#isReady;
  whenReady = (): Promise<void> => this.#whenReady.promise;
  getName = (): string => this.#manifest.productName ?? this.#manifest.name ?? 'Electron';
  getVersion = (): string => this.#manifest.version ?? '';
  getAppPath = (): string => this.#folder;

  getPath(name: string): string {
    const config = process.env.XDG_CONFIG_HOME ?? join(homedir(), '.config');
    const given = process.argv.find((argument) => argument.startsWith('--user-data-dir='));
    const userData = given?.slice(given.indexOf('=') + 1) ?? join(config, this.getName());
    const paths: Record<string, string> = {
      userData,
      appData: config,
      logs: join(userData, 'logs'),
      home: homedir(),
    };
    if (paths[name] === undefined) throw new Error(`Failed to get '${name}' path`);
    return paths[name];
  }

  /** As Chromium does on Linux: a link names the process that runs. The second one leaves its words and goes. */
  requestSingleInstanceLock(additionalData: unknown = {}): boolean {
    const folder = this.getPath('userData');
    mkdirSync(folder, { recursive: true });
    this.#lock = join(folder, 'SingletonLock');
    try {
      symlinkSync(String(process.pid), this.#lock);
    } catch {
      if (isRunning(Number(readlinkSync(this.#lock)))) {
        const words = { argv: process.argv, workingDirectory: process.cwd(), additionalData };
        const path = join(folder, `Second-${process.pid}`);
        writeFileSync(`${path}.tmp`, JSON.stringify(words));
        renameSync(`${path}.tmp`, `${path}.json`);
        this.#lock = undefined;
        return false;
      }
      rmSync(this.#lock);
      symlinkSync(String(process.pid), this.#lock);
    }
    watch(folder, () => this.#secondInstances(folder));
    return true;
  }

  /** Chromium puts switches first and adds some of its own: the order of arguments says nothing. */
  #secondInstances(folder: string): void {
    for (const name of readdirSync(folder).filter((each) => /^Second-\d+\.json$/.test(each))) {
      const { argv, workingDirectory, additionalData } = JSON.parse(readFileSync(join(folder, name), 'utf8'));
      rmSync(join(folder, name));
      const [program, ...rest] = argv as string[];
      const inOrder = [program, '--allow-file-access-from-files', ...rest.toReversed()];
      this.emit('second-instance', {}, inOrder, workingDirectory, additionalData);
    }
  }

  quit(): void {
    if (this.#isQuitting) return;
    const before = new PreventableEvent();
    this.emit('before-quit', before);
    if (before.defaultPrevented) return;
    this.#isQuitting = true;
    if (this.windows.size === 0) this.#willQuit();
    for (const window of [...this.windows]) if (this.#isQuitting) window.close();
  }

  /** Without asking anybody: no before-quit, no close, no will-quit. */
  exit(code = 0): void {
    this.#isExiting = true;
    for (const window of [...this.windows]) window.destroy();
    this.#shutDown(code);
  }

  /** A window refused to close, so the program continues. */
  closeWasPrevented(): void {
    this.#isQuitting = false;
  }

  windowClosed(window: Closable): void {
    this.windows.delete(window);
    if (this.windows.size > 0 || this.#isExiting) return;
    if (this.#isQuitting) {
      this.#willQuit();
      return;
    }
    tell({ kind: 'window-all-closed' });
    if (!this.emit('window-all-closed')) this.quit();
  }

  #willQuit(): void {
    const event = new PreventableEvent();
    tell({ kind: 'will-quit' });
    this.emit('will-quit', event);
    if (event.defaultPrevented) this.#isQuitting = false;
    else this.#shutDown(0);
  }

  /** Nothing is awaited: threads and writes under way are cut off. */
  #shutDown(code: number): void {
    this.emit('quit', {}, code);
    tell({ kind: 'quit' });
    if (this.#lock !== undefined) rmSync(this.#lock, { force: true });
    setImmediate(() => process.exit(code));
  }
}

function isRunning(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch {
    return false;
  }
}

export const app = new App();

export function needReady(what: string): void {
  if (!app.isReady()) throw new Error(`${what} cannot be used before the app is ready`);
}
