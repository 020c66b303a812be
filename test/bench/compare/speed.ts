/** Two large artworks compared, beside cutting one of them. */
import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { openArtwork } from '../../../main/artwork/artwork-file.ts';
import { compareArtworks } from '../../../main/compare/artwork-comparison.ts';
import { ART_144_MB, flateArt } from '../cut/art.ts';
import { measured } from '../cut/measured.ts';
import { twelvePanels } from '../verify/twelve-panels.ts';

const PANELS = 12;
const RUNS = 3;
/** Of 27: in one panel of twelve it is changed. */
const CHANGED_BLOCK = 9;

export async function compareOverCut(folder: string): Promise<number | null> {
  const scratch = mkdtempSync(join(folder, 'large-'));
  const paths = [join(scratch, 'before.pdf'), join(scratch, 'after.pdf')] as const;
  flateArt(paths[0], ART_144_MB);
  flateArt(paths[1], ART_144_MB, CHANGED_BLOCK);
  const ratios: number[] = [];
  try {
    for (let i = 0; i < RUNS; i++) {
      const started = performance.now();
      const [before, after] = [
        await openArtwork(paths[0], { box: 'crop' }),
        await openArtwork(paths[1], { box: 'crop' }),
      ];
      if (!before.ok || !after.ok) return null;
      const job = twelvePanels(before.value.reference);
      const compared = await compareArtworks(
        { job, artworks: [before.value, after.value] },
        { signal: new AbortController().signal, report: () => undefined },
      );
      if (!compared.ok) return null;
      const seconds = (performance.now() - started) / 1000;
      const changed = compared.value.sides
        .flatMap(({ panels }) => panels)
        .filter(({ verdict }) => verdict === 'changed');
      const cut = await measured({
        method: 'panelwright',
        artwork: 'Flate picture, 146 MB',
        path: paths[0],
        panels: PANELS,
      });
      if (!cut) return null;
      console.log(
        `compared in ${seconds.toFixed(2)} s, ${changed.length} of ${PANELS} panels changed; cut in ${cut.allSeconds.toFixed(2)} s`,
      );
      ratios.push(seconds / cut.allSeconds);
    }
    return Math.round(ratios.toSorted((a, b) => a - b)[Math.floor(RUNS / 2)]! * 100) / 100;
  } finally {
    rmSync(scratch, { recursive: true, force: true });
  }
}
