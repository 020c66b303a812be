import { expect, it } from 'vitest';
import { resultProblem } from '../../../core/measure/result.ts';
import type { Archive, JobFilter } from '../../../main/archive/port.ts';
import { readWeek } from '../../../main/services/read-week.ts';
import type { TaskRunner } from '../../../main/tasks/task-runner.ts';

it('all open jobs are on it, however many there are', async () => {
  const all = Array.from({ length: 1203 }, (_, index) => ({
    id: `job-${index}`,
    number: String(index),
    progress: index % 3 === 0 ? 'installed' : 'draft',
  }));
  const missing = { code: 'job-unreadable', message: 'It cannot be read.', remedy: 'Restore it.' };
  const archive = {
    jobs: {
      page: ({ offset = 0, limit = 200 }: JobFilter) =>
        Promise.resolve({ jobs: all.slice(offset, offset + limit), total: all.length }),
      find: () => Promise.resolve(resultProblem(missing)),
    },
    shelf: { items: () => Promise.resolve({}) },
  } as unknown as Archive;
  const planning = {
    run: () => Promise.reject(new Error('No job is read')),
    warm: () => undefined,
    close: () => Promise.resolve(),
  } as unknown as TaskRunner;
  const tools = { signal: new AbortController().signal, report: () => undefined };
  const read = await readWeek(
    { archive, planning },
    { now: '2026-11-23T08:00', dateOrder: 'month-first' },
    tools,
  );
  // Each of them is named, here with why it cannot be drawn.
  expect(read.ok && read.value.leftOut).toHaveLength(802);
});
