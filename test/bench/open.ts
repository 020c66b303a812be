/**
 * How long a traced drawing of two million segments takes to open, for the first time and again, each in a program
 * that has just started and is done with starting: `npm run bench open`. The last line is JSON.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openArtwork } from '../../main/artwork/artwork-file.ts';
import { ScanStore } from '../../main/artwork/scan-store.ts';
import { tracedArt } from './cut/art.ts';

const SEGMENTS = 2_000_000;

interface Opened {
  readonly seconds: number;
  readonly cpuSeconds: number;
  readonly peakMB: number;
}

export function run(): void {
  const [first, again] = openings();
  console.log(`First: ${words(first)}`);
  console.log(`Again: ${words(again)}`);
  console.log(
    JSON.stringify({ openSecondsVector: first.cpuSeconds, openAgainSecondsVector: again.cpuSeconds }),
  );
}

/** CPU seconds that it takes to open an artwork of two million segments that was opened before. */
export const openAgainSecondsVector = (): number => openings()[1].cpuSeconds;

function openings(): readonly [Opened, Opened] {
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-bench-'));
  try {
    const path = join(folder, 'traced.pdf');
    tracedArt(path, SEGMENTS);
    console.log(
      `A traced drawing of ${SEGMENTS} segments, ${(statSync(path).size / 1e6).toFixed(0)} MB, is opened.`,
    );
    const archive = join(folder, 'archive');
    return [opened(path, archive), opened(path, archive)];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function opened(path: string, archive: string): Opened {
  const { status, stdout, stderr } = spawnSync(process.execPath, [import.meta.filename, path, archive], {
    encoding: 'utf8',
  });
  if (status !== 0) throw new Error(stderr);
  return JSON.parse(stdout) as Opened;
}

const words = ({ seconds, cpuSeconds, peakMB }: Opened): string =>
  `${seconds.toFixed(2)} s, ${cpuSeconds.toFixed(2)} s of CPU, memory at most ${peakMB.toFixed(0)} MB`;

if (process.argv[1] === import.meta.filename) {
  const [path, archive] = process.argv.slice(2) as [string, string];
  const started = performance.now();
  const before = process.cpuUsage();
  const artwork = await openArtwork(path, { box: 'crop' }, {}, new ScanStore(archive));
  if (!artwork.ok) throw artwork.problem;
  const { user, system } = process.cpuUsage(before);
  const done: Opened = {
    seconds: (performance.now() - started) / 1000,
    cpuSeconds: (user + system) / 1e6,
    peakMB: process.resourceUsage().maxRSS / 1024,
  };
  console.log(JSON.stringify(done));
}
