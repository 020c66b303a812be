/**
 * Stands in for Electron's utilityProcess: a process of Node that takes itself for one of Electron's. Messages are
 * copied, and Chromium's switches are not known to Node.
 */
import { fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import type { utilityProcess } from 'electron';

const PRELOAD = fileURLToPath(new URL('./utility-preload.ts', import.meta.url));

export const UTILITY_ARGS = ['--import', PRELOAD];

export const utilityProcessStandIn = {
  fork(modulePath: string, args: string[] = [], { execArgv = [] }: { execArgv?: string[] } = {}) {
    const flags = execArgv.map((arg) => arg.replace(/^--js-flags=/, ''));
    const child = fork(modulePath, args, {
      serialization: 'advanced',
      execArgv: [...UTILITY_ARGS, ...flags],
    });
    return Object.assign(child, { postMessage: (message: object) => child.send(message) });
  },
} as unknown as Pick<typeof utilityProcess, 'fork'>;
