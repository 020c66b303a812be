/**
 * Events of the program itself: one plain line per event, one file per day, kept for thirty days. It names errors and
 * versions, and contains nothing from any artwork.
 */
import { appendFileSync, readdirSync, rmSync } from 'node:fs';
import { homedir } from 'node:os';
import { join, resolve } from 'node:path';
import { makeFolderSync } from './make-folder.ts';

const KEPT_DAYS = 30;
export const DAY_MS = 86_400_000;
/** The name of a day's file. */
export const LOG_NAME = /^panelwright-(\d{4}-\d{2}-\d{2})\.log$/;

export type Log = (event: string, detail?: unknown) => void;

/** Where programs without a window write logs: PANELWRIGHT_LOGS, or the system's folder for logs. */
export function defaultLogFolder(
  platform: NodeJS.Platform = process.platform,
  env: NodeJS.ProcessEnv = process.env,
  home: string = homedir(),
): string {
  if (env.PANELWRIGHT_LOGS) return resolve(env.PANELWRIGHT_LOGS);
  if (platform === 'win32')
    return join(env.LOCALAPPDATA ?? join(home, 'AppData', 'Local'), 'Panelwright', 'logs');
  if (platform === 'darwin') return join(home, 'Library', 'Logs', 'Panelwright');
  return join(env.XDG_STATE_HOME ?? join(home, '.local', 'state'), 'panelwright', 'logs');
}

/** `now` returns an ISO date-time. If the log cannot be written, the program continues. */
export function openLog(folder: string, now: () => string): Log {
  let day = '';
  return (event, detail) => {
    const at = now();
    try {
      if (day !== at.slice(0, 10)) {
        day = at.slice(0, 10);
        makeFolderSync(folder);
        removeOldLogs(folder, day);
      }
      appendFileSync(join(folder, `panelwright-${day}.log`), `${at} ${oneLine(event, detail)}\n`);
    } catch {}
  };
}

/**
 * Logs uncaught errors. Electron shows errors in its own dialog, and rejections only in a terminal that nobody sees.
 */
export function setUpErrorLog(of: Pick<NodeJS.Process, 'on'>, log: Log): void {
  of.on('uncaughtExceptionMonitor', (error) => log('Uncaught error', error));
  of.on('unhandledRejection', (reason) => log('Unhandled rejection', reason));
}

function removeOldLogs(folder: string, today: string): void {
  const oldest = Date.parse(today) - KEPT_DAYS * DAY_MS;
  for (const name of readdirSync(folder)) {
    const day = LOG_NAME.exec(name)?.[1];
    if (day !== undefined && Date.parse(day) <= oldest) rmSync(join(folder, name));
  }
}

function oneLine(event: string, detail: unknown): string {
  if (detail === undefined) return event;
  const text = detail instanceof Error ? (detail.stack ?? detail.message) : JSON.stringify(detail);
  return `${event}: ${text}`.replaceAll(/\s*\n\s*/g, ' | ');
}
