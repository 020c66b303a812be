/** A large archive after a crash: it opens at once, is looked through meanwhile, and damage is said clearly. */
import { closeSync, cpSync, mkdtempSync, openSync, rmSync, statSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { openArchive } from '../../../main/archive/archive.ts';
import { databasePath } from '../../../main/archive/database.ts';
import { beginDatabaseCheck } from '../../../main/archive/database-check.ts';
import { resultValue } from '../../support/panel-check.ts';
import { ServiceClient } from '../../support/service-client.ts';
import { smallJob } from '../../support/small-job.ts';
import { testArchive } from '../../support/test-archive.ts';
import { testServices } from '../../support/test-services.ts';

/** More than is checked at each start. */
const FILLER_BYTES = 36 * 2 ** 20;
let home: string;
const crash = () => join(home, 'crashed');
const database = () => databasePath(crash());

/** Copies an archive while it is in use: as after a crash, with the log left behind. */
beforeEach(async () => {
  home = mkdtempSync(join(tmpdir(), 'panelwright-crash-'));
  const live = join(home, 'live');
  const archive = await testArchive(live);
  const db = new Database(databasePath(live));
  db.exec(`CREATE TABLE filler (bytes BLOB); INSERT INTO filler VALUES (zeroblob(${FILLER_BYTES}))`);
  db.pragma('wal_checkpoint(TRUNCATE)');
  const save = { panelLabels: [], baseRevision: 0, now: '2026-03-09T10:11:12Z' };
  resultValue(await archive.jobs.save(smallJob(), save));
  cpSync(live, crash(), { recursive: true });
  db.close();
  await archive.close();
});
afterEach(() => rmSync(home, { recursive: true }));

function damage(): void {
  const file = openSync(database(), 'r+');
  // Pages of the filler, whose chain is broken by this; what jobs need is elsewhere.
  writeSync(file, Buffer.alloc(64 * 1024, 0xa5), 0, 64 * 1024, 20 * 2 ** 20);
  closeSync(file);
}

const start = () => testServices(crash());

describe('a large archive after a crash', () => {
  it('opens with what was saved, unchecked where that is asked for', async () => {
    expect(statSync(`${database()}-wal`).size).toBeGreaterThan(0);
    expect(statSync(database()).size).toBeGreaterThan(FILLER_BYTES);
    const archive = await testArchive(crash(), { putsOffCheck: true });
    expect(archive.checks.startupCheck).toBeDefined();
    expect((await archive.jobs.list()).map(({ number }) => number)).toEqual(['SJ-7']);
    await archive.close();
    // Closed in order, there is nothing to look for.
    const again = await testArchive(crash(), { putsOffCheck: true });
    expect(again.checks.startupCheck).toBeUndefined();
    await again.close();
  });

  it('is checked before it opens for a command, and refused where it is damaged', async () => {
    damage();
    expect(await openArchive(crash())).toMatchObject({ ok: false, problem: { code: 'archive-damaged' } });
  });

  it('that is sound serves on after its check', async () => {
    const services = await start();
    try {
      expect(await beginDatabaseCheck(database()).outcome).toBeUndefined();
      expect(await new ServiceClient(services).reply('job:list', {})).toMatchObject({ total: 1 });
    } finally {
      await services.close();
    }
  });

  it('that is damaged answers at first, then says clearly that it is damaged and takes nothing more', async () => {
    damage();
    const services = await start();
    const client = new ServiceClient(services);
    try {
      await vi.waitFor(async () => expect(await client.ask('job:list', {})).toMatchObject({ ok: false }), {
        timeout: 30_000,
        interval: 20,
      });
      const refused = await client.ask('job:save', { job: smallJob(), baseRevision: 1 });
      expect(refused).toMatchObject({
        ok: false,
        problem: {
          code: 'archive-damaged',
          message: expect.stringMatching(/^The archive .* is damaged \(/),
          remedy: expect.stringMatching(/restore a backup or .* Nothing more is written to it\.$/),
        },
      });
      expect(await client.reply('app:info', {})).toMatchObject({ host: 'browser' });
    } finally {
      await services.close();
    }
  });

  it('gives up a check that is not waited for', async () => {
    const check = beginDatabaseCheck(database());
    await check.stop();
    expect(await check.outcome).toBeUndefined();
  });
});
