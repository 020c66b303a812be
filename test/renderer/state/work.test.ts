import { expect, it, vi } from 'vitest';

let answer: (value: unknown) => void = () => undefined;
vi.mock('../../../renderer/client/client.ts', () => ({
  ask: async (_verb: string, _request: unknown, { onProgress }: { onProgress(progress: unknown): void }) => {
    onProgress({ what: 'Cutting', done: 3, total: 7 });
    return await new Promise((resolve) => {
      answer = resolve;
    });
  },
}));
vi.resetModules();
const { workSlot } = await import('../../../renderer/state/work.ts');

it('work for one job shows its progress there and nowhere else, until it is done', async () => {
  const slot = workSlot();
  const running = slot.run('job:list', {}, 'Starting', 'job-a');
  expect(slot.progressOf('job-a')).toEqual({ what: 'Cutting', done: 3, total: 7 });
  expect(slot.progressOf('job-b')).toBeUndefined();
  expect(slot.progress.value).toBeDefined();
  answer({ ok: true, value: [] });
  await running;
  expect(slot.progressOf('job-a')).toBeUndefined();
});
