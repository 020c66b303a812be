import { fork } from 'node:child_process';
import { HEAP_LIMIT, TASK_CHILD, type TaskProcess } from './task-process.ts';

/** A process of Node, which keeps the one that started it neither alive nor waiting. */
export function forkTaskProcess(heapLimit = HEAP_LIMIT): TaskProcess {
  const child = fork(TASK_CHILD, [], {
    // Typed arrays and Maps arrive as what they were.
    serialization: 'advanced',
    execArgv: [heapLimit],
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
  });
  child.unref();
  child.channel?.unref();
  return {
    pid: child.pid,
    // What cannot be sent needs no answer of its own: the exit is heard.
    post: (message) => void child.send(message, () => undefined),
    onMessage: (listener) => void child.on('message', listener),
    onExit: (listener) => {
      child.once('exit', (code, signal) => listener(signal ?? `exit code ${code}`));
      child.once('error', (error) => listener(error.message));
    },
    kill: () => void child.kill('SIGKILL'),
  };
}
