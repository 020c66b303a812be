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
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Progress } from '../../../core/contract/parts.ts';
import type { Job } from '../../../core/job/schema.ts';
import { forkTaskProcess } from '../../../main/tasks/forked-process.ts';
import type { TaskProcess } from '../../../main/tasks/task-process.ts';
import { ProcessTasks } from '../../../main/tasks/task-runner.ts';
import { tasksInPlace } from '../../../main/tasks/tasks-in-place.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';

const ENDED = { ok: false, problem: { code: 'work-process-ended' } };
const CANCELLED = { ok: false, problem: { code: 'cancelled' } };

let folder: string;
let artwork: { path: string; fileName: string; box: 'crop' };
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-tasks-'));
  artwork = { path: join(folder, 'art.pdf'), fileName: 'art.pdf', box: 'crop' };
  writeFileSync(artwork.path, await smallArtwork());
});
afterAll(() => rmSync(folder, { recursive: true }));

/** Tasks, and the processes that were started for them. */
function startTasks(patienceMs?: number, heapLimit?: string) {
  const started: TaskProcess[] = [];
  const tasks = new ProcessTasks(() => {
    const process = forkTaskProcess(heapLimit);
    started.push(process);
    return process;
  }, patienceMs);
  opened.push(tasks);
  const pid = () => started.at(-1)!.pid!;
  return { tasks, pid, started };
}

const opened: ProcessTasks[] = [];
afterAll(() => Promise.all(opened.map((tasks) => tasks.close())));

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
async function beginPlan(tasks: ProcessTasks, signal?: AbortSignal) {
  const begun = Promise.withResolvers<void>();
  const answer = tasks.run(
    'plan',
    { job: jobOfManyLines(), sideId: 'left', layouts: 'sections', otherRollWidthsMm: [] },
    toolsWith(signal, () => begun.resolve()),
  );
  await begun.promise;
  return { answer };
}

const facts = (tasks: ProcessTasks) => tasks.run('artworkFacts', artwork, toolsWith());

function isRunning(pid: number): boolean {
  try {
    return process.kill(pid, 0);
  } catch {
    return false;
  }
}

const awaitGone = (pid: number) => expect.poll(() => isRunning(pid), { timeout: 60_000 }).toBe(false);

describe('a task in a process of its own', () => {
  // Starting one takes longer than these tests, which share it as long as it lives.
  const { tasks, pid, started } = startTasks();

  it('answers what it answers in place, bytes as bytes', async () => {
    const request = { job: smallJob(), kinds: ['labels' as const], artwork };
    const [there, here] = await Promise.all([
      tasks.run('sheets', request, toolsWith()),
      tasksInPlace.run('sheets', request, toolsWith()),
    ]);
    if (!there.ok || !here.ok) throw new Error('no sheet');
    const [bytes, expected] = [there.value.sheets[0]!.bytes, here.value.sheets[0]!.bytes];
    expect(Object.getPrototypeOf(bytes)).toBe(Uint8Array.prototype);
    expect(Buffer.from(bytes).equals(expected)).toBe(true);
  });

  it('is asked and answers with more than a pipe holds', async () => {
    const fileName = 'ä'.repeat(10_000_000);
    const answer = await tasks.run('artworkFacts', { ...artwork, fileName }, toolsWith());
    expect(answer.ok && answer.value.reference.fileName === fileName).toBe(true);
  });

  it('throws there what it would throw here', async () => {
    const job = { ...smallJob(), sides: undefined } as unknown as Job;
    await expect(tasks.run('production', { job }, toolsWith())).rejects.toThrow(TypeError);
  });

  it('hears while it computes that it is called off, and its process stays', async () => {
    const abort = new AbortController();
    const { answer } = await beginPlan(tasks, abort.signal);
    abort.abort();
    expect(await answer).toMatchObject(CANCELLED);
    expect(await facts(tasks)).toMatchObject({ ok: true });
  });

  it('goes on when Ctrl-C in the terminal reaches its process: the program that started it decides', async () => {
    process.kill(pid(), 'SIGINT');
    expect(await facts(tasks)).toMatchObject({ ok: true });
    expect(started).toHaveLength(1);
  });

  it.each([
    ['SIGKILL', 2],
    ['SIGABRT', 3],
  ] as const)('fails when its process dies by %s, and the next begins another', async (signal, processes) => {
    const { answer } = await beginPlan(tasks);
    const waiting = facts(tasks);
    process.kill(pid(), signal);
    expect(await answer).toMatchObject(ENDED);
    expect(await waiting).toMatchObject({ ...ENDED, problem: { message: expect.stringContaining(signal) } });
    expect(await facts(tasks)).toMatchObject({ ok: true });
    expect(started).toHaveLength(processes);
  });
});

it('a process that has no memory left fails its tasks', async () => {
  const { tasks } = startTasks(undefined, '--max-old-space-size=16');
  expect(await facts(tasks)).toMatchObject(ENDED);
});

it('a task that does not hear is ended with its process; others there keep it', async () => {
  const { tasks, pid } = startTasks(50);
  const abort = new AbortController();
  const { answer } = await beginPlan(tasks, abort.signal);
  const first = pid();
  process.kill(first, 'SIGSTOP');
  const waiting = facts(tasks);
  abort.abort();
  // Several times as long as it would take.
  await setTimeout(200);
  process.kill(first, 'SIGCONT');
  expect(await answer).toMatchObject(CANCELLED);
  expect(await waiting).toMatchObject({ ok: true });

  const second = new AbortController();
  const { answer: unheard } = await beginPlan(tasks, second.signal);
  expect(pid()).toBe(first);
  process.kill(first, 'SIGSTOP');
  second.abort();
  expect(await unheard).toMatchObject(CANCELLED);
  await awaitGone(first);
});

it('work that writes nothing is answered as called off at once, before its process has heard of it', async () => {
  const { tasks, pid, started } = startTasks(600_000);
  const abort = new AbortController();
  const { answer } = await beginPlan(tasks, abort.signal);
  process.kill(pid(), 'SIGSTOP');
  try {
    abort.abort();
    expect(await answer).toMatchObject(CANCELLED);
  } finally {
    process.kill(pid(), 'SIGCONT');
  }
  expect(await facts(tasks)).toMatchObject({ ok: true });
  expect(started).toHaveLength(1);
});

describe('closing', () => {
  it('ends a process that still starts', async () => {
    const { tasks, pid } = startTasks();
    tasks.warm();
    await tasks.close();
    await awaitGone(pid());
  });

  it('calls off what runs, and says so', async () => {
    const { tasks, pid } = startTasks();
    const { answer } = await beginPlan(tasks);
    await tasks.close();
    expect(await answer).toMatchObject(CANCELLED);
    await awaitGone(pid());
  });

  it('ends a process that does not leave', async () => {
    const { tasks, pid } = startTasks(50);
    tasks.warm();
    process.kill(pid(), 'SIGSTOP');
    const answer = facts(tasks);
    await tasks.close();
    expect(await answer).toMatchObject(CANCELLED);
    await awaitGone(pid());
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
    import { forkTaskProcess } from ${module('forked-process.ts')};
    import { ProcessTasks } from ${module('task-runner.ts')};
    const child = forkTaskProcess();
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
    await awaitGone(Number(stdout));
    expect(stderr).toBe('');
  });

  it('is followed when it is killed', async () => {
    const host = spawn(process.execPath, program(''), { stdio: ['ignore', 'pipe', 'pipe'] });
    const [pid] = (await once(createInterface(host.stdout), 'line')) as [string];
    host.kill('SIGKILL');
    await awaitGone(Number(pid));
    expect(await text(host.stderr)).toBe('');
  });
});
