import { setImmediate } from 'node:timers/promises';
import { resultProblem } from '../../core/measure/result.ts';
import { cancelledProblem } from '../files/file-problem.ts';
import type { TaskRunner } from './task-runner.ts';
import type { TaskTools } from './task-tools.ts';
import type { TaskName, TaskRequest, TaskResult } from './tasks.ts';

type Task<N extends TaskName> = (request: TaskRequest<N>, tools: TaskTools) => Promise<TaskResult<N>>;

/** For a program that has nothing else to do meanwhile, so that no second process is needed. */
export const tasksInPlace: TaskRunner = {
  async run<N extends TaskName>(name: N, request: TaskRequest<N>, tools: TaskTools): Promise<TaskResult<N>> {
    // The caller may still cancel: some tasks do not wait before they are done.
    await setImmediate();
    if (tools.signal.aborted) return resultProblem(cancelledProblem) as TaskResult<N>;
    // Loaded with the first task: much of what a program does needs none.
    const { TASKS } = await import('./tasks.ts');
    return (TASKS[name] as Task<N>)(request, tools);
  },
  warm: () => undefined,
  close: async () => undefined,
};
