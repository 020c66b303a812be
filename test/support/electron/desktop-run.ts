/**
 * The built desktop program, running in the stand-in for Electron, with its windows as pages of Chromium. The test acts
 * as the person, the system and the file manager do.
 */
import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser, Page, Route } from 'playwright-core';
import type { Asked, FrameFacts, Told } from './link.ts';
import { preloadScript, valueFromWire, wireFromValue } from './page-shim.ts';

const HERE = import.meta.dirname;
const PROGRAM_ARGS = [
  '--unhandled-rejections=warn',
  '--import',
  join(HERE, 'register.ts'),
  join(HERE, 'start.ts'),
];

export interface DesktopOptions {
  /** Folder with the package.json of the program. */
  readonly appFolder: string;
  /** Home of the person, who has no settings yet. */
  readonly home: string;
  readonly browser: Browser;
  readonly args?: readonly string[];
  /** A file whose double click starts the program, as a Mac says it. */
  readonly openFile?: string;
}

/** What the person answers to a dialog; undefined leaves it open. */
export type Answers = (name: string, options: Record<string, unknown>) => unknown;

type Call = Extract<Asked, { call: number }>;
type WithoutCall<T> = T extends unknown ? Omit<T, 'call'> : never;

export class DesktopRun {
  /** What the stand-in said, in order. */
  readonly told: Told[] = [];
  /** What went wrong in pages. */
  readonly troubles: string[] = [];
  readonly output: string[] = [];
  /** Where pages were not let go. */
  readonly refused: string[] = [];
  answers: Answers = () => undefined;
  readonly #child: ChildProcess;
  readonly #browser: Browser;
  readonly #windows = new Map<number, DesktopWindow>();
  readonly #calls = new Map<number, PromiseWithResolvers<unknown>>();
  readonly #waiting = new Set<() => void>();
  #lastCall = 0;
  /** How the process ended. */
  readonly exited: Promise<{ code: number | null; signal: string | null }>;

  constructor({ appFolder, home, browser, args = [], openFile }: DesktopOptions) {
    this.#browser = browser;
    const [script, ...flags] = PROGRAM_ARGS.toReversed() as [string, ...string[]];
    this.#child = fork(script, [appFolder, ...args], {
      cwd: home,
      execArgv: flags.toReversed(),
      env: { PATH: process.env.PATH, HOME: home, ...(openFile && { STAND_IN_OPEN_FILE: openFile }) },
      serialization: 'advanced',
      stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
    });
    for (const stream of [this.#child.stdout!, this.#child.stderr!]) {
      stream.setEncoding('utf8').on('data', (text: string) => this.output.push(text));
    }
    this.exited = once(this.#child, 'exit').then(([code, signal]) => {
      for (const call of this.#calls.values())
        call.reject(new Error(`The program has ended.\n${this.output.join('')}`));
      for (const check of this.#waiting) check();
      return { code, signal };
    });
    this.#child.on('message', (message: Told) => this.#hear(message));
  }

  post(message: Asked): void {
    if (this.#child.connected) this.#child.send(message);
  }

  /** Asks the stand-in, and waits for its answer. */
  async ask(message: WithoutCall<Call>): Promise<unknown> {
    const call = ++this.#lastCall;
    const answer = Promise.withResolvers<unknown>();
    this.#calls.set(call, answer);
    this.post({ ...message, call } as Asked);
    return await answer.promise;
  }

  /** Resolves when the stand-in has said something for which `isIt` holds. */
  async until(isIt: (message: Told) => boolean): Promise<Told> {
    for (;;) {
      const found = this.told.find(isIt);
      if (found) return found;
      if (this.#child.exitCode !== null || this.#child.signalCode !== null) {
        throw new Error(`The program has ended:\n${this.output.join('')}`);
      }
      await new Promise<void>((resolve) => {
        const check = (): void => {
          this.#waiting.delete(check);
          resolve();
        };
        this.#waiting.add(check);
      });
    }
  }

  /** The page of the first window, once it is shown. */
  async page(): Promise<Page> {
    const shown = (await this.until(({ kind }) => kind === 'shown')) as { id: number };
    return this.window(shown.id).page!;
  }

  window(id = 1): DesktopWindow {
    return this.#windows.get(id)!;
  }

  /** Chooses an item of the application menu. */
  click = async (...labels: string[]): Promise<unknown> => await this.ask({ kind: 'click', labels });

  /** Selects every item that does something of the program's own; returns their number. */
  clickAll = async (): Promise<number> => (await this.ask({ kind: 'click-all' })) as number;

  /** Presses keys as the system hands them on: to the menu where it has registered them, else to the page. */
  async press(keys: string): Promise<void> {
    if (!(await this.ask({ kind: 'menu-keys', keys }))) await (await this.page()).keyboard.press(keys);
  }

  quit(): void {
    this.post({ kind: 'quit' });
  }

  kill(): void {
    this.#child.kill('SIGKILL');
  }

  #hear(message: Told): void {
    this.told.push(message);
    this.#act(message).catch((error: unknown) => this.troubles.push(String(error)));
    for (const check of this.#waiting) check();
  }

  async #act(message: Told): Promise<void> {
    switch (message.kind) {
      case 'answer': {
        const call = this.#calls.get(message.call);
        this.#calls.delete(message.call);
        if (message.error === undefined) call?.resolve(message.value);
        else call?.reject(new Error(message.error));
        return;
      }
      case 'window':
        this.#windows.set(message.id, new DesktopWindow(this, this.#browser, message));
        return;
      case 'load':
        return await this.window(message.id).load(message.url);
      case 'to-page':
        return await this.window(message.id).hear(message.channel, message.args);
      case 'end-renderer':
        return await this.window(message.id).crash('killed');
      case 'closed':
        return await this.window(message.id).close();
      case 'dialog': {
        const value = await this.answers(message.name, message.options);
        if (value !== undefined) this.post({ kind: 'dialog-answer', call: message.call, value });
        return;
      }
    }
  }
}

/** A scheme of the program's own, as an origin that Chromium knows and trusts. */
const httpFromScheme = (url: string): string =>
  url.replace(/^([a-z]+):\/\/([a-z]+)/, 'http://$2.$1.localhost');
const schemeFromHttp = (url: string): string =>
  url.replace(/^http:\/\/([a-z]+)\.([a-z]+)\.localhost/, '$2://$1');

class DesktopWindow {
  page: Page | undefined;
  readonly #run: DesktopRun;
  readonly #browser: Browser;
  readonly #facts: Extract<Told, { kind: 'window' }>;
  #loading = '';
  #gone: 'crashed' | 'killed' = 'crashed';

  constructor(run: DesktopRun, browser: Browser, facts: Extract<Told, { kind: 'window' }>) {
    this.#run = run;
    this.#browser = browser;
    this.#facts = facts;
  }

  /** Loads an address, or the one that is shown, in a new renderer if the old one has gone. */
  async load(address: string | undefined): Promise<void> {
    const url = address ?? schemeFromHttp(this.page!.url());
    this.#loading = httpFromScheme(url);
    const page = await this.#openPage();
    const { id } = this.#facts;
    try {
      await page.goto(this.#loading, { waitUntil: 'load' });
      this.#run.post({ kind: 'loaded', id });
    } catch (error) {
      this.#run.post({ kind: 'load-failed', id, url, error: String(error) });
    }
  }

  async #openPage(): Promise<Page> {
    const { width, height, id } = this.#facts;
    const old = this.page;
    const context = old?.context() ?? (await this.#browser.newContext({ viewport: { width, height } }));
    if (!old) {
      await context.exposeBinding('standInSend', async ({ frame, page }, kind: string, wire: string) => {
        const [channel, ...args] = valueFromWire(wire) as [string, ...unknown[]];
        const facts = { url: schemeFromHttp(frame.url()), isInner: frame !== page.mainFrame() };
        return await this.#carry(kind, facts, channel, args);
      });
      await context.addInitScript({ content: preloadScript(readFileSync(this.#facts.preload, 'utf8')) });
      await context.route('**/*', (route) => this.#serve(route));
    }
    const page = await context.newPage();
    page.setDefaultTimeout(20_000);
    page.on('pageerror', (error) => this.#run.troubles.push(error.stack ?? error.message));
    page.on('console', (message) => {
      if (message.type() === 'error') this.#run.troubles.push(message.text());
    });
    page.on('crash', () => this.#run.post({ kind: 'renderer-gone', id, reason: this.#gone }));
    this.page = page;
    await old?.close().catch(() => undefined);
    return page;
  }

  async #carry(kind: string, frame: FrameFacts, channel: string, args: unknown[]): Promise<object> {
    const { id } = this.#facts;
    if (kind === 'send') {
      this.#run.post({ kind: 'sent', id, frame, channel, args });
      return {};
    }
    try {
      return { wire: wireFromValue(await this.#run.ask({ kind: 'invoke', id, frame, channel, args })) };
    } catch (error) {
      return { error: (error as Error).message };
    }
  }

  /** Every request goes to the protocol handler in main; other places exist only if main lets the page go there. */
  async #serve(route: Route): Promise<void> {
    const request = route.request();
    const url = schemeFromHttp(request.url());
    const { id } = this.#facts;
    try {
      if (request.isNavigationRequest() && request.url() !== this.#loading) {
        if (!(await this.#run.ask({ kind: 'may-navigate', id, url }))) {
          await route.abort('aborted');
          this.#run.refused.push(url);
          return;
        }
      }
      const { status, headers, body } = (await this.#run.ask({ kind: 'request', url })) as {
        status: number;
        headers: Record<string, string>;
        body: Uint8Array;
      };
      // Main is notified of a new page before the first script of that page runs.
      if (request.isNavigationRequest()) this.#run.post({ kind: 'navigated', id, url });
      await route.fulfill({ status, headers, body: Buffer.from(body) });
    } catch {
      await route.abort('failed').catch(() => undefined);
    }
  }

  async hear(channel: string, args: unknown[]): Promise<void> {
    const say = `standInHear(${JSON.stringify(channel)}, ${JSON.stringify(wireFromValue(args))})`;
    await this.page!.evaluate(say).catch((error: unknown) => {
      if (!this.page!.isClosed() && !/crashed|closed|destroyed/.test(String(error))) throw error;
    });
  }

  /** Ends the renderer, as a fault in it would. */
  async crash(reason: 'crashed' | 'killed' = 'crashed'): Promise<void> {
    this.#gone = reason;
    const crashed = this.page!.waitForEvent('crash');
    const session = await this.page!.context().newCDPSession(this.page!);
    session.send('Page.crash').catch(() => undefined);
    await crashed;
  }

  async close(): Promise<void> {
    await this.page?.context().close();
  }
}
