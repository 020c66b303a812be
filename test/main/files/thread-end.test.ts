/** Threads that are asked to end: they leave by themselves, and are stopped only where they do not. */
import { once } from 'node:events';
import { Worker } from 'node:worker_threads';
import { describe, expect, it } from 'vitest';
import { endThread } from '../../../main/files/thread-end.ts';

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
    await endThread(worker);
    expect(await code).toBe(0);
  });

  it('is stopped when it does not listen', async () => {
    const worker = new Worker(STAYS, { eval: true });
    const code = exitCode(worker);
    await once(worker, 'online');
    await endThread(worker, 50);
    expect(await code).toBe(1);
  });

  it('is not waited for when it has gone already', async () => {
    const worker = new Worker('', { eval: true });
    await exitCode(worker);
    await endThread(worker);
  });
});
