import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import type { Archive, ArchivedOutput } from '../../../main/archive/port.ts';
import { hashFile } from '../../../main/files/sha256.ts';
import { keepArtwork } from '../../../main/services/keep-artwork.ts';
import { keepOutput } from '../../../main/services/keep-output.ts';
import { verifyOutput } from '../../../main/services/verify-output.ts';
import { verifyWritten } from '../../../main/services/verify-written.ts';
import { tasksInPlace } from '../../../main/tasks/tasks-in-place.ts';
import { verifyFolder } from '../../../main/verify/verification-task.ts';
import { resultValue } from '../../support/panel-check.ts';
import { testArchive } from '../../support/test-archive.ts';
import { WrittenOutput } from './damaged-output.ts';

const TOOLS = { signal: new AbortController().signal, report: () => undefined };
const AT = '2026-03-09T14:15:16Z';
let output: WrittenOutput;
let archive: Archive;
let archived: ArchivedOutput;
let panel: string;

beforeAll(async () => {
  output = await WrittenOutput.made();
  archive = await testArchive(mkdtempSync(join(tmpdir(), 'panelwright-verification-archive-')));
  const copy = output.copy();
  panel = copy.path(0);
  const { job } = output.state;
  resultValue(await archive.jobs.save(job, { panelLabels: [], baseRevision: 0, now: AT }));
  const { manifest, folder } = copy;
  const written = [...manifest.files].map(({ file, kind, sha256, sizeBytes }) => {
    const panelId = manifest.panels.find((entry) => entry.file === file)?.panelId;
    return { name: file, kind, sha256, sizeBytes, ...(panelId !== undefined && { panelId }) };
  });
  const manifestFile = await hashFile(join(folder, 'manifest.json'));
  const { sha256 } = output.artwork.reference;
  resultValue(await keepArtwork(archive, { path: output.artwork.path, ...job.artwork! }, sha256));
  archived = resultValue(
    await keepOutput(archive, {
      jobId: job.id,
      kind: 'output',
      reason: '',
      at: AT,
      document: jobToJson(job),
      artworkSha256: sha256,
      folder,
      files: [...written, { name: 'manifest.json', kind: 'manifest', ...manifestFile }],
    }),
  );
});
afterAll(async () => {
  await archive.close();
  rmSync(archive.folder, { recursive: true });
  output.remove();
});

const verifiedNow = async () =>
  resultValue(await verifyOutput({ archive, work: tasksInPlace }, archived.id, () => undefined, TOOLS))
    .verification;

describe('a run of the archive', () => {
  it('is not verified until it was looked at, and released only while its files are the artwork', async () => {
    expect(archived.verification).toEqual({ state: 'not-verified', sentences: [] });
    const verified = await verifiedNow();
    expect(verified.state).toBe('verified');
    expect((await archive.outputs.verificationReport(archived.id))?.sides[0]?.panels).toHaveLength(2);

    rmSync(panel);
    const failed = await verifiedNow();
    expect(failed.state).toBe('failed');
    expect(failed.sentences.join(' ')).toMatch(
      /The file of panel LH-01, .*, is not there\. Cut the job again/,
    );
    expect((await archive.outputs.list(archived.jobId))[0]?.verification).toEqual(failed);
  });

  it('says why a verification could not be made to its end, and verifies nothing by it', async () => {
    const bare = join(output.home, 'bare');
    mkdirSync(bare);
    const { job } = output.state;
    const none = await verifyFolder({ job, folder: bare }, output.artwork, TOOLS);
    expect(none).toMatchObject({ ok: false, problem: { code: 'manifest-unreadable' } });
    writeFileSync(join(bare, 'manifest.json'), '{"format":');
    expect(await verifyFolder({ job, folder: bare }, output.artwork, TOOLS)).toMatchObject({ ok: false });
    const { id: number, files } = archived;
    const written = { number, files, folder: bare, manifest: output.manifest, job, isReprint: false };
    const artwork = { ok: true, value: { path: output.artwork.path, ...job.artwork! } } as const;
    const unverified = { ...written, artwork };
    expect(await verifyWritten({ archive, work: tasksInPlace }, unverified, TOOLS)).toMatchObject({
      verification: {
        state: 'not-verified',
        sentences: [
          expect.stringMatching(/^The output was not verified\. The manifest in .* Cut the job again\.$/),
        ],
      },
      remarks: [],
    });
    const abort = new AbortController();
    abort.abort();
    const cancelled = await verifyFolder({ job, folder: output.copy().folder }, output.artwork, {
      ...TOOLS,
      signal: abort.signal,
    });
    expect(cancelled).toMatchObject({ ok: false, problem: { code: 'cancelled' } });
  });
});
