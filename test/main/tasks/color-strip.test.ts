import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { jobLayout } from '../../../core/layout/side-layout.ts';
import { filmFromFinished } from '../../../core/measure/spaces.ts';
import { colorStrip } from '../../../core/output/color-strip.ts';
import { openArtwork } from '../../../main/artwork/artwork-file.ts';
import { PROGRAM_VERSION } from '../../../main/files/program.ts';
import { jobState } from '../../../main/job/job-state.ts';
import { stageJobOutput } from '../../../main/tasks/job-output.ts';
import { reprint } from '../../../main/tasks/reprint.ts';
import { resultValue } from '../../support/panel-check.ts';
import { pdfiumPicture } from '../../support/pdfium.ts';
import { colorCount, pictureCropped, pictureDifference } from '../../support/picture.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';

const TOOLS = { signal: new AbortController().signal, report: () => undefined };
/** One pixel is a millimeter of film. */
const PPI = 25.4;

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-test-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const rounded = ({ x, y, width, height }: { x: number; y: number; width: number; height: number }) => ({
  x: Math.round(x),
  y: Math.round(y),
  width: Math.round(width),
  height: Math.round(height),
});

for (const [factor, cutContours] of [
  [1, false],
  [4, false],
  [1, true],
] as const) {
  const how = cutContours ? 'with cut contours' : `1:${factor}`;
  it(`RP6 the color strip shows the pixels of the panel that it is part of, written ${how}`, async () => {
    const path = join(folder, 'art.pdf');
    writeFileSync(path, await smallArtwork());
    const artwork = resultValue(await openArtwork(path, { box: 'crop' }));
    const empty = smallJob();
    const job = smallJob({
      artwork: artwork.reference,
      output: {
        ...empty.output,
        ...(cutContours && { cutContours }),
        size: factor === 1 ? { kind: 'true-size' } : { kind: 'reduction', factor },
      },
    });
    const request = { state: { ...jobState(job, artwork), blocking: [] }, artwork, output: { number: 1 } };
    const first = resultValue(await stageJobOutput({ ...request, sheets: [], jobFolder: folder }, TOOLS));
    const file = first.files.find(({ panelLabel }) => panelLabel === 'LH-01')!;
    const again = resultValue(
      await reprint(
        {
          job,
          programVersion: PROGRAM_VERSION,
          panels: [{ file, path: join(first.staged, file.name) }],
          manifest: first.manifest,
          artwork: { path, fileName: 'art.pdf', box: 'crop' },
          artworkSha256: artwork.reference.sha256,
          sheets: ['ticket'],
          hasColorStrip: true,
          jobFolder: folder,
          output: { number: 2, reprint: { of: 1, reason: 'torn', date: '2026-11-27' } },
        },
        TOOLS,
      ),
    );
    const end = factor === 1 ? '' : `_enlarge-x${factor}`;
    const name = `color-strip/SJ-7_00-COLOR-STRIP-LH-01${end}.pdf`;
    expect(again.files.map(({ kind }) => kind)).toEqual(['color-strip', 'panel', 'ticket', 'manifest']);
    expect(again.manifest.files[0]).toMatchObject({ file: name, kind: 'color-strip' });

    const strip = colorStrip(job, jobLayout(job), new Set([file.panelId!]))!;
    // Right edge of LH-01: 15 past the seam at 1,330, in the middle of a side of 1,300.
    expect(strip.printed).toEqual({ x: 1245, y: 500, width: 100, height: 300 });
    expect(strip.neighbor?.label).toBe('LH-02');
    const picture = (from: string) =>
      pdfiumPicture(readFileSync(join(again.staged, ...from.split('/'))), { ppi: PPI * factor });
    const ofPanel = pictureCropped(
      await picture(file.name),
      rounded(filmFromFinished(strip.panel.film).rect(strip.printed)),
    );
    const ofStrip = pictureCropped(
      await picture(name),
      rounded(filmFromFinished(strip.film).rect(strip.printed)),
    );
    expect(colorCount(ofPanel)).toBeGreaterThan(2);
    expect(pictureDifference(ofPanel, ofStrip, { edge: 1 }).largest).toBeLessThanOrEqual(1);
  });
}
