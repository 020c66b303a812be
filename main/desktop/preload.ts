/**
 * The bridge between a window and main: it passes on the contract's messages and nothing else. The page
 * never sees Electron; main checks every message again on arrival.
 */
import { contextBridge, type IpcRendererEvent, ipcRenderer, webUtils } from 'electron';
import { ASK_CHANNEL, CANCEL_CHANNEL, DONE_CHANNEL, MESSAGE_CHANNEL, PROGRESS_CHANNEL } from './channels.ts';

let lastTicket = 0;

const bridge = {
  host: 'desktop',
  /** Asks main; `ticket` names the question in `cancel` and in progress reports. */
  ask(verb: string, request: unknown, onProgress: (progress: unknown) => void) {
    const ticket = ++lastTicket;
    const listener = (_event: IpcRendererEvent, reportedTicket: number, progress: unknown) => {
      if (reportedTicket === ticket) onProgress(progress);
    };
    ipcRenderer.on(PROGRESS_CHANNEL, listener);
    const answer = ipcRenderer
      .invoke(ASK_CHANNEL, { verb, request, ticket })
      .finally(() => ipcRenderer.removeListener(PROGRESS_CHANNEL, listener));
    return { answer, cancel: () => ipcRenderer.send(CANCEL_CHANNEL, ticket) };
  },
  /** A file that the user dropped on the window, as a chosen file. */
  async dropped(file: File): Promise<unknown> {
    return await ipcRenderer.invoke(ASK_CHANNEL, { dropped: webUtils.getPathForFile(file) });
  },
  /** The listener tells main when it is done with a message, and whether it could act on it. */
  onMessage(listener: (message: unknown) => Promise<boolean>): void {
    ipcRenderer.on(MESSAGE_CHANNEL, (_event, number: number, message: unknown) => {
      void listener(message).then(
        (isDone) => ipcRenderer.send(DONE_CHANNEL, number, isDone),
        () => ipcRenderer.send(DONE_CHANNEL, number, false),
      );
    });
    ipcRenderer.send(DONE_CHANNEL, 0, true);
  },
};

export type DesktopBridge = typeof bridge;

contextBridge.exposeInMainWorld('panelwrightDesktop', bridge);
