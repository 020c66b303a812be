import type { ContractReply } from '../../core/contract/contract.ts';
import { present } from '../../core/measure/present.ts';
import { QUEUE, SCHEMA } from './queue-names.ts';
import { type TaskQueue, taskStateOf } from './task-queue.ts';

type QueueState = NonNullable<ContractReply<'queue:state'>>;

interface TaskRow {
  readonly id: string;
  readonly state: string;
  readonly title: string;
  readonly askedBy: string;
  readonly at: Date;
  readonly tries: number;
  readonly notes: readonly string[] | null;
}

const MOST = 200;

/** Tasks that wait or run, failed or were canceled within a day, or were done within an hour. */
export async function queueState(queue: TaskQueue): Promise<QueueState> {
  const rows = await queue.ask<TaskRow>(
    `SELECT id, state, data ->> 'title' AS title, data ->> 'askedBy' AS "askedBy", created_on AS at,
       retry_count + CASE WHEN started_on IS NULL THEN 0 ELSE 1 END AS tries,
       (SELECT array_agg(text ORDER BY number) FROM ${SCHEMA}.notes WHERE task = job.id) AS notes
     FROM ${SCHEMA}.job WHERE name = $1 AND (state < 'completed'
       OR completed_on > now() - CASE state WHEN 'completed' THEN interval '1 hour' ELSE interval '1 day' END)
     ORDER BY array_position(ARRAY['active', 'retry', 'created', 'failed', 'cancelled', 'completed'], state::text),
       priority DESC, created_on LIMIT ${MOST}`,
    [QUEUE],
  );
  return {
    workers: (await queue.workers()).map(({ machine }) => machine).sort(),
    tasks: rows.map(({ state, at, notes, ...row }) => ({
      ...row,
      state: present(taskStateOf(state), 'The state of a task'),
      at: at.toISOString(),
      notes: [...(notes ?? [])],
    })),
  };
}

/** The state of the queue in one sentence. */
export function queueSentence({ workers, tasks }: QueueState): string {
  const of = (state: string) => tasks.filter((task) => task.state === state).length;
  const running =
    workers.length === 0
      ? 'No worker runs, so each seat does its own work'
      : `${workers.length} ${workers.length === 1 ? 'worker runs' : 'workers run'} (${workers.join(', ')})`;
  return `${running}; tasks: ${of('waiting')} waiting, ${of('running')} running, ${of('failed')} failed within a day.`;
}
