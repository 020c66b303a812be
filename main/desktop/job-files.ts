/**
 * Job files that the user opens on the desktop. A Mac sends an event, which may come before the program is ready; other
 * systems start the program with the file's name, or start a second one, which passes the name to the first and ends.
 */
import { resolve } from 'node:path';
import type { App } from 'electron';
import { z } from 'zod';

const JOB_FILE = /^[^-].*\.pwjob$/i;

/** What a second program says to the first. Its arguments would arrive in another order, among Chromium's own. */
const SecondStart = z.strictObject({ jobFiles: z.array(z.string().regex(JOB_FILE)).max(100) });
type SecondStart = z.infer<typeof SecondStart>;

/** Those named on a command line, by their full paths. */
export const jobFilesNamed = (argv: readonly string[], workingFolder: string): SecondStart => ({
  jobFiles: argv
    .slice(1)
    .filter((argument) => JOB_FILE.test(argument))
    .map((name) => resolve(workingFolder, name)),
});

export interface JobFiles {
  /** Passes on the files that came so far, and from then on each as it comes. */
  forEach(open: (path: string) => void): void;
}

/** `onSecondStart` also runs where the second start named no file: the user wants to see the window. */
export function setUpJobFiles(app: Pick<App, 'on'>, first: SecondStart, onSecondStart: () => void): JobFiles {
  const waiting = [...first.jobFiles];
  let open = (path: string): void => void waiting.push(path);
  app.on('open-file', (event, path) => {
    event.preventDefault();
    open(path);
  });
  app.on('second-instance', (_event, _argv, _workingFolder, data) => {
    onSecondStart();
    for (const path of SecondStart.safeParse(data).data?.jobFiles ?? []) open(path);
  });
  return {
    forEach(given) {
      open = given;
      for (const path of waiting.splice(0)) given(path);
    },
  };
}
