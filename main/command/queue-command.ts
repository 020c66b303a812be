import { present } from '../../core/measure/present.ts';
import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { isPostgresPlace } from '../archive/archive-folder.ts';
import { postgresPlace } from '../archive/postgres-place.ts';
import { postgresProblem } from '../archive/postgres-problems.ts';
import { pastTime } from '../files/clock-text.ts';
import { queueSentence, queueState } from '../queue/queue-state.ts';
import { TaskQueue } from '../queue/task-queue.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { printable, tableLines } from './terminal.ts';

/** The first digits of the id of a task, enough to tell it from others. */
const SHORT = 8;

/** Shows what waits, runs and failed, or cancels one task. */
export const queueCommand =
  ({ cancel }: { readonly cancel?: string }) =>
  async (context: CommandContext): Promise<Result<CommandOutcome>> =>
    await withQueue(context, async (queue) => {
      const { terminal } = context;
      const state = await queueState(queue);
      if (cancel !== undefined) {
        const found = state.tasks.filter(({ id }) => id.startsWith(cancel));
        const [task] = found;
        if (!task || found.length > 1) return resultProblem(unknownTask(cancel, found.length));
        const isCanceled = await queue.cancel(task.id);
        terminal.printResult({ id: task.id, isCanceled }, [
          isCanceled
            ? `${printable(task.title)} is canceled.`
            : `${printable(task.title)} had ended: ${task.state}.`,
        ]);
        return resultOk('done');
      }
      const rows = state.tasks.map(({ id, state: is, title, askedBy, at, tries }) => [
        id.slice(0, SHORT),
        is,
        title,
        askedBy,
        pastTime(at),
        String(tries),
      ]);
      const lines = tableLines([['Task', 'State', 'What', 'Asked by', 'When', 'Tries'], ...rows]);
      terminal.printResult(state, [
        queueSentence(state),
        ...(rows.length === 0 ? [] : lines.slice(0, 1)),
        ...state.tasks.flatMap(({ notes }, index) => [
          present(lines[index + 1], 'A line of the table'),
          ...notes.filter((note) => !/^(begun|done) by /.test(note)).map((note) => `    ${printable(note)}`),
        ]),
      ]);
      return resultOk('done');
    });

async function withQueue<T>(
  { archiveFolder, log }: CommandContext,
  use: (queue: TaskQueue) => Promise<Result<T>>,
): Promise<Result<T>> {
  if (!isPostgresPlace(archiveFolder)) return resultProblem(notShared(archiveFolder));
  const place = postgresPlace(archiveFolder);
  if (!place.ok) return place;
  try {
    const queue = await TaskQueue.open(place.value, { onError: (error) => log?.('The queue', error) });
    try {
      return await use(queue);
    } finally {
      await queue.close();
    }
  } catch (error) {
    const problem = postgresProblem(error, place.value.address);
    if (problem) return resultProblem(problem);
    throw error;
  }
}

export const notShared = (place: string) => ({
  code: 'archive-not-shared',
  message: `The archive ${place} is a folder of one machine, which does its heavy work itself.`,
  remedy: 'Name a shared archive: --archive postgres://server/database --vault FOLDER.',
});

const unknownTask = (named: string, found: number) => ({
  code: 'archive-task-unknown',
  message:
    found === 0 ? `The queue has no task ${named}.` : `${found} tasks of the queue begin with ${named}.`,
  remedy: 'Name one that panelwright queue lists.',
});
