/**
 * Counts the calls that change files, and kills the process right before one of them: the moments between
 * two of them are short, and a kill by the clock seldom finds them.
 */
import fs from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';

const CHANGES = ['rename', 'rm', 'rmdir', 'mkdir', 'open', 'copyFile'] as const;

/** `killAt` counts from 1; 0 kills never. Returns how many calls there have been. */
export async function watchFileCalls(killAt: number): Promise<() => number> {
  let calls = 0;
  const counted = <F extends (...args: never[]) => unknown>(call: F): F =>
    function (this: unknown, ...args: Parameters<F>) {
      calls++;
      if (calls === killAt) process.kill(process.pid, 'SIGKILL');
      return call.apply(this, args);
    } as F;
  for (const name of CHANGES) Object.assign(fs.promises, { [name]: counted(fs.promises[name]) });
  const handle = await fs.promises.open(process.execPath, 'r');
  const fileHandle = Object.getPrototypeOf(handle) as fs.promises.FileHandle;
  await handle.close();
  for (const name of ['sync', 'writeFile'] as const) {
    Object.assign(fileHandle, { [name]: counted(fileHandle[name]) });
  }
  // From here on modules that import these functions by name get the counting ones.
  syncBuiltinESMExports();
  calls = 0;
  return () => calls;
}
