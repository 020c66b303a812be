import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import type { Manifest } from '../../../core/output/manifest.ts';
import { openArtwork } from '../../../main/artwork/artwork-file.ts';
import { packingCodec } from '../../../main/cut/zlib.ts';
import { PROGRAM_VERSION } from '../../../main/files/program.ts';
import { jobState } from '../../../main/job/job-state.ts';
import { stageJobOutput } from '../../../main/tasks/job-output.ts';
import { reprint, type StagedReprint } from '../../../main/tasks/reprint.ts';
import { resultValue } from '../../support/panel-check.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';

const TOOLS = { signal: new AbortController().signal, report: () => undefined };

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-test-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

/** The first panel of an output, cut again because the archive lost it; `then` is what the output's manifest said. */
async function recut(then: Partial<Manifest>, sha256?: string): Promise<StagedReprint> {
  const path = join(folder, 'art.pdf');
  writeFileSync(path, await smallArtwork());
  const artwork = resultValue(await openArtwork(path, { box: 'crop' }));
  const job = smallJob({ artwork: artwork.reference });
  const request = {
    state: { ...jobState(job, artwork), blocking: [] },
    artwork,
    sheets: [],
    output: { number: 1 },
  };
  const first = resultValue(await stageJobOutput({ ...request, jobFolder: folder }, TOOLS));
  const file = first.files.find(({ kind }) => kind === 'panel')!;
  return resultValue(
    await reprint(
      {
        job,
        programVersion: PROGRAM_VERSION,
        panels: [{ file: { ...file, sha256: sha256 ?? file.sha256 } }],
        manifest: { ...first.manifest, ...then },
        artwork: { path, fileName: 'art.pdf', box: 'crop' },
        artworkSha256: artwork.reference.sha256,
        sheets: [],
        jobFolder: folder,
        output: { number: 2, reprint: { of: 1, reason: 'torn', date: '2026-11-27' } },
      },
      TOOLS,
    ),
  );
}

it('a panel that is cut again names the codec of then and of now, in words and in the manifest', async () => {
  const { name, version } = packingCodec();
  const { differences, manifest } = await recut({ codec: { name, version: '0.9.7' } }, 'f'.repeat(64));
  expect(differences).toEqual([
    `LH-01: the archived file was missing or damaged, so the panel was cut again; the new cut, by version ${PROGRAM_VERSION} with ${name} ${version} after ${PROGRAM_VERSION} with ${name} 0.9.7, is not byte-identical to the first; compare it with a remaining piece before printing.`,
  ]);
  expect(manifest.codec).toEqual({ name, version: '0.9.7' });
  expect(manifest.panels.map(({ notes }) => notes)).toEqual([
    [`Cut again, and packed with ${name} ${version}.`],
  ]);
});

it('a panel that is cut again with the same codec is the same', async () => {
  const { differences, manifest } = await recut({});
  expect(differences).toEqual([expect.stringContaining('the new cut is byte-identical to the first')]);
  expect(manifest.codec).toEqual(packingCodec());
  expect(manifest.panels.map(({ notes }) => notes)).toEqual([[]]);
});
