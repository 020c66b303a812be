/**
 * A job that is open in a window, and another program on the same archive: a second host, and the command line as a
 * process of its own.
 */
import { execFile } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import type { Services } from '../../../main/services/services.ts';
import { ServiceClient } from '../../support/service-client.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { testServices } from '../../support/test-services.ts';

const COMMAND = resolve(import.meta.dirname, '../../../main/command/main.ts');

let folder: string;
let hosts: Services[] = [];
const at = (...names: string[]) => join(folder, ...names);

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-two-programs-'));
});
afterEach(async () => {
  await Promise.all(hosts.splice(0).map((host) => host.close()));
  rmSync(folder, { recursive: true });
});

/** A window of a host of its own. */
async function windowOfHost(): Promise<ServiceClient> {
  const host = await testServices(at('archive'));
  hosts = [...hosts, host];
  return new ServiceClient(host);
}

const commandLine = (...args: string[]): Promise<{ readonly code: number; readonly text: string }> =>
  new Promise((done) => {
    execFile(process.execPath, [COMMAND, '--archive', at('archive'), ...args], (error, out, err) =>
      done({ code: Number(error?.code ?? 0), text: out + err }),
    );
  });

const job = smallJob();
const named = (name: string) => ({ ...job, name });

it('a job that another host has taken over cannot be saved over, and both states can be kept', async () => {
  const [first, second] = [await windowOfHost(), await windowOfHost()];
  await first.reply('job:save', { job, baseRevision: 0 });
  const opened = await second.reply('job:open', { id: job.id });
  expect(opened).toMatchObject({ revision: 1, lockedBy: 'another-window', holder: { isHere: false } });
  expect(await second.ask('job:save', { job: named('theirs'), baseRevision: 1 })).toMatchObject({
    ok: false,
    problem: { code: 'job-open-elsewhere' },
  });
  expect(await second.reply('job:open', { id: job.id, takeOver: true })).not.toHaveProperty('lockedBy');
  await second.reply('job:save', { job: named('theirs'), baseRevision: 1 });
  const late = await first.ask('job:save', { job: named('mine'), baseRevision: 1 });
  expect(late).toMatchObject({
    ok: false,
    problem: {
      code: 'job-open-elsewhere',
      message: expect.stringMatching(/^Job SJ-7 is being edited in another window/),
    },
  });
  await second.reply('job:close', { id: job.id });
  const stale = await first.ask('job:save', { job: named('mine'), baseRevision: 1 });
  expect(stale).toMatchObject({
    ok: false,
    problem: {
      code: 'job-changed-elsewhere',
      message: expect.stringMatching(/^Job SJ-7 was saved by another/),
    },
  });
  expect((await first.reply('job:open', { id: job.id })).job.name).toBe('theirs');
  // Both are kept, one as a copy.
  await first.reply('job:save', { job: { ...named('mine'), id: 'copy', number: 'SJ-7-2' }, baseRevision: 0 });
  const names = (await second.reply('job:list', {})).jobs.map(({ name }) => name);
  expect(names.toSorted()).toEqual(['mine', 'theirs']);
});

it('the command line does not overwrite what a window has saved, and a window nothing that it saved', async () => {
  const window = await windowOfHost();
  await window.reply('job:save', { job, baseRevision: 0 });
  writeFileSync(at('art.pdf'), await smallArtwork());
  writeFileSync(at('job.json'), jobToJson(named('from the file')));
  const save = ['save', at('job.json'), '--artwork', at('art.pdf')];
  const refused = await commandLine(...save);
  expect(refused.text).toContain('was saved in a window');
  expect(refused.code).not.toBe(0);
  expect((await window.reply('job:open', { id: job.id })).job.name).toBe('Small job');
  expect((await commandLine(...save, '--replace')).code).toBe(0);
  const late = await window.ask('job:save', { job: named('mine'), baseRevision: 1 });
  expect(late).toMatchObject({ ok: false, problem: { code: 'job-changed-elsewhere' } });
  expect((await window.reply('job:open', { id: job.id })).job.name).toBe('from the file');
});

it('a window whose job the command line has deleted is told so, and can keep it as a copy', async () => {
  const window = await windowOfHost();
  await window.reply('job:save', { job, baseRevision: 0 });
  expect((await commandLine('delete', 'SJ-7', '--yes')).text).toContain('Deleted: 1 job');
  const late = await window.ask('job:save', { job: named('mine'), baseRevision: 1 });
  expect(late).toMatchObject({
    ok: false,
    problem: {
      code: 'job-changed-elsewhere',
      message: expect.stringMatching(/^Job SJ-7 was deleted by another/),
    },
  });
  expect((await window.reply('job:list', {})).jobs).toEqual([]);
  await window.reply('job:save', { job: { ...named('mine'), id: 'copy' }, baseRevision: 0 });
  expect((await window.reply('job:list', {})).jobs.map(({ name }) => name)).toEqual(['mine']);
});
