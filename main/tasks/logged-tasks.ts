/** Logs what tasks did, by job and output number, and what a process did when it ended. */
import type { Log } from '../files/day-log.ts';
import type { TaskRunner } from './task-runner.ts';
import type { TaskTools } from './task-tools.ts';
import type { TaskName, TaskRequest, TaskResult } from './tasks.ts';

/** Frequent tasks and pictures for the screen are logged only where their process ends. */
const LOGGED: ReadonlySet<TaskName> = new Set(['output', 'reprint', 'patch', 'verification']);

export const loggedTasks = (tasks: TaskRunner, log: Log): TaskRunner => ({
  run: async <N extends TaskName>(
    name: N,
    request: TaskRequest<N>,
    tools: TaskTools,
  ): Promise<TaskResult<N>> => {
    const subject = subjectOf(request);
    const what = subject === '' ? name : `${name} of ${subject}`;
    let doing = '';
    const report: typeof tools.report = (progress) => {
      doing = progress.what;
      tools.report(progress);
    };
    const result = await tasks.run(name, request, { ...tools, report }).catch((error: unknown) => {
      if (!tools.signal.aborted) log(`Error during ${what}`, error);
      throw error;
    });
    const problem = problemOf(result);
    if (problem?.code === 'work-process-ended')
      log(`A process ended during ${what}${doing === '' ? '' : `, “${doing}”`}`, problem.message);
    else if (LOGGED.has(name)) log(`${what}: ${problem ? problem.code : 'done'}`);
    return result;
  },
  warm: () => tasks.warm(),
  close: async () => await tasks.close(),
});

/** `Output 3 of job ACL-0417`, as far as a request says it. */
export function subjectOf(request: unknown): string {
  const { job, output, number, manifest } = (request ?? {}) as {
    readonly job?: { readonly number?: string };
    readonly output?: { readonly number?: number };
    readonly number?: number;
    readonly manifest?: { readonly output?: { readonly number?: number } };
  };
  const outputNumber = output?.number ?? number ?? manifest?.output?.number;
  return [
    ...(typeof outputNumber === 'number' ? [`Output ${outputNumber}`] : []),
    ...(job?.number === undefined ? [] : [`job ${job.number}`]),
  ].join(' of ');
}

const problemOf = (result: unknown): { readonly code: string; readonly message: string } | undefined =>
  (result as { readonly ok?: boolean } | undefined)?.ok === false
    ? (result as { readonly problem: { readonly code: string; readonly message: string } }).problem
    : undefined;
