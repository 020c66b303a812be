/**
 * Cuts large artwork into panels, beside two other ways of doing it: `npm run bench cut [-- --all]`.
 *
 * The artwork is made first: a picture of 16,000 × 2,700 CMYK pixels, 146 MB packed by Flate, under 5,000 vector
 * marks and lettering; and one of a gigabyte. `--all` shows how the cost grows: 4 and 40 panels, a JPEG of the same
 * size, 200,000 vector objects. Times are ratios within one run; Panelwright's own time is the mean of the runs
 * before and after the other's. The last line comes whatever happens: what could not be measured is null in it.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { ART_1_GB, ART_144_MB, flateArt, jpegArt, vectorArt } from './cut/art.ts';
import { awaitChildEnd, type Measured, measured, printHead, type Question } from './cut/measured.ts';
import type { Method } from './cut/methods.ts';

const PANELS = 12;
/** `--all` cuts every one. */
const GHOSTSCRIPT_PANELS = 2;
const JPEG_MB = 146;

export async function run(args: string[]): Promise<void> {
  const isAll = args.includes('--all');
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-bench-'));
  const path = join(folder, 'art.pdf');
  const figures: Figures = {
    timeVsEmbedding: null,
    timeVsGhostscript: null,
    bytesOutOverIn: null,
    peakMB: null,
    peakMB1GB: null,
    openSeconds1GB: null,
  };
  const end = (): void => {
    rmSync(folder, { recursive: true, force: true });
    console.log(JSON.stringify(figures));
  };
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) {
    process.once(signal, () => {
      console.log(`Ended early by ${signal}.`);
      awaitChildEnd();
      end();
      process.exit(1);
    });
  }
  const cut = async (artwork: string, method: Method, panels = PANELS): Promise<Measured | undefined> => {
    const fewer = method === 'ghostscript' && !isAll ? { cutPanels: GHOSTSCRIPT_PANELS } : {};
    const question: Question = { artwork, method, path, panels, ...fewer };
    const done = await measured(question);
    if (!done) process.exitCode = 1;
    return done;
  };
  try {
    printHead();
    flateArt(path, ART_144_MB);
    const first = await cut('Flate picture', 'panelwright');
    const embedding = await cut('Flate picture', 'embedding');
    const second = await cut('Flate picture', 'panelwright');
    const ghostscript = await cut('Flate picture', 'ghostscript');
    const third = await cut('Flate picture', 'panelwright');
    figures.timeVsEmbedding = timeRatio([first, second], embedding);
    figures.timeVsGhostscript = timeRatio([second, third], ghostscript);
    figures.peakMB = highest([first, second, third], ({ peakMB }) => Math.round(peakMB));
    if (isAll) {
      for (const panels of [4, 40]) await cut('Flate picture', 'panelwright', panels);
      jpegArt(path, JPEG_MB * 1e6);
      await cut('JPEG picture', 'panelwright');
      vectorArt(path, 200_000);
      await cut('200,000 vector objects', 'panelwright');
      await cut('200,000 vector objects', 'embedding');
    }
    flateArt(path, ART_1_GB);
    const large = await cut('Flate picture, 1 GB', 'panelwright');
    figures.bytesOutOverIn = highest([first, large], ({ overIn }) => rounded(overIn));
    figures.peakMB1GB = highest([large], ({ peakMB }) => Math.round(peakMB));
    figures.openSeconds1GB = highest([large], ({ openSeconds }) => rounded(openSeconds));
  } catch (error) {
    console.error(error);
    process.exitCode = 1;
  }
  end();
}

type Figures = Record<
  'timeVsEmbedding' | 'timeVsGhostscript' | 'bytesOutOverIn' | 'peakMB' | 'peakMB1GB' | 'openSeconds1GB',
  number | null
>;

/** Null where one of the runs failed. */
function timeRatio(own: readonly (Measured | undefined)[], other: Measured | undefined): number | null {
  if (!other || !own.every((run) => run !== undefined)) return null;
  const seconds = own.reduce((sum, { allSeconds }) => sum + allSeconds, 0) / own.length;
  return rounded(seconds / other.allSeconds);
}

function highest(runs: readonly (Measured | undefined)[], figure: (run: Measured) => number): number | null {
  return runs.every((run) => run !== undefined) ? Math.max(...runs.map(figure)) : null;
}

const rounded = (value: number): number => Math.round(value * 1000) / 1000;
