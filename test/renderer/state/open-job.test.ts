import { beforeEach, describe, expect, it, vi } from 'vitest';
import { jobSet } from '../../../core/job/edits/edits.ts';
import type { Job } from '../../../core/job/schema.ts';
import { smallJob } from '../../support/small-job.ts';

/** Main, as far as jobs are opened and saved; an answer waits for its verb and id to be let go. */
const saves: { job: Job; baseRevision: number }[] = [];
const closed: string[] = [];
let isTold = true;
const kept = new Map<string, string>();
let closePage = () => {};
let held = new Map<string, () => void>();
let refuses: string | undefined;
const hold = (key: string) => new Promise<void>((resolve) => held.set(key, resolve));
const holding = new Set<string>();

vi.mock('../../../renderer/client/client.ts', () => ({
  isEntryAddress: () => false,
  ask: async (verb: string, request: { id: string; job: Job; baseRevision: number }) => {
    const id = verb === 'job:save' ? request.job.id : request.id;
    if (holding.has(`${verb} ${id}`)) await hold(`${verb} ${id}`);
    if (verb === 'job:open') {
      const job = smallJob({ id, number: id, artwork: undefined as never });
      return { ok: true, value: { job, revision: id.length } };
    }
    if (verb === 'job:close') closed.push(id);
    if (verb !== 'job:save') return { ok: true, value: {} };
    if (refuses !== undefined)
      return {
        ok: false,
        problem: { code: refuses, message: `${refuses} ${saves.length}`, remedy: 'Try again.' },
      };
    saves.push({ job: request.job, baseRevision: request.baseRevision });
    return { ok: true, value: { revision: request.baseRevision + 1 } };
  },
  tell: () => isTold,
}));
vi.stubGlobal('location', { hash: '' });
// Another test file of this process may have opened its own job.
vi.resetModules();
vi.stubGlobal('window', {
  addEventListener: (event: string, listener: () => void) => {
    if (event === 'pagehide') closePage = listener;
  },
});
vi.stubGlobal('localStorage', {
  getItem: (key: string) => kept.get(key) ?? null,
  setItem: (key: string, value: string) => kept.set(key, value),
  removeItem: (key: string) => kept.delete(key),
});

const state = await import('../../../renderer/state/open-job.ts');

const note = (notes: string) => state.editJob('Note', (job) => jobSet(job, { change: { notes } }));
/** Lets an answer go that waits, or will wait, for it. */
async function letGo(key: string): Promise<void> {
  await vi.waitFor(() => expect(held.has(key)).toBe(true));
  holding.delete(key);
  held.get(key)!();
  held.delete(key);
}

beforeEach(async () => {
  refuses = undefined;
  isTold = true;
  kept.clear();
  holding.clear();
  held = new Map();
  await state.leaveJob();
  saves.length = 0;
  closed.length = 0;
});

describe('the job on the screen', () => {
  it('is the one asked for last, whichever answer comes last', async () => {
    holding.add('job:open a');
    const first = state.openJob('a');
    await vi.waitFor(() => expect(held.has('job:open a')).toBe(true));
    const second = state.openJob('bb');
    expect(await second).toBe(true);
    await letGo('job:open a');
    expect(await first).toBe(false);
    expect(state.job.value?.number).toBe('bb');
    expect(closed).toEqual(['a']);
  });

  it('keeps its own state and revision where a save of the former job ends later', async () => {
    await state.openJob('aaaa');
    note('half');
    holding.add('job:save aaaa');
    const saving = state.saveNow();
    const leaving = state.openJob('bb');
    await letGo('job:save aaaa');
    await Promise.all([saving, leaving]);
    expect(state.saveState.value).toBe('saved');
    note('whole');
    await state.saveNow();
    expect(saves.map(({ job, baseRevision }) => [job.id, baseRevision])).toEqual([
      ['aaaa', 4],
      ['bb', 2],
    ]);
  });

  it('stays where its last edit could not be saved, until it is saved or let go', async () => {
    await state.openJob('a');
    note('not saved');
    refuses = 'archive-disk-full';
    expect(await state.openJob('bb')).toBe(false);
    await state.leaveJob();
    expect(state.job.value).toMatchObject({ id: 'a', notes: 'not saved' });
    expect(state.saveState.value).toBe('failed');
    expect(location.hash).toBe('#/bench/a');
    refuses = undefined;
    await state.saveNow();
    expect(state.saveState.value).toBe('saved');
    expect(await state.openJob('bb')).toBe(true);
  });

  it('can be kept beside the one that another program has saved meanwhile', async () => {
    await state.openJob('a');
    note('mine');
    refuses = 'job-changed-elsewhere';
    await state.saveNow();
    expect(state.isOvertaken.value).toBe(true);
    refuses = undefined;
    const copy = await state.saveAsCopy();
    expect(saves).toMatchObject([{ job: { id: copy, number: 'a-2', notes: 'mine' }, baseRevision: 0 }]);
    expect(state.job.value).toMatchObject({ id: 'a', notes: '' });
    expect([state.isOvertaken.value, state.saveState.value]).toEqual([false, 'saved']);
  });

  it('comes back with the edit that its page could not send when it closed, by one step of undo', async () => {
    state.startAutosave();
    await state.openJob('a');
    note('too large to send');
    isTold = false;
    closePage();
    expect(kept.size).toBe(1);
    // The next page.
    state.undoEdit();
    await state.leaveJob();
    await state.openJob('a');
    expect(state.job.value?.notes).toBe('too large to send');
    await state.saveNow();
    expect(saves.at(-1)).toMatchObject({ job: { notes: 'too large to send' }, baseRevision: 1 });
    expect(kept.size).toBe(0);
    state.undoEdit();
    expect(state.job.value?.notes).toBe('');
  });

  it('keeps nothing in the browser where the closing page could send its edit', async () => {
    await state.openJob('a');
    note('small');
    closePage();
    expect(kept.size).toBe(0);
  });
});
