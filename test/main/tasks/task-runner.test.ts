/** Tasks in a real process: what comes back, what calling off does, and what is left when a process dies. */
import { execFile, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { text } from 'node:stream/consumers';
import { setTimeout } from 'node:timers/promises';
import { promisify } from 'node:util';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import type { Progress } from '../../../core/contract/parts.ts';
import type { Job } from '../../../core/job/schema.ts';
import { forkedTaskProcess } from '../../../main/tasks/forked-process.ts';
import type { TaskProcess } from '../../../main/tasks/task-process.ts';
import { ProcessTasks } from '../../../main/tasks/task-runner.ts';
import { tasksInPlace } from '../../../main/tasks/tasks-in-place.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';

const ENDED = { ok: false, problem: { code: 'work-process-ended' } };
const CANCELLED = { ok: false, problem: { code: 'cancelled' } };

let folder: string;
let artwork: { path: string; fileName: string; box: 'crop' };
let started: TaskProcess[];
let tasks: ProcessTasks | undefined;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-tasks-'));
  artwork = { path: join(folder, 'art.pdf'), fileName: 'art.pdf', box: 'crop' };
  writeFileSync(artwork.path, await smallArtwork());
});
afterAll(() => rmSync(folder, { recursive: true }));
afterEach(() => tasks?.close());

function tasksStarted(patienceMs?: number, heapLimit?: string): ProcessTasks {
  started = [];
  tasks = new ProcessTasks(() => {
    const process = forkedTaskProcess(heapLimit);
    started.push(process);
    return process;
  }, patienceMs);
  return tasks;
}

const toolsWith = (
  signal = new AbortController().signal,
  report: (progress: Progress) => void = () => {},
) => ({
  signal,
  report,
});

/** Lines without number, so that planning takes long. */
function jobOfManyLines(): Job {
  const [side] = smallJob().sides;
  const bodyLines = Array.from({ length: 60 }, (_, n) => ({
    id: `line-${n}`,
    name: `Line ${n}`,
    kind: 'molding' as const,
    direction: n % 2 ? ('vertical' as const) : ('horizontal' as const),
    atMm: n % 2 ? 60 + n * 48 : 40 + n * 20,
  }));
  return smallJob({ sides: [{ ...side!, bodyLines }] });
}

/** A plan that takes long, once it is under way. */
async function planBegun(signal?: AbortSignal) {
  const begun = Promise.withResolvers<void>();
  const answer = tasks!.run(
    'plan',
    { job: jobOfManyLines(), sideId: 'left', layouts: 'sections', otherRollWidthsMm: [] },
    toolsWith(signal, () => begun.resolve()),
  );
  await begun.promise;
  return { answer };
}

const facts = () => tasks!.run('artworkFacts', artwork, toolsWith());

function isRunning(pid: number): boolean {
  try {
    return process.kill(pid, 0);
  } catch {
    return false;
  }
}

const goneAwaited = (pid: number) => expect.poll(() => isRunning(pid), { timeout: 60_000 }).toBe(false);

describe('a task in a process of its own', () => {
  it('answers what it answers in place, bytes as bytes', async () => {
    tasksStarted();
    const request = { job: smallJob(), kind: 'map' as const, artwork };
    const [there, here] = await Promise.all([
      tasks!.run('sheet', request, toolsWith()),
      tasksInPlace.run('sheet', request, toolsWith()),
    ]);
    if (!there.ok || !here.ok) throw new Error('no sheet');
    expect(Object.getPrototypeOf(there.value.bytes)).toBe(Uint8Array.prototype);
    expect(Buffer.from(there.value.bytes).equals(here.value.bytes)).toBe(true);
    expect(started).toHaveLength(1);
  });

  it('is asked and answers with more than a pipe holds', async () => {
    tasksStarted();
    const fileName = 'ä'.repeat(10_000_000);
    const answer = await tasks!.run('artworkFacts', { ...artwork, fileName }, toolsWith());
    expect(answer.ok && answer.value.reference.fileName === fileName).toBe(true);
  });

  it('throws there what it would throw here', async () => {
    tasksStarted();
    const job = { ...smallJob(), sides: undefined } as unknown as Job;
    await expect(tasks!.run('production', { job }, toolsWith())).rejects.toThrow(TypeError);
  });

  it('hears while it computes that it is called off, and its process stays', async () => {
    tasksStarted();
    const abort = new AbortController();
    const { answer } = await planBegun(abort.signal);
    abort.abort();
    expect(await answer).toMatchObject(CANCELLED);
    expect(await facts()).toMatchObject({ ok: true });
    expect(started).toHaveLength(1);
  });

  it('that does not hear is ended with its process; others there keep it', async () => {
    tasksStarted(50);
    const abort = new AbortController();
    const { answer } = await planBegun(abort.signal);
    process.kill(started[0]!.pid!, 'SIGSTOP');
    const waiting = facts();
    abort.abort();
    // Several times as long as it would take.
    await setTimeout(200);
    process.kill(started[0]!.pid!, 'SIGCONT');
    expect(await answer).toMatchObject(CANCELLED);
    expect(await waiting).toMatchObject({ ok: true });

    const second = new AbortController();
    const { answer: unheard } = await planBegun(second.signal);
    process.kill(started[0]!.pid!, 'SIGSTOP');
    second.abort();
    expect(await unheard).toMatchObject(CANCELLED);
    await goneAwaited(started[0]!.pid!);
    expect(await facts()).toMatchObject({ ok: true });
    expect(started).toHaveLength(2);
  });
});

describe('a process that dies', () => {
  it.each(['SIGKILL', 'SIGABRT'] as const)(
    'by %s fails the tasks that wait for it, and the next begins another',
    async (signal) => {
      tasksStarted();
      const { answer } = await planBegun();
      const waiting = facts();
      process.kill(started[0]!.pid!, signal);
      expect(await answer).toMatchObject(ENDED);
      expect(await waiting).toMatchObject({
        ...ENDED,
        problem: { message: expect.stringContaining(signal) },
      });
      expect(await facts()).toMatchObject({ ok: true });
      expect(started).toHaveLength(2);
    },
  );

  it('for want of memory fails its tasks', async () => {
    tasksStarted(undefined, '--max-old-space-size=16');
    expect(await facts()).toMatchObject(ENDED);
  });
});

describe('closing', () => {
  it('ends a process that still starts', async () => {
    tasksStarted().warm();
    await tasks!.close();
    await goneAwaited(started[0]!.pid!);
  });

  it('calls off what runs, and says so', async () => {
    tasksStarted();
    const { answer } = await planBegun();
    await tasks!.close();
    expect(await answer).toMatchObject(CANCELLED);
    await goneAwaited(started[0]!.pid!);
  });

  it('ends a process that does not leave', async () => {
    tasksStarted(50);
    const { answer } = await planBegun();
    process.kill(started[0]!.pid!, 'SIGSTOP');
    await tasks!.close();
    expect(await answer).toMatchObject(CANCELLED);
    await goneAwaited(started[0]!.pid!);
  });
});

/** A program that has begun a plan, prints the number of the process that makes it, and then does what is said. */
const program = (then: string) => {
  const module = (name: string) => JSON.stringify(join(import.meta.dirname, '../../../main/tasks', name));
  const request = { job: jobOfManyLines(), sideId: 'left', layouts: 'sections', otherRollWidthsMm: [] };
  return [
    '--input-type=module',
    '-e',
    `
    import { forkedTaskProcess } from ${module('forked-process.ts')};
    import { ProcessTasks } from ${module('task-runner.ts')};
    const child = forkedTaskProcess();
    const tasks = new ProcessTasks(() => child);
    const begun = Promise.withResolvers();
    const hold = setInterval(() => {}, 1000);
    void tasks.run('plan', ${JSON.stringify(request)}, { signal: new AbortController().signal, report: begun.resolve });
    await begun.promise;
    console.log(child.pid);
    ${then}
  `,
  ];
};

describe('the program that started it', () => {
  it('is not kept alive', async () => {
    const { stdout, stderr } = await promisify(execFile)(process.execPath, program('clearInterval(hold);'));
    await goneAwaited(Number(stdout));
    expect(stderr).toBe('');
  });

  it('is followed when it is killed', async () => {
    const host = spawn(process.execPath, program(''), { stdio: ['ignore', 'pipe', 'pipe'] });
    const [pid] = (await once(createInterface(host.stdout), 'line')) as [string];
    host.kill('SIGKILL');
    await goneAwaited(Number(pid));
    expect(await text(host.stderr)).toBe('');
  });

  it('decides what Ctrl-C in the terminal means', async () => {
    tasksStarted();
    expect(await facts()).toMatchObject({ ok: true });
    process.kill(started[0]!.pid!, 'SIGINT');
    expect(await facts()).toMatchObject({ ok: true });
    expect(started).toHaveLength(1);
  });
});
