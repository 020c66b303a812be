/** What an action of the command line works with, and the exit code that comes of it. */

import type { Problem } from '../../core/measure/result.ts';
import { archivePlace, isPostgresPlace } from '../archive/archive-folder.ts';
import type { Log } from '../files/day-log.ts';
import type { TaskRunner } from '../tasks/task-runner.ts';
import { tasksInPlace } from '../tasks/tasks-in-place.ts';
import type { CommandContext } from './command-context.ts';
import type { Action } from './command-definition.ts';
import { EXIT, type ExitCode, exitCodeOf } from './exit-code.ts';
import { type Streams, Terminal } from './terminal.ts';

export interface CommandHost extends Streams {
  readonly signal: AbortSignal;
  now(): string;
  /** See CommandContext. */
  readonly locale: string;
  /** Absent: nothing is logged. */
  readonly log?: Log;
}

export interface GlobalOptions {
  readonly archive: string;
  readonly vault?: string;
  readonly json: boolean;
}

/** Runs the action of a command: with its archive where it asks for one. Says on stderr what went wrong. */
export async function runAction(
  action: Action,
  globals: GlobalOptions,
  host: CommandHost,
): Promise<ExitCode> {
  const terminal = new Terminal(host, globals.json);
  const now = () => host.now();
  const place = archivePlace(globals.archive, globals.vault);
  const { loggedTasks } = await import('../tasks/logged-tasks.ts');
  const work = host.log ? loggedTasks(tasksInPlace, host.log) : tasksInPlace;
  const acting = { work, planning: work, now };
  const context: CommandContext = {
    ...acting,
    terminal,
    tools: { signal: host.signal, report: (progress) => terminal.printProgress(progress) },
    archiveFolder: place,
    locale: host.locale,
    log: host.log,
    withArchive: async (use) => {
      const { openArchive } = await import('../archive/archive.ts');
      const archive = await openArchive(place);
      if (!archive.ok) return archive;
      const queued = isPostgresPlace(place) ? await queuedWork(place, tasksInPlace, host.log) : undefined;
      try {
        return await use({
          ...acting,
          ...(queued && { work: queued.work, planning: queued.work }),
          archive: archive.value,
        });
      } finally {
        await queued?.close();
        await archive.value.close();
      }
    },
  };
  const { tryArchive } = await import('../archive/port.ts');
  const outcome = await tryArchive(() => action(context));
  if (outcome.ok) return outcome.value === 'blocked' ? EXIT.blocked : EXIT.done;
  terminal.printProblem(outcome.problem);
  return exitCodeOf(outcome.problem as Problem);
}

/** Work of a shared archive, which its workers do where any are there. */
async function queuedWork(place: string, local: TaskRunner, log: Log | undefined) {
  const { SeatQueue } = await import('../queue/seat-queue.ts');
  const { QueueTasks } = await import('../queue/queue-tasks.ts');
  const { loggedTasks } = await import('../tasks/logged-tasks.ts');
  const queue = new SeatQueue(place, log);
  const tasks = new QueueTasks({ queue, local, log });
  return { work: log ? loggedTasks(tasks, log) : tasks, close: async () => await queue.close() };
}
