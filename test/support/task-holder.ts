/** A worker that takes one task and never ends it, to be killed. */
import { setTimeout } from 'node:timers/promises';
import { postgresPlace } from '../../main/archive/postgres-place.ts';
import { TaskQueue } from '../../main/queue/task-queue.ts';

const place = postgresPlace(process.argv[2]!);
if (!place.ok) throw new Error(place.problem.message);
const queue = await TaskQueue.open(place.value, { isWorker: true });
for (;;) {
  if (await queue.take()) console.log('taken');
  await setTimeout(50);
}
