/** Crashes in the logs of the last days. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { namesIn } from './atomic-write.ts';
import { DAY_MS, LOG_NAME } from './day-log.ts';

/** Lines about crashes of the last days, oldest first. */
export function crashesLogged(folder: string, today: string, days: number): string[] {
  const oldest = Date.parse(today) - days * DAY_MS;
  const names = namesIn(folder).filter((name) => Date.parse(LOG_NAME.exec(name)?.[1] ?? '') > oldest);
  return names.sort().flatMap((name) =>
    textOf(join(folder, name))
      .split('\n')
      .filter((line) => CRASH.test(line)),
  );
}

/** The lines that `setUpErrorLog`, the desktop shell and `loggedTasks` write. */
const CRASH = /^\S+ (?:Uncaught error|Unhandled rejection|A process (?:stopped|ended))/;

function textOf(path: string): string {
  try {
    return readFileSync(path, 'utf8');
  } catch {
    return '';
  }
}
