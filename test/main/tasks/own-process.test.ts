import { expect, it } from 'vitest';
import type { TaskMessage, TaskProcess, TaskReply } from '../../../main/tasks/task-process.ts';
import { ProcessTasks } from '../../../main/tasks/task-runner.ts';

/** Answers each task with its name, except a verification, which kills it. */
function standIn(): TaskProcess & { readonly heard: string[] } {
  let tell: (reply: TaskReply) => void = () => undefined;
  let leave: (how: string) => void = () => undefined;
  const heard: string[] = [];
  return {
    pid: undefined,
    heard,
    post(message: TaskMessage) {
      if (message === 'end') return leave('exit code 0');
      const { id, task } = message;
      if (!task) return;
      heard.push(task.name);
      if (task.name === 'verification') leave('SIGABRT');
      else queueMicrotask(() => tell({ id, result: { ok: true, value: task.name } }));
    },
    onMessage(listener) {
      tell = listener;
    },
    onExit(listener) {
      leave = listener;
    },
    kill: () => leave('SIGKILL'),
  };
}

it('in Electron a verification has a process of its own, whose end fails nothing else', async () => {
  Object.defineProperty(process, 'versions', { value: { ...process.versions, electron: '45.4.1' } });
  const started: ReturnType<typeof standIn>[] = [];
  const tasks = new ProcessTasks(() => {
    const begun = standIn();
    started.push(begun);
    return begun;
  });
  const tools = { signal: new AbortController().signal, report: () => undefined };
  const artwork = { path: 'art.pdf', fileName: 'art.pdf', box: 'crop' } as const;
  const facts = tasks.run('artworkFacts', artwork, tools);
  const verification = tasks.run('verification', { artwork, folder: 'out', job: undefined as never }, tools);
  expect(await verification).toMatchObject({ ok: false, problem: { code: 'work-process-ended' } });
  expect(await facts).toEqual({ ok: true, value: 'artworkFacts' });
  expect(started.map(({ heard }) => heard)).toEqual([['artworkFacts'], ['verification']]);
  await tasks.close();
});
