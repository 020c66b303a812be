/** Two programs on one archive: who has a job open, and how soon each learns what the other does. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { rmSync } from 'node:fs';
import { hostname, userInfo } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import type { Services } from '../../../main/services/services.ts';
import { describeArchives } from '../../support/archive-kinds.ts';
import { ServiceClient } from '../../support/service-client.ts';
import { smallJob } from '../../support/small-job.ts';
import { TEST_NOW, testServices } from '../../support/test-services.ts';
import { keepTestShop } from '../../support/test-shop.ts';

const HOLDER = join(import.meta.dirname, '../../support/job-opener.ts');

describeArchives('two seats', (newPlace) => {
  let folder: string;
  let place: string;
  let seats: Services[] = [];

  beforeEach(async () => {
    ({ folder, place } = await newPlace());
  });
  afterEach(async () => {
    await Promise.all(seats.splice(0).map((seat) => seat.close()));
    rmSync(folder, { recursive: true });
  });

  async function seat(): Promise<{ readonly host: Services; readonly window: ServiceClient }> {
    const host = await testServices(place);
    seats = [...seats, host];
    return { host, window: new ServiceClient(host) };
  }

  const job = smallJob();
  const own = { person: userInfo().username, machine: hostname(), since: TEST_NOW };

  it('say who has a job open, since when and where, and read meanwhile what is saved', async () => {
    const [first, second] = [await seat(), await seat()];
    await first.window.reply('job:save', { job, baseRevision: 0 });
    expect(await second.window.reply('job:open', { id: job.id })).toMatchObject({
      lockedBy: 'another-window',
      holder: { ...own, isHere: false },
    });
    expect(await first.window.reply('job:news', { id: job.id })).toEqual({
      revision: 1,
      holder: { ...own, isHere: true },
    });
    await first.window.reply('job:save', { job: { ...job, name: 'Saved meanwhile' }, baseRevision: 1 });
    expect(await second.window.reply('job:news', { id: job.id })).toMatchObject({ revision: 2 });
    expect((await second.window.reply('job:read', { id: job.id })).job.name).toBe('Saved meanwhile');
  });

  it('hand a job over when asked, and give it up when they end', async () => {
    const [first, second] = [await seat(), await seat()];
    await first.window.reply('job:save', { job, baseRevision: 0 });
    await second.window.reply('job:ask', { id: job.id });
    expect((await first.window.reply('job:news', { id: job.id })).holder).toMatchObject({
      isHere: true,
      askedBy: `${own.person} at ${own.machine}`,
    });
    await first.window.reply('job:close', { id: job.id });
    expect(await second.window.reply('job:news', { id: job.id })).toEqual({ revision: 1 });
    expect(await second.window.reply('job:open', { id: job.id })).not.toHaveProperty('lockedBy');
    expect(await first.window.reply('job:open', { id: job.id })).toHaveProperty('lockedBy');
    await second.host.close();
    seats = seats.filter((each) => each !== second.host);
    expect(await first.window.reply('job:open', { id: job.id })).not.toHaveProperty('lockedBy');
  });

  it('give up the jobs of a seat that was killed', async () => {
    const { window, host } = await seat();
    await window.reply('job:save', { job, baseRevision: 0 });
    await window.reply('job:close', { id: job.id });
    const killed = spawn(process.execPath, [HOLDER, place, job.id], { stdio: ['ignore', 'pipe', 'inherit'] });
    await once(killed.stdout, 'data');
    expect(await window.reply('job:open', { id: job.id })).toMatchObject({ lockedBy: 'another-window' });
    killed.kill('SIGKILL');
    await once(killed, 'exit');
    await vi.waitFor(
      async () => expect(await host.archive.openJobs.holder(job.id, 'anyone')).toBe(undefined),
      { timeout: 20_000 },
    );
    expect(await window.reply('job:open', { id: job.id })).not.toHaveProperty('lockedBy');
  });

  it('hear of each other’s saves, rolls and shared plans, and of their own', async () => {
    const [first, second] = [await seat(), await seat()];
    const heard = async (window: ServiceClient) => (await window.reply('archive:changes', {})).count;
    for (const change of [
      async () => await first.window.reply('job:save', { job, baseRevision: 0 }),
      async () => await first.host.archive.stock.receive('r', ROLL, 1000, ENTRY),
      async () => await keepTestShop(first.host.archive),
    ]) {
      const before = [await heard(first.window), await heard(second.window)];
      await change();
      await vi.waitFor(
        async () => {
          expect(await heard(first.window)).toBeGreaterThan(before[0]!);
          expect(await heard(second.window)).toBeGreaterThan(before[1]!);
        },
        { timeout: 20_000 },
      );
    }
  });
});

const ROLL = {
  use: 'film',
  material: 'Cast print film',
  lotNumber: '7741',
  rollNumber: '12',
  widthMm: 1371.6,
  place: 'Rack B',
  receivedOn: '2026-09-03',
} as const;
const ENTRY = { at: TEST_NOW, by: 'Ada', unit: 'mm' } as const;
