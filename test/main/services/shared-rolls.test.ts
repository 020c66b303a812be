import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PDFDocument } from 'pdf-lib';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Progress } from '../../../core/contract/parts.ts';
import type { Job } from '../../../core/job/schema.ts';
import type { Services } from '../../../main/services/services.ts';
import { sharedPlan } from '../../../main/tasks/shared-roll-plan.ts';
import { narrowJob } from '../../support/narrow-job.ts';
import { testServices } from '../../support/test-services.ts';

let folder: string;
let services: Services;

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-shared-'));
  services = await testServices(join(folder, 'archive'), { chooseFolder: async () => folder });
});
afterEach(async () => {
  await services.close();
  rmSync(folder, { recursive: true });
});

const tools = (over: Partial<{ signal: AbortSignal; report: (progress: Progress) => void }> = {}) => ({
  clientId: 'window',
  signal: new AbortController().signal,
  report: () => undefined,
  ...over,
});

async function addJob(...jobs: Job[]): Promise<string[]> {
  for (const job of jobs) {
    const saved = await services.handlers['job:save']({ job, baseRevision: 0 }, tools());
    if (!saved.ok) throw new Error(saved.problem.message);
  }
  return jobs.map(({ id }) => id);
}

describe('shared rolls as a service', () => {
  const [a, b] = [narrowJob('a', 'A-1'), narrowJob('b', 'B-2')];

  it('says which jobs of the archive go together, and names a job that is not there', async () => {
    const jobIds = await addJob(a, narrowJob('c', 'C-3', { film: { ...a.film, name: 'Window film' } }), b);
    const films = await services.handlers['rolls:films']({ jobIds }, tools());
    expect(films).toMatchObject({
      ok: true,
      value: { groups: [{ numbers: ['A-1', 'B-2'] }, { numbers: ['C-3'] }] },
    });
    expect(await services.handlers['rolls:films']({ jobIds: ['a', 'nobody'] }, tools())).toMatchObject({
      ok: false,
    });
    const refused = await services.handlers['rolls:share']({ jobIds, locked: [] }, tools());
    expect(refused).toMatchObject({ ok: false, problem: { code: 'rolls-film-differs' } });
  });

  it('lays jobs on the work thread and tells its progress', async () => {
    const jobIds = await addJob(a, b);
    const seen: Progress[] = [];
    const laid = await services.handlers['rolls:share'](
      { jobIds, locked: [] },
      tools({ report: (progress) => seen.push(progress) }),
    );
    if (!laid.ok) throw new Error(laid.problem.message);
    expect(laid.value.plan.placements).toHaveLength(4);
    expect(seen[0]).toMatchObject({ done: 0 });
    expect(seen.at(-1)).toMatchObject({ done: 100, total: 100 });
  });

  it('stops on the work thread when it is called off', async () => {
    const jobIds = await addJob(...Array.from({ length: 40 }, (_, n) => narrowJob(`j${n}`, `N-${n}`)));
    const abort = new AbortController();
    const laid = await services.handlers['rolls:share'](
      { jobIds, locked: [] },
      tools({ signal: abort.signal, report: ({ done }) => done > 2 && abort.abort() }),
    );
    expect(laid).toMatchObject({ ok: false, problem: { code: 'cancelled' } });
    // The thread is free for the next question.
    const next = await services.handlers['rolls:share']({ jobIds: jobIds.slice(0, 2), locked: [] }, tools());
    expect(next.ok).toBe(true);
  });

  it('stops when it is called off in the middle', () => {
    const abort = new AbortController();
    const done: number[] = [];
    const jobs = ['a', 'b', 'c', 'd', 'e', 'f'].map((id) => narrowJob(id, id.toUpperCase()));
    const laid = sharedPlan(
      { jobs },
      {
        signal: abort.signal,
        report: (progress) => {
          done.push(progress.done);
          if (done.length === 4) abort.abort();
        },
      },
    );
    expect(laid).toMatchObject({ ok: false, problem: { code: 'cancelled' } });
    expect(done).toHaveLength(4);
  });

  it('writes the sheet of the plan as it lies into the chosen folder, the same bytes each time', async () => {
    const jobIds = await addJob(a, b);
    const laid = await services.handlers['rolls:share']({ jobIds, locked: [] }, tools());
    if (!laid.ok) throw new Error(laid.problem.message);
    const places = laid.value.plan.placements.map((place) =>
      place.panelId === 'b/p2' ? { ...place, yMm: 6543 } : place,
    );
    const chosen = await services.handlers['folder:choose']({ title: 'Folder' }, tools());
    if (!chosen.ok || !chosen.value) throw new Error('no folder');
    const request = { jobIds, locked: [], places, folder: chosen.value.token };
    const path = join(folder, 'nesting_A-1_B-2.pdf');
    expect(await services.handlers['rolls:write'](request, tools())).toEqual({
      ok: true,
      value: { fileName: 'nesting_A-1_B-2.pdf' },
    });
    const first = readFileSync(path);
    expect((await PDFDocument.load(first)).getTitle()).toBe('Nesting sheet A-1');
    await services.handlers['rolls:write'](request, tools());
    expect(readFileSync(path).equals(first)).toBe(true);
    await services.handlers['rolls:write']({ ...request, places: [...laid.value.plan.placements] }, tools());
    expect(readFileSync(path).equals(first)).toBe(false);
  });

  it('names the sheets of many jobs so that those of others are not written over', async () => {
    const jobIds = await addJob(...['a', 'b', 'c', 'd', 'e', 'f'].map((id) => narrowJob(id, `N-${id}`)));
    const { token } = services.chosen.add(folder, 'folder', 'window');
    const names: string[] = [];
    for (const ids of [jobIds.slice(0, 5), [...jobIds.slice(0, 4), 'f']]) {
      const written = await services.handlers['rolls:write'](
        { jobIds: ids, locked: [], folder: token },
        tools(),
      );
      if (!written.ok) throw new Error(written.problem.message);
      names.push(written.value.fileName);
    }
    for (const name of names) expect(name).toMatch(/^nesting_N-a_N-b_and-3-more_[0-9a-f]{8}\.pdf$/);
    expect(names[0]).not.toBe(names[1]);
  });

  it('says in one sentence when the folder refuses the sheet', async () => {
    const jobIds = await addJob(a, b);
    writeFileSync(join(folder, 'a-file'), 'in the way');
    const chosen = services.chosen.add(join(folder, 'a-file'), 'folder', 'window');
    const written = await services.handlers['rolls:write'](
      { jobIds, locked: [], folder: chosen.token },
      tools(),
    );
    expect(written).toMatchObject({ ok: false, problem: { message: expect.stringContaining('a-file') } });
  });
});
