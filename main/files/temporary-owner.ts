/**
 * Every temporary file and folder has its machine and process in its name. This distinguishes what a killed process
 * left from files that another process is writing now.
 */
import { createHash, randomBytes } from 'node:crypto';
import { hostname } from 'node:os';
import { performance } from 'node:perf_hooks';

const HOST = createHash('sha256').update(hostname()).digest('hex').slice(0, 6);

/** `1f09ab-4711-5d2c…`: machine, process, and a random part that makes names unique. */
export const TEMPORARY_TAG = /(?<host>[0-9a-f]{6})-(?<pid>\d{1,10})-[0-9a-f]{12}/;

/** For files that another machine left on a shared disk: no single write takes a day. */
const ABANDONED_AFTER_MS = 24 * 3600 * 1000;

export const temporaryTag = (): string => `${HOST}-${process.pid}-${randomBytes(6).toString('hex')}`;

/** Whether the file or folder with this tag is abandoned. `changedMs` is its last change. */
export function isAbandoned(tag: string, changedMs: number, nowMs: number): boolean {
  const { host, pid } = TEMPORARY_TAG.exec(tag)?.groups ?? {};
  if (host !== HOST) return nowMs - changedMs > ABANDONED_AFTER_MS;
  if (Number(pid) === process.pid) return changedMs < performance.timeOrigin - CLOCK_SLACK_MS;
  return !isRunning(Number(pid));
}

export const isOfThisMachine = (tag: string): boolean => TEMPORARY_TAG.exec(tag)?.groups?.host === HOST;

/** File systems round times, some to two seconds. */
const CLOCK_SLACK_MS = 2500;

function isRunning(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // EPERM: the process exists, and belongs to another user.
    return (error as NodeJS.ErrnoException).code !== 'ESRCH';
  }
}
