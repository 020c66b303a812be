import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { sheetFileName } from '../../../core/output/sheet-kind.ts';
import { openArtwork } from '../../../main/artwork/artwork-file.ts';
import { jobState } from '../../../main/job/job-state.ts';
import { stageJobOutput } from '../../../main/tasks/job-output.ts';
import { resultValue } from '../../support/panel-check.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { describeWithTools, runTool } from '../../support/tools.ts';

const TOOLS = { signal: new AbortController().signal, report: () => undefined };

describeWithTools(['pdftotext'], 'the sheets of one output', () => {
  let folder: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'panelwright-test-'));
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));

  it('each page of each kind says the job, the output and, but for labels, one layout revision', async () => {
    const path = join(folder, 'art.pdf');
    writeFileSync(path, await smallArtwork());
    const artwork = resultValue(await openArtwork(path, { box: 'crop' }));
    const job = smallJob({ artwork: artwork.reference });
    const kinds = ['map', 'map-lines', 'ticket', 'labels', 'packing-list', 'check-in'] as const;
    const staged = resultValue(
      await stageJobOutput(
        {
          state: { ...jobState(job, artwork), blocking: [] },
          artwork,
          sheets: kinds,
          output: { number: 7361 },
          jobFolder: folder,
        },
        TOOLS,
      ),
    );
    const revision = staged.manifest.layout.slice(0, 6);
    for (const kind of kinds) {
      const file = join(staged.staged, sheetFileName(job.number, kind));
      expect(readFileSync(file).subarray(0, 5).toString('latin1')).toBe('%PDF-');
      const pages = runTool('pdftotext', ['-raw', file, '-']).toString('utf8').split('\f').slice(0, -1);
      expect(pages.length).toBeGreaterThan(0);
      for (const page of pages) {
        expect(page, kind).toContain('SJ-7');
        expect(page, kind).toContain('7361');
        if (kind !== 'labels') expect(page, kind).toContain(revision);
      }
    }
  });
});
