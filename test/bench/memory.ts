/**
 * What the work of a shop takes of memory, as the largest sum over all processes: `npm run bench memory [-- --all]`.
 * Panel layouts suggested for, and panels and sheets written of, an artwork of a gigabyte; with `--all` also of one of
 * three. Then artwork of 193 MB brought in on the bench: CPU until it is seen, and what the program holds afterwards.
 */
import { existsSync, mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { ART_1_GB, flateArt, type PictureRecipe } from './cut/art.ts';
import { type Worked, worked } from './memory/process-tree.ts';

const WORK = join(import.meta.dirname, 'memory/work.ts');
const ART_193_MB: PictureRecipe = { columns: 16_000, rows: 3600 };
const ART_3_GB: PictureRecipe = { columns: 40_000, rows: 22_500 };

export async function run(args: string[]): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-bench-memory-'));
  try {
    const { told, peakMB } = await hostOfArt(artIn(folder, ART_193_MB), folder);
    const figures: Record<string, number> = { ...told, hostPeakMB: Math.round(peakMB) };
    figures.planPeakMB1GB = await planPeakMB1GB(folder);
    figures.cutPeakMB1GB = await cutPeakMB1GB(folder);
    if (args.includes('--all')) {
      figures.planPeakMB3GB = await peakOf('plan', artIn(folder, ART_3_GB), folder);
      figures.cutPeakMB3GB = await peakOf('cut', artIn(folder, ART_3_GB), folder);
    }
    console.log(JSON.stringify(figures));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Panel layouts suggested for an artwork of a gigabyte, which is made in `folder` unless it is there. */
export const planPeakMB1GB = async (folder: string): Promise<number> =>
  await peakOf('plan', artIn(folder, ART_1_GB), folder);

/** The same, panels and all sheets of it written but the seams at true size: those take half as much again. */
export const cutPeakMB1GB = async (folder: string): Promise<number> =>
  await peakOf('cut', artIn(folder, ART_1_GB), folder);

async function peakOf(part: 'plan' | 'cut', artwork: string, within: string): Promise<number> {
  const folder = mkdtempSync(join(within, `${part}-`));
  await worked(WORK, [part === 'plan' ? 'begin' : 'prepare', folder, artwork]);
  const peakMB = Math.round((await worked(WORK, [part, folder, artwork])).peakMB);
  rmSync(folder, { recursive: true });
  console.log(`${part} of ${megabytes(artwork)} MB: ${peakMB} MB at most`);
  return peakMB;
}

async function hostOfArt(artwork: string, within: string): Promise<Worked> {
  const folder = mkdtempSync(join(within, 'host-'));
  const host = await worked(WORK, ['host', folder, artwork]);
  rmSync(folder, { recursive: true });
  console.log(`${megabytes(artwork)} MB brought in: ${JSON.stringify(host)}`);
  return host;
}

function artIn(folder: string, recipe: PictureRecipe): string {
  const path = join(folder, `art-${recipe.columns}x${recipe.rows}.pdf`);
  if (!existsSync(path)) flateArt(path, recipe);
  return path;
}

const megabytes = (path: string): number => Math.round(statSync(path).size / 1e6);
