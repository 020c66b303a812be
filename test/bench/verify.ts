/**
 * What a verification costs: `npm run bench verify [-- --all]`. CPU of verifying the bookmobile beside drawing its panels
 * once, and the largest memory over all processes for an artwork of a gigabyte; with `--all` also for one of three.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { ART_1_GB, flateArt } from './cut/art.ts';
import { verifyOverDrawing, verifyPeakMB } from './verify/figures.ts';

const ART_3_GB = { columns: 40_000, rows: 22_500 };

export async function run(args: string[]): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-bench-'));
  const part = (name: string) => mkdtempSync(join(folder, `${name}-`));
  try {
    const figures: Record<string, number> = {
      verifyOverDrawing: rounded(await verifyOverDrawing(part('bus'))),
    };
    const path = join(folder, 'art.pdf');
    flateArt(path, ART_1_GB);
    figures.verifyPeakMB1GB = Math.round(await verifyPeakMB(path, part('one')));
    if (args.includes('--all')) {
      flateArt(path, ART_3_GB);
      figures.verifyPeakMB3GB = Math.round(await verifyPeakMB(path, part('three')));
    }
    console.log(JSON.stringify(figures));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const rounded = (value: number): number => Math.round(value * 100) / 100;
