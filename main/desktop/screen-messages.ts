/** Main's messages to the screens. They wait until a window listens, which confirms each one. */
import type { IpcMain, WebContents } from 'electron';
import { z } from 'zod';
import type { ScreenMessage } from '../../core/contract/screen-message.ts';
import { DONE_CHANNEL, MESSAGE_CHANNEL } from './channels.ts';
import { isOwnSender } from './security.ts';

/** The number of the message, and whether all that it asked for could be done. */
const DoneMessage = z.tuple([z.number().int().nonnegative(), z.boolean()]);

interface Screens {
  isListening: boolean;
  readonly waiting: ScreenMessage[];
  readonly done: Map<number, (isSaved: boolean) => void>;
}

export class ScreenMessages {
  readonly #screens = new Map<WebContents, Screens>();
  #lastNumber = 0;

  constructor(ipc: Pick<IpcMain, 'on'>) {
    ipc.on(DONE_CHANNEL, (event, ...message: unknown[]) => {
      const done = DoneMessage.safeParse(message);
      const screens = this.#screens.get(event.sender);
      if (!isOwnSender(event) || !screens || !done.success) return;
      const [number, isSaved] = done.data;
      if (number === 0) this.#listens(event.sender, screens);
      else screens.done.get(number)?.(isSaved);
    });
  }

  /** Called once for each window, before it loads anything. */
  watch(contents: WebContents): void {
    const screens: Screens = { isListening: false, waiting: [], done: new Map() };
    this.#screens.set(contents, screens);
    const stop = (): void => {
      screens.isListening = false;
      for (const done of screens.done.values()) done(true);
    };
    contents.on('did-navigate', stop);
    contents.on('render-process-gone', stop);
    contents.once('destroyed', () => {
      stop();
      this.#screens.delete(contents);
    });
  }

  /** Sends a message, at once or when the screens of this window are up. */
  send(contents: WebContents, message: ScreenMessage): void {
    const screens = this.#screens.get(contents);
    if (screens?.isListening) contents.send(MESSAGE_CHANNEL, ++this.#lastNumber, message);
    else screens?.waiting.push(message);
  }

  /** Whether the screens have saved all there was; true also where none are up, or none answer in time. */
  async saveNow(contents: WebContents, limitMs: number): Promise<boolean> {
    const screens = this.#screens.get(contents);
    if (!screens?.isListening) return true;
    const number = this.#lastNumber + 1;
    const isSaved = await new Promise<boolean>((resolve) => {
      const limit = setTimeout(() => resolve(true), limitMs);
      screens.done.set(number, (answer) => {
        clearTimeout(limit);
        resolve(answer);
      });
      this.send(contents, { kind: 'save-now' });
    });
    screens.done.delete(number);
    return isSaved;
  }

  #listens(contents: WebContents, screens: Screens): void {
    screens.isListening = true;
    for (const message of screens.waiting.splice(0)) this.send(contents, message);
  }
}
