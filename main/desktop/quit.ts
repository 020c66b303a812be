/**
 * Electron awaits nothing when it quits: threads would be cut off and the database left open, so that every quit would
 * count as a crash. So its own quitting is put off, everything is closed, and then the program ends.
 */
import type { App } from 'electron';
import type { Log } from '../files/day-log.ts';

const CLOSE_MS = 8000;

export interface Leaving {
  /** Saves what the screens hold; false where something could not be saved and the user wants to stay. */
  mayLeave(): Promise<boolean>;
  close(): Promise<void>;
}

export function setUpQuit(app: Pick<App, 'on' | 'exit'>, leaving: Leaving, log: Log): void {
  let isLeaving = false;
  const leave = async (): Promise<void> => {
    if (!(await leaving.mayLeave())) return;
    const limit = new Promise<string>((resolve) => setTimeout(resolve, CLOSE_MS, 'not closed in time'));
    const how = await Promise.race([leaving.close().then(() => 'closed'), limit]).catch((error) => error);
    log('Quit', how);
    app.exit(0);
  };
  app.on('before-quit', (event) => {
    event.preventDefault();
    if (isLeaving) return;
    isLeaving = true;
    leave()
      .catch((error) => log('Quitting failed', error))
      .finally(() => {
        isLeaving = false;
      });
  });
}
