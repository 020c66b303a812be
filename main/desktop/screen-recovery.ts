/** Screens that have crashed are loaded again, where they were; of screens that hang the user is asked. */
import type { BrowserWindow, Dialog } from 'electron';
import type { Log } from '../files/day-log.ts';

/** With more crashes within this time, loading again would not help. */
const MANY = 3;
const MANY_WITHIN_MS = 60_000;

export interface RecoveryTools {
  readonly dialog: Pick<Dialog, 'showMessageBox'>;
  readonly log: Log;
  /** The screens are gone: what they hold and wait for is released. */
  onGone(): void;
  /** The screens are being loaded again. */
  onLoadedAgain(): void;
  readonly now: () => number;
}

export function setUpScreenRecovery(window: BrowserWindow, tools: RecoveryTools): void {
  const { dialog, log } = tools;
  const contents = window.webContents;
  let crashes: number[] = [];
  let isAsking = false;

  const ask = async (message: string, detail: string, signal?: AbortSignal): Promise<boolean> => {
    if (isAsking) return false;
    isAsking = true;
    const { response } = await dialog.showMessageBox(window, {
      type: 'warning',
      message,
      detail,
      buttons: ['Wait', 'Load again'],
      defaultId: 0,
      cancelId: 0,
      ...(signal && { signal }),
    });
    isAsking = false;
    return response === 1 && !window.isDestroyed();
  };
  const loadAgain = (): void => {
    if (window.isDestroyed()) return;
    contents.reload();
    tools.onLoadedAgain();
  };

  contents.on('render-process-gone', (_event, { reason, exitCode }) => {
    if (reason === 'clean-exit' || window.isDestroyed()) return;
    log('The screens stopped', { reason, exitCode });
    tools.onGone();
    crashes = [...crashes, tools.now()].filter((at) => at > tools.now() - MANY_WITHIN_MS);
    // The old process is still ending when this is called.
    if (crashes.length <= MANY) setImmediate(loadAgain);
    else void ask('The screens stop again and again.', SAVED).then((again) => again && loadAgain());
  });

  window.on('unresponsive', () => {
    log('The screens do not answer');
    const answer = new AbortController();
    window.once('responsive', () => answer.abort());
    void ask('The screens do not answer.', SAVED, answer.signal).then((again) => {
      // They come back the way that crashed screens do.
      if (again && !answer.signal.aborted) contents.forcefullyCrashRenderer();
    });
  });
}

const SAVED = 'Everything up to the last saved edit is kept. You can wait, or load the screens again.';
