/** Runs tasks on the thread of task-child.ts; see task-runner.ts for who asks. */
import { parentPort, receiveMessageOnPort } from 'node:worker_threads';
import { present } from '../../core/measure/present.ts';
import { resultProblem } from '../../core/measure/result.ts';
import { cancelledProblem } from '../files/file-problem.ts';
import { THREAD_END } from '../files/thread-end.ts';
import { endSparePictureThread } from '../render/picture-thread.ts';
import type { TaskMessage, TaskReply } from './task-process.ts';
import type { TaskTools } from './task-tools.ts';
import { TASKS } from './tasks.ts';

const port = present(parentPort, 'The thread that started this one');
const running = new Map<number, AbortController>();
let isEnding = false;
const reply = (message: TaskReply) => port.postMessage(message);

port.on('message', (message: TaskMessage) => void takeMessage(message));

async function takeMessage(message: TaskMessage): Promise<void> {
  if (message === THREAD_END) {
    isEnding = true;
    for (const abort of running.values()) abort.abort();
    leaveWhenDone();
    return;
  }
  const { id, task } = message;
  if (!task) {
    running.get(id)?.abort();
    return;
  }
  const abort = new AbortController();
  running.set(id, abort);
  const run = TASKS[task.name] as (request: unknown, tools: TaskTools) => Promise<unknown>;
  try {
    const result = await run(task.request, {
      signal: abort.signal,
      report: (progress) => {
        reply({ id, progress });
        takeCancels();
      },
    });
    reply({ id, result });
  } catch (error) {
    // An error caused by a cancel loses its name in transit.
    reply(abort.signal.aborted ? { id, result: resultProblem(cancelledProblem) } : { id, error });
  } finally {
    running.delete(id);
    leaveWhenDone();
  }
}

function leaveWhenDone(): void {
  // Ends this thread alone, once no other that it started is left.
  if (isEnding && running.size === 0) void endSparePictureThread().then(() => process.exit());
}

/**
 * A task that never waits would notice a cancel only at its end, so messages are read with each report. New work waits
 * until the present task waits or ends.
 */
function takeCancels(): void {
  for (let received = receiveMessageOnPort(port); received; received = receiveMessageOnPort(port)) {
    const message = received.message as TaskMessage;
    if (message !== THREAD_END && message.task) setImmediate(() => void takeMessage(message));
    else void takeMessage(message);
  }
}
