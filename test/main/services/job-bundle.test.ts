/** Bundles that were tampered with: each is refused with one sentence, and nothing is imported. */
import { createWriteStream, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { ZipFile } from 'yazl';
import { jobToJson } from '../../../core/job/job-json.ts';
import type { Archive } from '../../../main/archive/port.ts';
import { sha256Hex } from '../../../main/files/sha256.ts';
import { importBundle } from '../../../main/services/job-bundle.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { testArchive } from '../../support/test-archive.ts';

let folder: string;
let archive: Archive;
let artwork: Uint8Array;
const path = () => join(folder, 'job.pwjob');

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-bundle-test-'));
  artwork = await smallArtwork();
  archive = await testArchive(join(folder, 'archive'));
});
afterEach(async () => {
  await archive.close();
  rmSync(folder, { recursive: true });
});

type Parts = Record<string, Buffer>;

/** The parts of an honest bundle. */
function parts(): Parts {
  const sha256 = sha256Hex(artwork);
  const job = {
    ...smallJob(),
    artwork: { fileName: 'art.pdf', sha256, sizeBytes: artwork.length, box: 'crop' as const },
  };
  const text = jobToJson(job);
  const bundle = {
    format: 'panelwright-bundle',
    version: 1,
    jobSha256: sha256Hex(Buffer.from(text)),
    notesSha256: sha256Hex(Buffer.from('[]')),
    artworkSha256: sha256,
  };
  return {
    'bundle.json': Buffer.from(JSON.stringify(bundle)),
    'job.json': Buffer.from(text),
    'notes.json': Buffer.from('[]'),
    'artwork.pdf': Buffer.from(artwork),
  };
}

async function importBundleAt(given: Parts) {
  const zip = new ZipFile();
  for (const [name, bytes] of Object.entries(given)) zip.addBuffer(bytes, name);
  zip.end();
  await pipeline(zip.outputStream, createWriteStream(path()));
  return await importedFromFile();
}

const importedFromFile = () =>
  importBundle(archive, path(), undefined, {
    now: '2026-03-09T10:11:12Z',
    signal: new AbortController().signal,
    report: () => undefined,
  });

async function expectNothingArrived(): Promise<void> {
  expect(await archive.jobs.list()).toEqual([]);
  const vault = join(folder, 'archive', 'vault');
  expect(readdirSync(join(folder, 'archive')).includes('vault') ? readdirSync(vault) : []).toEqual([]);
}

describe('a job bundle', () => {
  it('that is honest arrives whole', async () => {
    expect(await importBundleAt(parts())).toMatchObject({
      ok: true,
      value: { state: 'imported', job: { number: 'SJ-7' } },
    });
    expect(await archive.vault.state(sha256Hex(artwork))).toBe('sound');
  });

  const tampered: [string, (given: Parts) => Parts, string][] = [
    [
      'with another artwork',
      (p) => ({ ...p, 'artwork.pdf': Buffer.from('%PDF-1.7 other') }),
      'bundle-altered',
    ],
    ['without its artwork', ({ 'artwork.pdf': _, ...p }) => p, 'bundle-altered'],
    [
      'with an edited job',
      (p) => ({ ...p, 'job.json': Buffer.from(String(p['job.json']).replace('"scale": 10', '"scale": 20')) }),
      'bundle-altered',
    ],
    ['without a description', ({ 'bundle.json': _, ...p }) => p, 'bundle-unreadable'],
    [
      'of a newer version',
      (p) => ({
        ...p,
        'bundle.json': Buffer.from(String(p['bundle.json']).replace('"version":1', '"version":7')),
      }),
      'bundle-newer',
    ],
    ['with a file too many', (p) => ({ ...p, 'readme.txt': Buffer.from('x') }), 'bundle-unreadable'],
    [
      'with names of its own',
      ({ 'artwork.pdf': art, ...p }) => ({ ...p, 'elsewhere/artwork.pdf': art! }),
      'bundle-unreadable',
    ],
  ];
  it.each(tampered)('%s is refused', async (_what, tamper, code) => {
    expect(await importBundleAt(tamper(parts()))).toMatchObject({ ok: false, problem: { code } });
    await expectNothingArrived();
  });

  it('whose hashes agree but whose job is none is refused', async () => {
    const text = JSON.stringify({ ...smallJob(), scale: 0 });
    const bundle = {
      format: 'panelwright-bundle',
      version: 1,
      jobSha256: sha256Hex(Buffer.from(text)),
      notesSha256: sha256Hex(Buffer.from('[]')),
      artworkSha256: null,
    };
    const refused = await importBundleAt({
      'bundle.json': Buffer.from(JSON.stringify(bundle)),
      'job.json': Buffer.from(text),
    });
    expect(refused).toMatchObject({ ok: false, problem: { code: 'job-field' } });
    await expectNothingArrived();
  });

  /** A bundle that is honest about an artwork which is none. */
  function partsWith(content: Buffer): Parts {
    artwork = content;
    return parts();
  }

  it('whose artwork is no PDF is refused', async () => {
    expect(await importBundleAt(partsWith(Buffer.from('MZ and a program')))).toMatchObject({
      ok: false,
      problem: { code: 'bundle-artwork', message: expect.stringContaining('is not a PDF') },
    });
    await expectNothingArrived();
  });

  it('whose artwork would unpack to far more than the bundle holds is refused before it is unpacked', async () => {
    const bomb = Buffer.alloc(17 * 2 ** 20);
    bomb.write('%PDF-1.7');
    expect(await importBundleAt(partsWith(bomb))).toMatchObject({
      ok: false,
      problem: { code: 'bundle-artwork', message: expect.stringContaining('too much room') },
    });
    await expectNothingArrived();
  });

  it.each([
    ['no ZIP at all', Buffer.from('a letter')],
    ['an empty file', Buffer.alloc(0)],
    ['an empty ZIP', Buffer.from('504b0506000000000000000000000000000000000000', 'hex')],
  ])('that is %s is refused', async (_what, bytes) => {
    writeFileSync(path(), bytes);
    expect(await importedFromFile()).toMatchObject({ ok: false, problem: { code: 'bundle-unreadable' } });
    await expectNothingArrived();
  });

  it('whose names climb out of their folder is refused', async () => {
    await importBundleAt(parts());
    const bytes = readFileSync(path());
    // Same length, so that the rest of the archive stays true.
    const climbing = Buffer.from(bytes.toString('latin1').replaceAll('artwork.pdf', '../../a.pdf'), 'latin1');
    writeFileSync(path(), climbing);
    expect(await importedFromFile()).toMatchObject({ ok: false, problem: { code: 'bundle-unreadable' } });
  });
});
