import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { crashesLogged } from '../../../main/files/crashes-logged.ts';
import { openLog } from '../../../main/files/day-log.ts';
import { doctorLines } from '../../../main/services/doctor.ts';
import { saveJobFromFile } from '../../../main/services/save-job.ts';
import { loggedTasks } from '../../../main/tasks/logged-tasks.ts';
import type { TaskMessage, TaskProcess, TaskReply } from '../../../main/tasks/task-process.ts';
import { ProcessTasks } from '../../../main/tasks/task-runner.ts';
import type { TaskRequest } from '../../../main/tasks/tasks.ts';
import { smallJob } from '../../support/small-job.ts';
import { testArchive } from '../../support/test-archive.ts';
import { TEST_NOW } from '../../support/test-services.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-doctor-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

const logFolder = () => join(folder, 'logs');
const now = () => TEST_NOW;

describe('the doctor', () => {
  test('says one line each of a machine on which nothing is wrong', async () => {
    const archive = await testArchive(join(folder, 'archive'));
    const lines = await doctorLines({ archive, logFolder: logFolder(), now });
    await archive.close();
    expect(lines.filter(({ isRight }) => !isRight)).toEqual([]);
    expect([...new Set(lines.map(({ what }) => what))]).toEqual([
      'Versions',
      'Database',
      'Vault',
      'Disk',
      'Fonts',
      'Renderer',
      'Clock',
      'Log',
    ]);
    expect(lines.find(({ what }) => what === 'Database')!.text).toBe(`0 jobs in ${join(folder, 'archive')}.`);
  });

  test('names a clock that runs behind, a crash and an archive that cannot be opened, each with a remedy', async () => {
    const archive = await testArchive(join(folder, 'archive'));
    const saved = await saveJobFromFile(archive, smallJob(), '2026-03-10T08:00:00.000Z');
    expect(saved.ok).toBe(true);
    openLog(logFolder(), now)('A process ended during output of Output 3 of job SJ-7', 'SIGKILL');
    const wrong = (await doctorLines({ archive, logFolder: logFolder(), now })).filter(
      ({ isRight }) => !isRight,
    );
    await archive.close();
    expect(wrong.map(({ what }) => what)).toEqual(['Clock', 'Log']);
    expect(wrong[0]!.text).toContain('Job SJ-7 was saved at');
    expect(wrong[1]!.text).toContain('1 crash in 7 days');
    expect(wrong.every(({ remedy }) => remedy)).toBe(true);
    const problem = { message: 'It is locked.', remedy: 'Close the other program.' };
    const [database] = (await doctorLines({ archive: problem, logFolder: logFolder(), now })).filter(
      ({ what }) => what === 'Database',
    );
    expect(database).toEqual({
      what: 'Database',
      isRight: false,
      text: problem.message,
      remedy: problem.remedy,
    });
  });
});

/** A process that says how far it is, then goes. */
function goingProcess(): TaskProcess {
  let heard: (reply: TaskReply) => void = () => undefined;
  let gone: (how: string) => void = () => undefined;
  return {
    pid: 1,
    post: (message: TaskMessage) => {
      if (typeof message !== 'object' || !('task' in message)) return;
      heard({ id: message.id, progress: { what: 'Cutting 2 panels', done: 0.4, total: 1 } });
      gone('SIGKILL');
    },
    onMessage: (listener) => {
      heard = listener;
    },
    onExit: (listener) => {
      gone = listener;
    },
    kill: () => undefined,
  };
}

describe('the log of the day', () => {
  const request = { job: smallJob(), output: { number: 3 } } as unknown as TaskRequest<'output'>;
  const tools = { signal: new AbortController().signal, report: () => undefined };
  const logged = () => readFileSync(join(logFolder(), 'panelwright-2026-03-09.log'), 'utf8');

  test('a process that ends is in it with what it was doing', async () => {
    const tasks = loggedTasks(new ProcessTasks(goingProcess), openLog(logFolder(), now));
    const result = await tasks.run('output', request, tools);
    expect(result.ok).toBe(false);
    expect(logged()).toMatch(
      /^2026-03-09T10:11:12\.000Z A process ended during output of Output 3 of job SJ-7, “Cutting 2 panels”: .*SIGKILL/,
    );
    expect(crashesLogged(logFolder(), '2026-03-10', 7)).toHaveLength(1);
    expect(crashesLogged(logFolder(), '2026-03-20', 7)).toHaveLength(0);
  });

  test('what is written is in it by job and output number, and what is looked at is not', async () => {
    const inner = { run: async () => ({ ok: true }), warm: () => undefined, close: async () => undefined };
    const tasks = loggedTasks(inner as unknown as ProcessTasks, openLog(logFolder(), now));
    await tasks.run('output', request, tools);
    await tasks.run('check', { job: smallJob() } as unknown as TaskRequest<'check'>, tools);
    expect(logged()).toBe('2026-03-09T10:11:12.000Z output of Output 3 of job SJ-7: done\n');
  });

  test('an error that nobody expected is in it, and one that was called off is not', async () => {
    const inner = {
      run: async () => await Promise.reject(new Error('lost')),
      warm: () => undefined,
      close: async () => undefined,
    };
    const tasks = loggedTasks(inner as unknown as ProcessTasks, openLog(logFolder(), now));
    await expect(tasks.run('output', request, tools)).rejects.toThrow('lost');
    expect(logged()).toContain('Error during output of Output 3 of job SJ-7: Error: lost');
    const off = { ...tools, signal: AbortSignal.abort() };
    await expect(tasks.run('output', request, off)).rejects.toThrow('lost');
    expect(logged().trimEnd().split('\n')).toHaveLength(1);
  });
});
