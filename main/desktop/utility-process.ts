import type { utilityProcess } from 'electron';
import { HEAP_LIMIT, TASK_CHILD, type TaskProcessStart } from '../tasks/task-process.ts';

/** Processes of Electron, which can be started once the app is ready. They end with the app. */
export const utilityTaskProcess =
  ({ fork }: Pick<typeof utilityProcess, 'fork'>): TaskProcessStart =>
  () => {
    const child = fork(TASK_CHILD, [], {
      serviceName: 'Panelwright work',
      execArgv: [`--js-flags=${HEAP_LIMIT}`],
    });
    return {
      pid: child.pid,
      post: (message) => child.postMessage(message),
      onMessage: (listener) => void child.on('message', listener),
      onExit: (listener) => void child.once('exit', (code) => listener(`exit code ${code}`)),
      kill: () => void child.kill(),
    };
  };
