/** Heavy work of a shared archive, handed to workers through its database. */
import { spawn } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { once } from 'node:events';
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import type { Progress } from '../../../core/contract/parts.ts';
import { jobToJson } from '../../../core/job/job-json.ts';
import { type Result, resultOk, resultProblem } from '../../../core/measure/result.ts';
import { archivePlace } from '../../../main/archive/archive-folder.ts';
import { postgresPlace } from '../../../main/archive/postgres-place.ts';
import { cancelledProblem } from '../../../main/files/file-problem.ts';
import { sha256Hex } from '../../../main/files/sha256.ts';
import { QueueTasks } from '../../../main/queue/queue-tasks.ts';
import { runWorker } from '../../../main/queue/queue-worker.ts';
import { SeatQueue } from '../../../main/queue/seat-queue.ts';
import { PRIORITY, TaskQueue } from '../../../main/queue/task-queue.ts';
import type { TaskRunner } from '../../../main/tasks/task-runner.ts';
import type { TaskTools } from '../../../main/tasks/task-tools.ts';
import type { TaskRequest } from '../../../main/tasks/tasks.ts';
import { tasksInPlace } from '../../../main/tasks/tasks-in-place.ts';
import { askDatabase } from '../../support/archive-kinds.ts';
import { commandLine } from '../../support/command-line.ts';
import { resultValue } from '../../support/panel-check.ts';
import { describeWithPostgres, newDatabase } from '../../support/postgres.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { testArchive } from '../../support/test-archive.ts';

const HOLDER = join(import.meta.dirname, '../../support/task-holder.ts');
const none = (): TaskTools => ({ signal: new AbortController().signal, report: () => undefined });

describeWithPostgres('the queue of a shared archive', () => {
  let folder: string;
  let place: string;
  let endings: (() => Promise<unknown>)[];

  beforeEach(async () => {
    folder = mkdtempSync(join(tmpdir(), 'panelwright-queue-'));
    place = archivePlace(await newDatabase(), join(folder, 'archive'));
    endings = [];
    await (await testArchive(place)).close();
  });
  afterEach(async () => {
    for (const end of endings.toReversed()) await end();
    rmSync(folder, { recursive: true });
  });

  const openQueue = async (isWorker = false): Promise<TaskQueue> => {
    const queue = await TaskQueue.open(resultValue(postgresPlace(place)), { isWorker });
    endings.push(async () => await queue.close());
    return queue;
  };

  /** A worker in this process; what it says comes back, and the function that ends it. */
  const startWorker = async (tasks: TaskRunner = tasksInPlace, graceMs?: number) => {
    const queue = await openQueue(true);
    const said: string[] = [];
    const ending = new AbortController();
    const parts = { queue, tasks, tell: (line: string) => void said.push(line), report: () => undefined };
    const ended = runWorker({ ...parts, ...(graceMs !== undefined && { graceMs }) }, ending.signal);
    const end = async () => {
      ending.abort();
      await ended;
    };
    endings.push(end);
    return { said, end };
  };

  const seatTasks = (local: TaskRunner = tasksInPlace, log?: (line: string) => void): QueueTasks => {
    const queue = new SeatQueue(place);
    endings.push(async () => await queue.close());
    return new QueueTasks({ queue, local, log });
  };

  const until = async (isSo: () => boolean | Promise<boolean>): Promise<void> => {
    await vi.waitUntil(isSo, { timeout: 60_000, interval: 20 });
  };

  /** A seat that asks for work to be done elsewhere. */
  const nobody: TaskRunner = {
    run: async () => {
      throw new Error('done here');
    },
    warm: () => undefined,
    close: async () => undefined,
  };
  const runner = (run: (tools: TaskTools) => Promise<unknown>): TaskRunner =>
    ({
      ...nobody,
      run: async (_name: string, _request: unknown, tools: TaskTools) => await run(tools),
    }) as TaskRunner;

  /** Tasks whose result comes from the worker's runner: one that a person waits for, one that has time. */
  const compare = async (tasks: TaskRunner, tools = none()): Promise<Result<unknown>> =>
    await tasks.run('comparison', { job: smallJob() } as TaskRequest<'comparison'>, tools);
  const verify = async (tasks: TaskRunner, tools = none()): Promise<Result<unknown>> =>
    await tasks.run('verification', { job: smallJob() } as TaskRequest<'verification'>, tools);

  it('gives the same bytes as work that is done here, and the same verdict', async () => {
    writeFileSync(join(folder, 'art.pdf'), await smallArtwork());
    writeFileSync(join(folder, 'job.json'), jobToJson(smallJob()));
    const cut = async (where: string, to: string) => {
      const files = [
        join(folder, 'job.json'),
        '--artwork',
        join(folder, 'art.pdf'),
        '--to',
        join(folder, to),
      ];
      const ended = await commandLine(['--archive', where, 'cut', ...files, '--sheets', 'map,table']);
      expect(ended).toMatchObject({ code: 0, err: '' });
      return filesBelow(join(folder, to));
    };
    const here = await cut(join(folder, 'own'), 'here');
    const { said } = await startWorker();
    const there = await cut(place, 'there');
    expect(there).toEqual(here);
    expect(Object.keys(there).filter((name) => /panels\/.*\.pdf$/.test(name))).toHaveLength(4);
    await until(() => said.length === 4);
    expect(said.filter((line) => /: done \(/.test(line)).map((line) => line.replace(/:.done.*/, ''))).toEqual(
      ['Cut: Output 1 of job SJ-7', 'Verify: job SJ-7'],
    );
  });

  it('is not waited for where no worker runs, nor where the last one ends', async () => {
    const logged: string[] = [];
    const tasks = seatTasks(
      runner(async () => resultOk('here')),
      (line) => logged.push(line),
    );
    expect(await compare(tasks)).toEqual(resultOk('here'));
    await openQueue(true);
    const output = verify(tasks);
    await until(async () => (await stateCounts()).created === 1);
    await endings.pop()!();
    expect(await output).toEqual(resultOk('here'));
    expect(await stateCounts()).toEqual({});
    expect(logged).toEqual([
      'Compare artworks: job SJ-7: done here, because no worker runs',
      'Verify: job SJ-7: done here, because no worker took it',
    ]);
  });

  it('leaves neither request nor result of a task that has ended', async () => {
    // Nothing repeats, so it stays too large for a row however it is packed.
    const large = randomBytes(300_000).toString('base64');
    let held = 0;
    const queue = await openQueue();
    await startWorker(
      runner(async () => {
        held = (await queue.exchange.list()).length;
        return resultOk(large);
      }),
    );
    const request = { job: smallJob({ name: large }) } as TaskRequest<'verification'>;
    expect(await seatTasks(nobody).run('verification', request, none())).toEqual(resultOk(large));
    expect(held).toBe(1);
    expect(await queue.exchange.list()).toEqual([]);
  });

  it('keeps nobody at a screen waiting for a worker that is busy', async () => {
    await openQueue(true);
    expect(await compare(seatTasks(runner(async () => resultOk('here'))))).toEqual(resultOk('here'));
  });

  it('tells the seat that asked how far it is, and whose worker has it', async () => {
    await startWorker(
      runner(async ({ report }) => {
        report({ what: 'Comparing', done: 1, total: 4 });
        return resultOk('there');
      }),
    );
    const heard: string[] = [];
    const tools = { ...none(), report: ({ what }: Progress) => void heard.push(what) };
    expect(await compare(seatTasks(), tools)).toEqual(resultOk('there'));
    expect(heard.at(-1)).toMatch(/^Comparing \(.+ at .+\)$/);
  });

  it('calls off what runs, from the seat that asked and from any other', async () => {
    const begun = Promise.withResolvers<void>();
    let stopped = 0;
    await startWorker(
      runner(async ({ signal }) => {
        begun.resolve();
        await once(signal, 'abort');
        stopped++;
        return resultProblem(cancelledProblem);
      }),
    );
    const own = new AbortController();
    const first = compare(seatTasks(nobody), { ...none(), signal: own.signal });
    await begun.promise;
    own.abort();
    expect(await first).toEqual(resultProblem(cancelledProblem));
    await until(() => stopped === 1);

    const second = compare(seatTasks(nobody));
    const other = await openQueue();
    await until(async () => (await stateCounts()).active === 1);
    const [running] = await other.ask<{ id: string }>(
      "SELECT id FROM panelwright_queue.job WHERE state = 'active'",
    );
    expect(await other.cancel(running!.id)).toBe(true);
    expect(await second).toMatchObject({ problem: { code: 'task-canceled-elsewhere' } });
    await until(() => stopped === 2);
    expect(await other.cancel(running!.id)).toBe(false);
  });

  it('tries again what a machine could not do, and keeps the reason of each try', async () => {
    let tries = 0;
    await startWorker(
      runner(async () => (++tries < 3 ? resultProblem(diskFull(tries)) : resultOk('third time'))),
    );
    expect(await verify(seatTasks(nobody))).toEqual(resultOk('third time'));
    expect(await notes()).toEqual([
      'begun',
      'failed The disk of worker 1 is full.',
      'begun',
      'failed The disk of worker 2 is full.',
      'begun',
      'done',
    ]);
  });

  it('says why nobody could do a task', async () => {
    await startWorker(runner(async () => resultProblem(diskFull(7))));
    const asked = verify(seatTasks(nobody));
    // Its last try.
    await until(async () => {
      await askDatabase(place, 'UPDATE panelwright_queue.job SET retry_limit = 1').catch(() => undefined);
      return (await stateCounts()).failed === 1;
    });
    expect(await asked).toMatchObject({
      problem: {
        code: 'task-failed',
        message: /by workers, and none could do it: .*disk of worker 7 is full/,
      },
    });
    const listed = await commandLine(['--archive', place, 'queue']);
    expect(listed.out).toMatch(
      /1 worker runs .*1 failed within a day[\s\S]*failed +Verify: job SJ-7[\s\S]*The disk of worker 7 is full/,
    );
    const doctor = await commandLine(['--archive', place, 'doctor']);
    expect(doctor.out).toMatch(/WRONG +Queue .*1 failed within a day.*The disk of worker 7 is full/);
  });

  it('lists what waits, and cancels it from the command line', async () => {
    const queue = await openQueue(true);
    const id = await queue.send({ task: 'check', title: 'Cut: Output 3', priority: 0, request: {} });
    const run = async (...args: string[]) => await commandLine(['--archive', place, 'queue', ...args]);
    expect((await run()).out).toMatch(/waiting +Cut: Output 3/);
    expect((await run('--cancel', id.slice(0, 8))).out).toBe('Cut: Output 3 is canceled.\n');
    expect((await run()).out).toMatch(/canceled +Cut: Output 3[\s\S]*canceled by/);
    expect(await run('--cancel', 'zzzz')).toMatchObject({ code: 5 });
    const own = await commandLine(['--archive', join(folder, 'own'), 'queue']);
    expect(own.err).toMatch(/does its heavy work itself/);
  });

  it('gives the task of a killed worker to another, and it is done once', async () => {
    const victim = spawn(process.execPath, [HOLDER, place], { stdio: ['ignore', 'pipe', 'inherit'] });
    const held = once(victim.stdout, 'data');
    await until(async () => (await (await openQueue()).workers()).length === 1);
    const asked = verify(seatTasks(nobody));
    await held;
    let done = 0;
    const { said } = await startWorker(runner(async () => resultOk(++done)));
    victim.kill('SIGKILL');
    await once(victim, 'exit');
    // As if ten seconds had passed.
    await askDatabase(
      place,
      "UPDATE panelwright_queue.job SET heartbeat_on = heartbeat_on - interval '11 seconds' WHERE state = 'active'",
    );
    expect(await asked).toEqual(resultOk(1));
    expect(done).toBe(1);
    await until(() => said.some((line) => /: done \(/.test(line)));
    expect(await notes()).toEqual(['begun', 'lapsed', 'begun', 'done']);
  });

  it('refuses the end of a worker whose task another has by now', async () => {
    const slow = await openQueue(true);
    const quick = await openQueue(true);
    const id = await slow.send({ task: 'check', title: 'A', priority: 0, request: {} });
    const first = (await slow.take())!;
    await slow.giveBack(first, 'it was slow');
    await askDatabase(place, 'UPDATE panelwright_queue.job SET start_after = now()');
    const second = (await quick.take())!;
    expect([first.id, second.id, second.retryCount]).toEqual([id, id, 1]);
    expect(await slow.beat(first)).toBe(false);
    expect(await slow.finish(first, { text: 'late' })).toBe(false);
    expect(await quick.finish(second, { text: 'right' })).toBe(true);
    expect(await quick.states([id])).toEqual([{ id, state: 'done', before: 0, output: { text: 'right' } }]);
  });

  it('takes what a person waits for first, then outputs, then the rest, each in its order', async () => {
    const queue = await openQueue(true);
    for (const [title, priority] of [
      ['watched', PRIORITY.background],
      ['first output', PRIORITY.output],
      ['second output', PRIORITY.output],
      ['screen', PRIORITY.screen],
    ] as const)
      await queue.send({ task: 'check', title, priority, request: {} });
    const taken: string[] = [];
    for (let task = await queue.take(); task; task = await queue.take()) taken.push(task.title);
    expect(taken).toEqual(['screen', 'first output', 'second output', 'watched']);
  });

  it('gives back what a worker has begun when it is asked to end', async () => {
    const begun = Promise.withResolvers<void>();
    const { said, end } = await startWorker(
      runner(async ({ signal }) => {
        begun.resolve();
        await once(signal, 'abort');
        return resultProblem(cancelledProblem);
      }),
      0,
    );
    const asked = verify(seatTasks(runner(async () => resultOk('here'))));
    await begun.promise;
    await end();
    expect(said.at(-1)).toMatch(/given back, because this worker ends/);
    expect((await notes()).at(-1)).toBe('failed the worker was ended');
    await startWorker(runner(async () => resultOk('by another')));
    expect(['by another', 'here']).toContain((await asked).ok && ((await asked) as { value: string }).value);
  });

  const stateCounts = async (): Promise<Record<string, number>> =>
    Object.fromEntries(
      (
        (await askDatabase(
          place,
          'SELECT state::text AS state, count(*) AS count FROM panelwright_queue.job GROUP BY state',
        )) as { state: string; count: string }[]
      ).map(({ state, count }) => [state, Number(count)]),
    );

  /** What is kept of the tasks, without who said it. */
  const notes = async (): Promise<string[]> =>
    (
      (await askDatabase(place, 'SELECT kind, text FROM panelwright_queue.notes ORDER BY number')) as {
        kind: string;
        text: string;
      }[]
    ).map(({ kind, text }) => (kind === 'failed' ? `failed ${text.replace(/^.*?: /, '')}` : kind));
});

const diskFull = (worker: number) => ({
  code: 'disk-full',
  message: `The disk of worker ${worker} is full.`,
  remedy: 'Free some space.',
});

/** All files below a folder with their hashes; the archive of the seats is not in it. */
const filesBelow = (folder: string): Record<string, string> =>
  Object.fromEntries(
    readdirSync(folder, { recursive: true, encoding: 'utf8' })
      .filter((name) => statSync(join(folder, name)).isFile())
      .map((name) => [name, sha256Hex(readFileSync(join(folder, name)))]),
  );
