/**
 * What a backup costs beside copying its files: `npm run bench backup`. An archive of 370 MB, some artworks and many panels, is
 * backed up, backed up once more beside the first, copied by the system's own `cp -r`, and copied by that until it is on
 * the disk: a backup is told finished only then, `cp` returns while the system still holds all of it in memory. Each is
 * the best of three runs.
 */
import { execFileSync } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Archive } from '../../main/archive/port.ts';
import { smallJob } from '../support/small-job.ts';
import { testArchive } from '../support/test-archive.ts';

const ARTWORKS_MB = [120, 60, 20];
/** Panels and sheets of outputs. */
const FILES = 170;
const FILE_MB = 1;
const RUNS = 3;

export async function run(): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-bench-backup-'));
  const archive = await testArchive(join(folder, 'archive'));
  try {
    await fill(archive, join(folder, 'file'));
    const times: Record<'backup' | 'again' | 'copy' | 'durable', number[]> = {
      backup: [],
      again: [],
      copy: [],
      durable: [],
    };
    for (let n = 0; n < RUNS; n++) {
      const [first, copy] = [join(folder, `first-${n}`), join(folder, `copy-${n}`)];
      const copyFiles = () => execFileSync('cp', ['-r', archive.folder, copy]);
      times.backup.push(await secondsOf(() => backUp(archive, join(first, 'one'))));
      times.again.push(await secondsOf(() => backUp(archive, join(first, 'two'))));
      times.copy.push(await secondsOf(copyFiles));
      rmSync(copy, { recursive: true });
      times.durable.push(
        await secondsOf(() => {
          copyFiles();
          execFileSync('sync');
        }),
      );
      rmSync(first, { recursive: true });
      rmSync(copy, { recursive: true });
    }
    const best = (seconds: readonly number[]) => Math.min(...seconds);
    const ratio = (of: readonly number[], to: readonly number[]) =>
      Math.round((best(of) / best(to)) * 100) / 100;
    console.log(JSON.stringify(times));
    console.log(
      JSON.stringify({
        backupOverCopy: ratio(times.backup, times.copy),
        backupOverDurableCopy: ratio(times.backup, times.durable),
        againOverCopy: ratio(times.again, times.copy),
      }),
    );
  } finally {
    await archive.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

async function fill(archive: Archive, file: string): Promise<void> {
  const keep = async (megabytes: number) => {
    writeFileSync(file, randomBytes(megabytes * 1e6));
    return await archive.vault.add(file);
  };
  const now = '2026-03-09T10:11:12Z';
  for (const [n, megabytes] of ARTWORKS_MB.entries()) {
    const artwork = { ...(await keep(megabytes)), fileName: 'art.pdf', box: 'crop' as const };
    await archive.jobs.save(smallJob({ id: `job-${n}`, number: `SJ-${n}`, artwork }), {
      panelLabels: [],
      now,
    });
  }
  const files = [];
  for (let n = 0; n < FILES; n++)
    files.push({ name: `panels/LH-${n}.pdf`, kind: 'panel' as const, ...(await keep(FILE_MB)) });
  await archive.outputs.keep({
    jobId: 'job-0',
    kind: 'output',
    reason: '',
    at: now,
    programVersion: '0.1.0',
    document: '{}',
    artworkSha256: files[0]!.sha256,
    folder: 'out',
    files,
  });
}

async function backUp(archive: Archive, to: string): Promise<void> {
  const tools = { signal: new AbortController().signal, report: () => undefined };
  const copied = await archive.checks.backUp(to, tools);
  if (!copied.ok || copied.value.lost.length > 0) throw new Error('The backup is not whole.');
}

async function secondsOf(work: () => unknown): Promise<number> {
  // What was written before is not to keep the disk busy.
  execFileSync('sync');
  const begun = performance.now();
  await work();
  return (performance.now() - begun) / 1000;
}
