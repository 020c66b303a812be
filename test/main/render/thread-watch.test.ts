import { expect, it } from 'vitest';
import { type WatchEnd, watchThread } from '../../../main/render/thread-watch.ts';

/** A thread that has used these CPU seconds at each check; then the value stays. */
const threadUsing = (...seconds: readonly number[]) => {
  let looks = 0;
  return {
    looks: () => looks,
    cpuUsage: async () => ({ user: (seconds[looks++] ?? seconds.at(-1)!) * 1e6, system: 0 }),
  };
};
const watched = (thread: ReturnType<typeof threadUsing>, idleLooks: number) =>
  new Promise<WatchEnd>((resolve) => {
    watchThread(thread, { cpuSeconds: 30, lookMs: 1, idleLooks }, resolve);
  });

it('a thread is given up after too much work, counted from when it was asked', async () => {
  const thread = threadUsing(500, 520, 529, 531);
  expect(await watched(thread, 1000)).toBe('too-slow');
  expect(thread.looks()).toBe(4);
});

it('a thread that does nothing and says nothing is given up, one that works a little is not', async () => {
  const thread = threadUsing(5, 5, 5, 6, 6, 6, 7, 7, 7, 7);
  expect(await watched(thread, 3)).toBe('no-answer');
  expect(thread.looks()).toBe(10);
});

it('a thread that cannot be asked does nothing', async () => {
  const thread = { looks: () => 0, cpuUsage: () => Promise.reject(new Error('It has not started.')) };
  expect(await watched(thread, 3)).toBe('no-answer');
});
