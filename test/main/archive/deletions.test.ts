/** What is deleted for good, and what stays. */
import { rmSync, utimesSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import type { Archive } from '../../../main/archive/port.ts';
import { describeArchives } from '../../support/archive-kinds.ts';
import { resultValue } from '../../support/panel-check.ts';
import { smallJob } from '../../support/small-job.ts';
import { testArchive } from '../../support/test-archive.ts';

describeArchives('deletions', (newPlace) => {
  let folder: string;
  let place: string;
  let archive: Archive;
  const NOW = '2026-03-09T10:11:12Z';
  const nowMs = Date.parse(NOW);

  beforeEach(async () => {
    ({ folder, place } = await newPlace());
    archive = await testArchive(place);
  });
  afterEach(async () => {
    await archive.close();
    rmSync(folder, { recursive: true });
  });

  /** Takes a file in, as if `hoursAgo`. */
  async function keepFile(content: string, hoursAgo = 5) {
    const path = join(folder, 'file');
    writeFileSync(path, content);
    const kept = await archive.vault.add(path);
    const at = new Date(nowMs - hoursAgo * 3_600_000);
    utimesSync(await archive.vault.path(kept.sha256), at, at);
    return kept;
  }

  /** A job with an artwork, an output of a panel and a reprint of that. */
  async function keepJob(id: string, customer: string, art: string): Promise<void> {
    const artwork = { ...(await keepFile(art)), fileName: 'art.pdf', box: 'crop' as const };
    const job = smallJob({ id, number: id, customer, artwork });
    resultValue(await archive.jobs.save(job, { panelLabels: ['LH-01'], baseRevision: 0, now: NOW }));
    const panel = { name: 'panels/LH-01.pdf', kind: 'panel' as const, ...(await keepFile(`panel of ${id}`)) };
    const output = {
      jobId: id,
      kind: 'output' as const,
      reason: '',
      at: NOW,
      programVersion: '0',
      document: '{}',
      artworkSha256: artwork.sha256,
      folder: '/out',
      files: [panel],
    };
    const first = await archive.outputs.keep(output);
    await archive.outputs.keepVerification(first.id, { state: 'verified', sentences: [] });
    await archive.outputs.keep({ ...output, kind: 'reprint', reprintOf: first.number, reason: 'scratched' });
  }

  const numbers = async () => (await archive.jobs.list()).map(({ number }) => number).toSorted();
  const everything = { signal: new AbortController().signal, report: () => undefined };

  it('a job goes with its outputs and the files that nothing else names', async () => {
    await keepJob('a', 'Alder County', 'art shared');
    await keepJob('b', 'Birch Foods', 'art shared');
    const preview = resultValue(await archive.deletions.preview(['a']));
    expect(preview).toMatchObject({ jobs: 1, outputs: 2, files: 1, bytes: 'panel of a'.length });
    expect(await numbers()).toEqual(['a', 'b']);
    expect(resultValue(await archive.deletions.deleteJobs(['a'], nowMs))).toEqual(preview);
    expect(await numbers()).toEqual(['b']);
    expect(await archive.jobs.list({ text: 'a' })).toEqual([]);
    expect(await archive.checks.checkAll(everything)).toMatchObject({
      jobs: 1,
      files: 2,
      databaseTrouble: [],
      absent: [],
    });
    expect(await archive.vault.has(preview.sha256s[0]!)).toBe(false);
    expect((await archive.deletions.unusedFiles(nowMs)).files).toBe(0);
  });

  it('jobs go together or not at all', async () => {
    await keepJob('a', 'Alder County', 'art a');
    const unknown = { ok: false, problem: { code: 'job-unknown' } };
    expect(await archive.deletions.deleteJobs(['a', 'nobody'], nowMs)).toMatchObject(unknown);
    expect(await archive.deletions.preview(['nobody'])).toMatchObject(unknown);
    expect(await numbers()).toEqual(['a']);
  });

  it('the jobs of a customer are found by the whole name', async () => {
    await keepJob('a', 'Alder County', 'art a');
    await keepJob('b', 'Alder County Library', 'art b');
    expect((await archive.jobs.list({ customer: 'Alder County' })).map(({ id }) => id)).toEqual(['a']);
  });

  it('cleaning takes what nothing names, but not what came in or was asked for just now', async () => {
    await keepJob('a', 'Alder County', 'art a');
    const old = await keepFile('left over');
    await keepFile('on its way into a job', 0.5);
    const again = await keepFile('left over, and imported again');
    expect(await archive.vault.hold(again.sha256)).toBe(true);
    const unused = await archive.deletions.unusedFiles(nowMs);
    expect(unused).toMatchObject({ jobs: 0, outputs: 0, files: 1, sha256s: [old.sha256] });
    expect(await archive.deletions.removeUnusedFiles(nowMs)).toEqual(unused);
    expect(await archive.vault.has(old.sha256)).toBe(false);
    expect(await archive.vault.has(again.sha256)).toBe(true);
    expect(await archive.vault.hold(old.sha256)).toBe(false);
    expect((await archive.checks.checkAll(everything)).absent).toEqual([]);
  });
});
