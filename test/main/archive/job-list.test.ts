import { mkdtempSync, renameSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openWithStore } from '../../../main/archive/archive.ts';
import { isPostgresPlace } from '../../../main/archive/archive-folder.ts';
import { databasePath } from '../../../main/archive/database.ts';
import { moveArchive } from '../../../main/archive/move-archive.ts';
import type { Archive, JobFilter } from '../../../main/archive/port.ts';
import { describeArchives } from '../../support/archive-kinds.ts';
import { addManyJobs } from '../../support/many-jobs.ts';
import { resultValue } from '../../support/panel-check.ts';
import { smallJob } from '../../support/small-job.ts';
import { testArchive } from '../../support/test-archive.ts';

const JOBS = 500;

const tools = { signal: new AbortController().signal, report: () => undefined };

/** Jobs that were written into a folder, and moved from there where the archive is another. */
async function fill(place: string, aside: string): Promise<void> {
  const folder = isPostgresPlace(place) ? aside : place;
  await (await testArchive(folder)).close();
  addManyJobs(databasePath(folder), JOBS);
  if (folder === place) return;
  const [from, to] = [resultValue(await openWithStore(folder)), resultValue(await openWithStore(place))];
  expect(await moveArchive(from, to, tools)).toMatchObject({ ok: true, value: { jobs: JOBS } });
  await from.archive.close();
  await to.archive.close();
}

describeArchives('the list of jobs', (newPlace, isShared) =>
  describe.each([['in place', false], ...(isShared ? [] : [['aside', true] as const])] as const)(
    'read %s',
    (_way, listsAside) => {
      let folder: string;
      let place: string;
      let archive: Archive;

      beforeEach(async () => {
        ({ folder, place } = await newPlace());
        await fill(place, join(folder, 'aside'));
        archive = await testArchive(place, { listsAside });
      });
      afterEach(async () => {
        await archive.close();
        rmSync(folder, { recursive: true });
      });

      const numbers = async (filter: JobFilter) =>
        (await archive.jobs.page(filter)).jobs.map(({ number }) => number);

      it('says how many there are, and has every place of it, newest first', async () => {
        expect((await archive.jobs.page({ limit: 3 })).total).toBe(JOBS);
        expect(await numbers({ limit: 3 })).toEqual(['BM-500', 'BM-499', 'BM-498']);
        expect(await numbers({ limit: 3, offset: 250 })).toEqual(['BM-250', 'BM-249', 'BM-248']);
        expect(await numbers({ limit: 3, offset: 498 })).toEqual(['BM-2', 'BM-1']);
        expect(await numbers({ limit: 3, offset: 5000 })).toEqual([]);
        for (const offset of [0, 1, 250, 499]) {
          const { jobs } = await archive.jobs.page({ limit: 7, offset });
          expect(await archive.jobs.list({ limit: 7, offset })).toEqual(jobs);
        }
      });

      it('counts and places what a search leaves, with the days of the last change', async () => {
        const all = await archive.jobs.page({ text: 'bookmobile', limit: 1000 });
        expect(all.total).toBe(all.jobs.length);
        expect(all.jobs.every(({ name }) => name.startsWith('Bookmobile'))).toBe(true);
        const some = all.jobs.filter(
          ({ updatedAt }) => updatedAt >= '2018-01-01' && updatedAt < '2021-04-06',
        );
        expect(some.length).toBeGreaterThan(1);
        const days = { changedFrom: '2018-01-01', changedTo: '2021-04-05' };
        const found = await archive.jobs.page({ text: 'bookmobile', ...days, limit: 5, offset: 2 });
        expect(found).toEqual({ jobs: some.slice(2, 7), total: some.length });
        const harbor = { customer: 'Harbor Parks', ...days };
        const parks = await archive.jobs.page({ ...harbor, limit: 1000 });
        expect(new Set(parks.jobs.map(({ customer }) => customer))).toEqual(new Set(['Harbor Parks']));
        expect(await archive.jobs.page({ text: 'zeppelin' })).toEqual({ jobs: [], total: 0 });
      });

      it.each(['number', 'name', 'customer', 'unitNumber', 'updatedAt', 'progress'] as const)(
        'sorts by %s, both ways, what a filter leaves and wherever it is read',
        async (by) => {
          const filter = { text: 'bookmobile', changedFrom: '2018-01-01' };
          const up = await archive.jobs.page({ ...filter, order: { by, isDescending: false }, limit: 1000 });
          const down = await archive.jobs.page({ ...filter, order: { by, isDescending: true }, limit: 1000 });
          expect(down.jobs).toEqual(up.jobs.toReversed());
          // The row numbers of these jobs are those of their numbers.
          const place = (number: string) => Number(number.slice(3));
          const sorted = up.jobs.toSorted((a, b) =>
            by === 'number' || by === 'updatedAt' || a[by].toLowerCase() === b[by].toLowerCase()
              ? place(a.number) - place(b.number)
              : a[by].toLowerCase() < b[by].toLowerCase()
                ? -1
                : 1,
          );
          expect(up.jobs.map(({ number }) => number)).toEqual(sorted.map(({ number }) => number));
          const part = await archive.jobs.page({
            ...filter,
            order: { by, isDescending: false },
            offset: 11,
            limit: 5,
          });
          expect(part).toEqual({ jobs: up.jobs.slice(11, 16), total: up.total });
        },
      );

      it('leaves archived jobs out where asked, and counts them elsewhere', async () => {
        await archive.jobs.archive('id-499', '2026-03-09T00:00:00Z');
        await archive.jobs.archive('id-7', '2026-03-10T00:00:00Z');
        expect(await archive.jobs.page({ archive: 'active', limit: 2 })).toMatchObject({
          jobs: [{ number: 'BM-500' }, { number: 'BM-498' }],
          total: JOBS - 2,
        });
        expect(await numbers({ archive: 'archived' })).toEqual(['BM-499', 'BM-7']);
        expect((await archive.jobs.page({})).total).toBe(JOBS);
        expect(await numbers({ archive: 'archived', text: 'bm-7' })).toEqual(['BM-7']);
        await archive.jobs.archive('id-7', undefined);
        expect(await numbers({ archive: 'archived' })).toEqual(['BM-499']);
        expect(await archive.jobs.archive('nobody', undefined)).toMatchObject({
          ok: false,
          problem: { code: 'job-unknown' },
        });
      });

      it('JP1 finds jobs by how far they are, as soon as they are', async () => {
        await archive.jobs.keepInstalled('id-250', '2026-03-09');
        await archive.jobs.keepInstalled('id-17', '2026-03-01');
        expect(await numbers({ progress: 'installed' })).toEqual(['BM-250', 'BM-17']);
        expect((await archive.jobs.page({ progress: 'planned' })).total).toBe(JOBS - 2);
        await archive.jobs.keepInstalled('id-250', undefined);
        expect(await numbers({ progress: 'installed' })).toEqual(['BM-17']);
        const [last] = await archive.jobs.list({ order: { by: 'progress', isDescending: true }, limit: 1 });
        expect(last).toMatchObject({ number: 'BM-17', progress: 'installed', installedOn: '2026-03-01' });
      });

      it('knows what has been saved a moment ago, here or by another program', async () => {
        expect(await numbers({ limit: 1 })).toEqual(['BM-500']);
        const save = { panelLabels: ['ZZ-77'], now: '2026-03-09T00:00:00Z' };
        await archive.jobs.save(smallJob({ id: 'id-250', number: 'BM-250' }), save);
        expect(await numbers({ limit: 2 })).toEqual(['BM-250', 'BM-500']);
        expect(await numbers({ text: 'zz-77' })).toEqual(['BM-250']);
        const other = await testArchive(place);
        await other.jobs.save(smallJob({ id: 'new', number: 'SJ-8' }), save);
        await other.close();
        expect(await archive.jobs.page({ limit: 1 })).toMatchObject({
          jobs: [{ number: 'SJ-8' }],
          total: JOBS + 1,
        });
        expect((await archive.jobs.page({ text: 'zz-77' })).total).toBe(2);
      });
    },
  ),
);

describe('the list of jobs, read aside', () => {
  let folder: string;

  beforeEach(async () => {
    folder = mkdtempSync(join(tmpdir(), 'panelwright-list-'));
    await (await testArchive(folder)).close();
  });
  afterEach(() => rmSync(folder, { recursive: true }));

  it('leaves the program free for others meanwhile', async () => {
    const archive = await testArchive(folder, { listsAside: true });
    try {
      let isListed = false;
      const listing = archive.jobs.page({}).then(() => {
        isListed = true;
      });
      await new Promise(setImmediate);
      expect(isListed).toBe(false);
      await listing;
    } finally {
      await archive.close();
    }
  });

  it('says what is wrong with the database, and serves again once it is mended', async () => {
    addManyJobs(databasePath(folder), 5);
    const archive = await testArchive(folder, { listsAside: true });
    const path = databasePath(folder);
    try {
      renameSync(path, `${path}.moved`);
      await expect(archive.jobs.page({})).rejects.toMatchObject({
        problem: { code: 'archive-not-writable' },
      });
      renameSync(`${path}.moved`, path);
      expect((await archive.jobs.page({})).total).toBe(5);
    } finally {
      await archive.close();
    }
  });
});
