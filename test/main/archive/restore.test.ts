import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { archiveFaults } from '../../../main/archive/archive-faults.ts';
import { finishRestoring, putInPlace, stageBackup } from '../../../main/archive/restore.ts';
import { smallJob } from '../../support/small-job.ts';
import { testArchive } from '../../support/test-archive.ts';

const NOW = '2026-03-09T10:11:12.000Z';
const LATER = '2026-03-10T10:11:12.000Z';
let home: string;
let folder: string;
let backup: string;

const tools = (signal = new AbortController().signal) => ({ signal, report: () => undefined });

async function keep(number: string, artwork?: string): Promise<void> {
  const archive = await testArchive(folder);
  if (artwork !== undefined) {
    writeFileSync(join(home, 'art.pdf'), artwork);
    const { sha256, sizeBytes } = await archive.vault.add(join(home, 'art.pdf'));
    const job = smallJob({ number, artwork: { fileName: 'art.pdf', sha256, sizeBytes, box: 'trim' } });
    await archive.jobs.save(job, { panelLabels: [], now: NOW });
  } else {
    await archive.jobs.save(smallJob({ number }), { panelLabels: [], now: NOW });
  }
  await archive.close();
}

async function numbers(of: string): Promise<string[]> {
  const archive = await testArchive(of);
  const found = await archive.jobs.list({});
  await archive.close();
  return found.map(({ number }) => number);
}

beforeEach(async () => {
  home = mkdtempSync(join(tmpdir(), 'panelwright-restore-'));
  folder = join(home, 'archive');
  backup = join(home, 'backup');
  await keep('OLD-1', 'the artwork');
  const archive = await testArchive(folder);
  await archive.checks.backUp(backup, tools());
  await archive.close();
  await keep('NEW-2');
});
afterEach(() => rmSync(home, { recursive: true }));

describe('a backup', () => {
  it('is read in full beside the archive, takes its place, and leaves it under another name', async () => {
    const staged = await stageBackup(backup, folder, tools());
    if (!staged.ok) throw new Error(staged.problem.message);
    expect(staged.value.report).toMatchObject({ jobs: 1, files: 1 });
    expect(archiveFaults(staged.value.report)).toEqual([]);
    expect(await numbers(folder)).toEqual(['NEW-2']);
    const aside = await putInPlace(staged.value, folder, LATER);
    expect(aside).toBe(`${folder}.set-aside-20260310101112000`);
    expect(await numbers(folder)).toEqual(['OLD-1']);
    expect(await numbers(aside!)).toEqual(['NEW-2']);
    expect(await numbers(backup)).toEqual(['OLD-1']);
  });

  it('tells what it lacks, and is not taken where it cannot be read', async () => {
    const [blob] = readdirSync(join(backup, 'vault'), { recursive: true, encoding: 'utf8' }).filter(
      (name) => name.length > 60,
    );
    const path = join(backup, 'vault', blob!);
    writeFileSync(path, `${readFileSync(path, 'utf8')}!`);
    const staged = await stageBackup(backup, folder, tools());
    if (!staged.ok) throw new Error(staged.problem.message);
    expect(archiveFaults(staged.value.report)).toEqual([
      expect.stringMatching(/^Damaged: artwork of job OLD-1 \([0-9a-f]{64}\)$/),
    ]);
    writeFileSync(join(backup, 'archive.sqlite'), 'x'.repeat(5000));
    expect(await stageBackup(backup, folder, tools())).toMatchObject({
      ok: false,
      problem: { code: 'archive-damaged' },
    });
    expect(await numbers(folder)).toEqual(['NEW-2']);
  });

  it.each([
    ['an empty folder', () => home, 'backup-none'],
    ['the archive itself', () => folder, 'backup-is-archive'],
  ])('is not %s', async (_what, chosen, code) => {
    expect(await stageBackup(chosen(), folder, tools())).toMatchObject({ ok: false, problem: { code } });
  });

  it('that is called off leaves nothing', async () => {
    const before = readdirSync(home);
    const stopped = await stageBackup(backup, folder, tools(AbortSignal.abort()));
    expect(stopped).toMatchObject({ ok: false, problem: { code: 'cancelled' } });
    expect(readdirSync(home)).toEqual(before);
  });

  it.each(['before the archive was moved', 'between the two renames'])(
    'is put in place after a kill %s',
    async (when) => {
      cpSync(backup, `${folder}.restored-1`, { recursive: true });
      if (when === 'between the two renames') rmSync(folder, { recursive: true });
      await finishRestoring(folder, LATER);
      expect(await numbers(folder)).toEqual(['OLD-1']);
      expect(existsSync(`${folder}.restored-1`)).toBe(false);
      expect(await finishRestoring(folder, LATER)).toBeUndefined();
    },
  );
});
