/** Runs on the work thread; see work-thread.ts for the other end. */
import { parentPort } from 'node:worker_threads';
import { TASKS, type TaskTools } from './tasks.ts';
import type { WorkMessage, WorkReply } from './work-thread.ts';

const running = new Map<number, AbortController>();
const reply = (message: WorkReply) => parentPort!.postMessage(message);

parentPort!.on('message', async ({ id, task }: WorkMessage) => {
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
      report: (progress) => reply({ id, progress }),
    });
    reply({ id, result });
  } catch (error) {
    reply({ id, error });
  } finally {
    running.delete(id);
  }
});
