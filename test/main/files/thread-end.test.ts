/** Threads that are asked to end: they leave by themselves, and are stopped only where they do not. */
import { Worker } from 'node:worker_threads';
import { describe, expect, it } from 'vitest';
import { threadEnded } from '../../../main/files/thread-end.ts';
import { WorkThread } from '../../../main/tasks/work-thread.ts';
import { smallJob } from '../../support/small-job.ts';

const LEAVES = `
  const { parentPort } = require('node:worker_threads');
  parentPort.on('message', (message) => { if (message === 'end') process.exit(); });
`;
const STAYS = `
  const { parentPort } = require('node:worker_threads');
  parentPort.on('message', () => undefined);
`;

/** The code is 0 where a thread left by itself, and 1 where it was stopped. */
const exitCode = (worker: Worker) => new Promise<number>((resolve) => worker.once('exit', resolve));

describe('a thread that is to end', () => {
  it('leaves by itself', async () => {
    const worker = new Worker(LEAVES, { eval: true });
    const code = exitCode(worker);
    await threadEnded(worker);
    expect(await code).toBe(0);
  });

  it('is stopped when it does not listen', async () => {
    const worker = new Worker(STAYS, { eval: true });
    const code = exitCode(worker);
    await threadEnded(worker);
    expect(await code).toBe(1);
  });

  it('is not waited for when it has gone already', async () => {
    const worker = new Worker('', { eval: true });
    await exitCode(worker);
    await threadEnded(worker);
  });
});

describe('the work thread', () => {
  it('ends while it still starts', async () => {
    const thread = new WorkThread();
    thread.warm();
    await thread.close();
  });

  it('calls off what runs, and says so, before it ends', async () => {
    const thread = new WorkThread();
    const [side] = smallJob().sides;
    // Lines and areas without number, so that planning takes long.
    const lines = Array.from({ length: 60 }, (_, n) => n);
    const job = smallJob({
      sides: [
        {
          ...side!,
          bodyLines: lines.map((n) => ({
            id: `line-${n}`,
            name: `Line ${n}`,
            kind: 'moulding' as const,
            direction: n % 2 ? ('vertical' as const) : ('horizontal' as const),
            atMm: n % 2 ? 60 + n * 48 : 40 + n * 20,
          })),
        },
      ],
    });
    const begun = Promise.withResolvers<void>();
    const answer = thread.run(
      'plan',
      { job, sideId: 'left', layouts: 'sections', otherRollWidthsMm: [] },
      { signal: new AbortController().signal, report: () => begun.resolve() },
    );
    await begun.promise;
    await thread.close();
    expect(await answer).toMatchObject({ ok: false, problem: { code: 'cancelled' } });
  });
});
