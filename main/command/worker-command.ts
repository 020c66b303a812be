import { type Result, resultOk, resultProblem } from '../../core/measure/result.ts';
import { openArchive } from '../archive/archive.ts';
import { isPostgresPlace } from '../archive/archive-folder.ts';
import { postgresPlace } from '../archive/postgres-place.ts';
import { pastTime } from '../files/clock-text.ts';
import { runWorker } from '../queue/queue-worker.ts';
import { TaskQueue } from '../queue/task-queue.ts';
import { forkTaskProcess } from '../tasks/forked-process.ts';
import { loggedTasks } from '../tasks/logged-tasks.ts';
import { ProcessTasks } from '../tasks/task-runner.ts';
import type { CommandContext, CommandOutcome } from './command-context.ts';
import { notShared } from './queue-command.ts';
import { printable } from './terminal.ts';

/** Takes tasks until it is ended by Ctrl-C or SIGTERM. */
export const workerCommand =
  () =>
  async ({ terminal, tools, archiveFolder, now, log }: CommandContext): Promise<Result<CommandOutcome>> => {
    if (!isPostgresPlace(archiveFolder)) return resultProblem(notShared(archiveFolder));
    const place = postgresPlace(archiveFolder);
    if (!place.ok) return place;
    // What an archive needs is looked at once: a version, a vault that is there.
    const opened = await openArchive(archiveFolder);
    if (!opened.ok) return opened;
    await opened.value.close();
    const tell = (sentence: string) => {
      log?.(`worker: ${sentence}`);
      terminal.printResult({ at: now(), sentence }, [`${pastTime(now())}  ${printable(sentence)}`]);
    };
    const onError = (error: unknown) => log?.('worker: the queue', error);
    const queue = await TaskQueue.open(place.value, { isWorker: true, onError });
    const own = new ProcessTasks(forkTaskProcess);
    const tasks = log ? loggedTasks(own, log) : own;
    tasks.warm();
    tell(`Taking tasks of ${place.value.address}; Ctrl-C ends it.`);
    try {
      await runWorker({ queue, tasks, tell, report: tools.report }, tools.signal);
      tell('Ended.');
    } finally {
      await tasks.close();
      await queue.close();
    }
    return resultOk('done');
  };
