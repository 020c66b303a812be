/** One way of cutting, measured in a process of its own, and printed as a row of a table. */
import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { PAGE } from './art-file.ts';
import { type Method, type Outcome, windows } from './methods.ts';

const METHODS = join(import.meta.dirname, 'methods.ts');

export interface Question {
  readonly method: Method;
  /** What it is, for the reader of the table. */
  readonly artwork: string;
  readonly path: string;
  readonly panels: number;
  /** Fewer than `panels` where every panel takes the same time: the time of all is extrapolated. */
  readonly cutPanels?: number;
}

export interface Measured extends Outcome {
  /** Of all panels, even where fewer were cut. */
  readonly allSeconds: number;
  /** Bytes out over the artwork's own and its share of overlaps. */
  readonly overIn: number;
}

/** The running process, so that it is ended together with this one. */
let running: ChildProcess | undefined;

export const awaitChildEnd = (): boolean | undefined => running?.kill();

/** Undefined: it failed, which is said in its row. */
export async function measured(question: Question): Promise<Measured | undefined> {
  const { method, path, panels, cutPanels = panels } = question;
  const out = mkdtempSync(join(dirname(path), 'panels-'));
  // What earlier runs wrote is not to keep the disk busy during this one.
  spawnSync('sync');
  const child = spawn(process.execPath, [METHODS, method, path, String(panels), out, String(cutPanels)], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  running = child;
  let text = '';
  child.stdout.setEncoding('utf8').on('data', (part: string) => {
    text += part;
  });
  const [code, signal] = await new Promise<[number | null, string | null]>((resolve, reject) => {
    child.on('error', reject).on('close', (...end) => resolve(end));
  });
  running = undefined;
  rmSync(out, { recursive: true, force: true });
  if (code !== 0) {
    print([question.artwork, method, String(panels), `failed: ${signal ?? `exit code ${code}`}`]);
    return undefined;
  }
  const outcome = JSON.parse(text) as Outcome;
  const share = windows(panels)
    .slice(0, outcome.panels)
    .reduce((sum, { width }) => sum + width / PAGE.width, 0);
  const bytesIn = statSync(path).size;
  const allSeconds = (outcome.seconds / outcome.panels) * panels;
  const done = { ...outcome, allSeconds, overIn: outcome.bytesOut / (bytesIn * share) };
  print([
    question.artwork,
    method,
    outcome.panels === panels ? String(panels) : `${outcome.panels} of ${panels}`,
    megabytes(bytesIn),
    `${outcome.seconds.toFixed(2)} s`,
    method === 'ghostscript' ? '' : `${outcome.cpuSeconds.toFixed(2)} s`,
    `${(outcome.seconds / outcome.panels).toFixed(2)} s`,
    `${(bytesIn / 1e6 / allSeconds).toFixed(1)} MB/s`,
    megabytes(outcome.bytesOut),
    done.overIn.toFixed(2),
    method === 'ghostscript' ? '' : megabytes(outcome.peakMB * 1e6),
  ]);
  return done;
}

const COLUMNS = [
  ['artwork', 22],
  ['way', 12],
  ['panels', 8],
  ['in', 8],
  ['time', 9],
  ['CPU', 9],
  ['a panel', 8],
  ['speed', 11],
  ['out', 8],
  ['× share', 8],
  ['peak', 7],
] as const;

export const printHead = (): void => print(COLUMNS.map(([title]) => title));

function print(cells: readonly string[]): void {
  const padded = cells.map((cell, i) => {
    const width = COLUMNS[i]![1];
    return i < 2 ? cell.padEnd(width) : cell.padStart(width);
  });
  console.log(padded.join('  ').trimEnd());
}

const megabytes = (bytes: number): string => `${(bytes / 1e6).toFixed(0)} MB`;
