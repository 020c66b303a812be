/**
 * Cuts large artwork into panels, beside two other ways of doing it: `npm run bench cut [-- --all]`.
 *
 * The artwork is made first: a picture of 16,000 × 2,700 CMYK pixels, 146 MB packed by Flate, under 5,000 vector
 * marks and lettering; and one of a gigabyte. `--all` adds 4 and 40 panels, a JPEG of the same size, and 200,000 vector
 * objects. Times are ratios within one run; Panelwright's own time is the mean of a run before and one after the others.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { ART_1_GB, ART_144_MB, flateArt, jpegArt, PAGE, vectorArt } from './cut/art.ts';
import { type Method, type Outcome, windows } from './cut/methods.ts';

const PANELS = 12;
/** One panel takes as long as another: two tell the time of all, which is said. `--all` cuts every one. */
const GHOSTSCRIPT_PANELS = 2;
const METHODS = join(import.meta.dirname, 'cut/methods.ts');

export function run(args: string[]): void {
  const isAll = args.includes('--all');
  const folder = mkdtempSync(join(tmpdir(), 'panelwright-bench-'));
  try {
    const art = join(folder, 'art.pdf');
    flateArt(art, ART_144_MB);
    console.log(`Artwork of ${megabytes(statSync(art).size)}, ${PANELS} panels:`);
    const before = outcome('panelwright', art, PANELS);
    const embedding = outcome('embedding', art, PANELS);
    const ghostscript = outcome('ghostscript', art, PANELS, isAll ? PANELS : GHOSTSCRIPT_PANELS);
    const after = outcome('panelwright', art, PANELS);
    const seconds = (before.seconds + after.seconds) / 2;
    const ghostscriptSeconds = (ghostscript.seconds / ghostscript.panels) * PANELS;

    if (isAll) {
      for (const panels of [4, 40]) outcome('panelwright', art, panels);
      const size = statSync(art).size;
      jpegArt(art, size);
      console.log(`A JPEG in an artwork of ${megabytes(statSync(art).size)}, ${PANELS} panels:`);
      outcome('panelwright', art, PANELS);
      vectorArt(art, 200_000);
      console.log(`200,000 vector objects in ${megabytes(statSync(art).size)}, ${PANELS} panels:`);
      outcome('panelwright', art, PANELS);
      outcome('embedding', art, PANELS);
    }

    flateArt(art, ART_1_GB);
    console.log(`Artwork of ${megabytes(statSync(art).size)}, ${PANELS} panels:`);
    const large = outcome('panelwright', art, PANELS);
    console.log(
      JSON.stringify({
        timeVsEmbedding: rounded(seconds / embedding.seconds),
        timeVsGhostscript: rounded(seconds / ghostscriptSeconds),
        bytesOutOverIn: rounded(Math.max(before.overIn, large.overIn)),
        peakMB: Math.round(Math.max(before.peakMB, after.peakMB)),
        peakMB1GB: Math.round(large.peakMB),
        openSeconds1GB: rounded(large.openSeconds),
      }),
    );
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }

  function outcome(
    method: Method,
    art: string,
    panels: number,
    ghostscriptPanels = panels,
  ): Outcome & { readonly overIn: number } {
    const out = mkdtempSync(join(folder, 'panels-'));
    const child = spawnSync(process.execPath, [METHODS, method, art, String(panels), out], {
      env: { ...process.env, GHOSTSCRIPT_PANELS: String(ghostscriptPanels) },
      encoding: 'utf8',
    });
    rmSync(out, { recursive: true, force: true });
    if (child.status !== 0) throw new Error(`${method}: ${child.stderr}`);
    const done = JSON.parse(child.stdout) as Outcome;
    const share = windows(panels)
      .slice(0, done.panels)
      .reduce((sum, { width }) => sum + width / PAGE.width, 0);
    const overIn = done.bytesOut / (statSync(art).size * share);
    console.log(
      [
        method.padEnd(12),
        `${done.panels} of ${panels} panels`.padStart(16),
        `${done.seconds.toFixed(2)} s`.padStart(10),
        `${megabytes(done.bytesOut)} out`.padStart(14),
        `${overIn.toFixed(2)} × its share`.padStart(18),
        method === 'ghostscript' ? '' : `peak ${done.peakMB.toFixed(0)} MB`.padStart(14),
      ].join('  '),
    );
    return { ...done, overIn };
  }
}

const megabytes = (bytes: number): string => `${(bytes / 1e6).toFixed(0)} MB`;
const rounded = (value: number): number => Math.round(value * 1000) / 1000;
