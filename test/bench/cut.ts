/**
 * Cuts large artwork into panels, beside two other ways of doing it: `npm run bench cut [-- --all]`.
 *
 * The artwork is made first: a picture of 16,000 × 2,700 CMYK pixels, 146 MB packed by Flate, under 5,000 vector
 * marks and lettering; one of 193 MB, and one of a gigabyte that is wider than 32,768 pixels. `--all` shows how the
 * cost grows with panels (4, 12, 40) and size (11 MB to 3 GB), for each kind of artwork (`ALL`): nothing may grow faster
 * than its work. A panel takes whole objects and, of a picture, two points more on each side and up to the next edge
 * where it can be cut: with 40 panels that is a tenth of a picture's width, and more of a drawing whose objects are wide.
 * Times are ratios within one run; Panelwright's own time is the mean of the runs
 * before and after the other's. The last line comes whatever happens: what could not be measured is null in it.
 */
import { mkdtempSync, rmSync, statfsSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import {
  ART_1_GB,
  ART_3_GB,
  ART_10_MB,
  ART_144_MB,
  ART_193_MB,
  collageArt,
  flateArt,
  jpeg2000Art,
  jpegArt,
  maskedArt,
  progressiveArt,
  tracedArt,
  vectorArt,
} from './cut/art.ts';
import { awaitChildEnd, type Measured, measured, printHead, type Question } from './cut/measured.ts';
import type { Method } from './cut/methods.ts';

const PANELS = 12;
const ALL_PANELS = [4, 12, 40];
/** Artwork of three gigabytes, and as much again in panels, with room for others. */
const ROOM_FOR_3_GB = 10e9;

/** What `--all` cuts into few panels, some, and many. */
const ALL: Readonly<Record<string, (path: string) => void | Promise<void>>> = {
  'Flate picture, 11 MB': (path) => flateArt(path, ART_10_MB),
  'Flate picture, 146 MB': (path) => flateArt(path, ART_144_MB),
  'Flate, 1 GB, 40,000 px': (path) => flateArt(path, ART_1_GB),
  'JPEG picture': (path) => jpegArt(path, JPEG_MB * 1e6),
  'CMYK JPEG': (path) => jpegArt(path, JPEG_MB * 1e6, 'cmyk'),
  'progressive JPEG': (path) => progressiveArt(path),
  'JPEG 2000': (path) => jpeg2000Art(path),
  '400 pictures': (path) => collageArt(path),
  'masks in 400 groups': (path) => maskedArt(path),
  '2 million segments': (path) => tracedArt(path, 2_000_000),
  '200,000 vector objects': (path) => vectorArt(path, 200_000),
};

/** `--all` cuts every one. */
const GHOSTSCRIPT_PANELS = 2;
const JPEG_MB = 146;

export async function run(args: string[]): Promise<void> {
  const isAll = args.includes('--all');
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-bench-'));
  const path = join(folder, 'art.pdf');
  const figures: Figures = {
    timeVsEmbedding: null,
    cpuVsEmbedding193MB: null,
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
    flateArt(path, ART_193_MB);
    const own = await cut('Flate picture, 193 MB', 'panelwright');
    const embedded = await cut('Flate picture, 193 MB', 'embedding');
    if (own && embedded) figures.cpuVsEmbedding193MB = rounded(own.cpuSeconds / embedded.cpuSeconds);
    if (isAll) await cutAll(path, cut);
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

type Cut = (artwork: string, method: Method, panels?: number) => Promise<Measured | undefined>;

async function cutAll(path: string, cut: Cut): Promise<void> {
  for (const [artwork, make] of Object.entries(ALL)) {
    await make(path);
    for (const panels of ALL_PANELS) await cut(artwork, 'panelwright', panels);
  }
  await cut('200,000 vector objects', 'embedding');
  const { bavail, bsize } = statfsSync(tmpdir());
  if (bavail * bsize < ROOM_FOR_3_GB) {
    console.log('There is no room on the disk for artwork of 3 GB.');
    return;
  }
  flateArt(path, ART_3_GB);
  await cut('Flate picture, 3 GB', 'panelwright');
}

type Figures = Record<
  | 'timeVsEmbedding'
  | 'cpuVsEmbedding193MB'
  | 'timeVsGhostscript'
  | 'bytesOutOverIn'
  | 'peakMB'
  | 'peakMB1GB'
  | 'openSeconds1GB',
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
