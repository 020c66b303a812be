/** Job files and bundles made to harm: SQL, markup and escapes in every string; archives that lie about what they hold. */
import {
  createWriteStream,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { deflateRawSync } from 'node:zlib';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { ZipFile } from 'yazl';
import { jobFromJson, jobToJson } from '../../../core/job/job-json.ts';
import type { Job } from '../../../core/job/schema.ts';
import type { Archive } from '../../../main/archive/port.ts';
import { sha256Hex } from '../../../main/files/sha256.ts';
import { importBundle } from '../../../main/services/job-bundle.ts';
import { saveJob } from '../../../main/services/save-job.ts';
import { commandLine } from '../../support/command-line.ts';
import { seriesRuns } from '../../support/series.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { testArchive } from '../../support/test-archive.ts';

let folder: string;
let archive: Archive;
const at = (...names: string[]) => join(folder, ...names);

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-hostile-jobs-'));
  archive = await testArchive(at('archive'));
});
afterEach(async () => {
  await archive.close();
  rmSync(folder, { recursive: true });
});

const HARMFUL = [
  `'); DROP TABLE jobs; --`,
  `" OR "1"="1`,
  '<script>alert(1)</script>',
  '<img src=x onerror=alert(1)>',
  '\u001b[2J\u001b]0;owned\u0007',
  '../../../etc/passwd',
  'C:\\Windows\\win.ini',
  '/etc/passwd',
  'CON',
  'nul.pdf',
  '%n%s%x',
  '$(reboot)`reboot`',
  '\u202egnp.exe',
  'NEAR("a" "b")',
  '* AND NOT (',
  '\u0000',
  'a\nb\r\nc',
  '=1+cmd|calc',
  '🚐'.repeat(300),
  'e\u0301'.repeat(300),
];

/** Every string that a person can write into a job. */
const jobWith = (text: string, id: string): Job => {
  const side = smallJob().sides[0]!;
  return smallJob({
    id,
    number: text,
    name: text,
    customer: text,
    notes: text,
    preparedBy: text,
    vehicles: [{ ...smallJob().vehicles[0]!, units: [{ unitNumber: text, licensePlate: text }] }],
    sides: [{ ...side, name: text, notes: text }],
  });
};

const run = (...args: string[]) => commandLine(['--archive', at('archive'), ...args]);

describe('a job whose every string is', () => {
  it.each(HARMFUL)('%j is kept, found and listed as what it is: text', async (text) => {
    const job = jobFromJson(jobToJson(jobWith(text, 'hostile')));
    if (!job.ok) throw new Error(job.problem.message);
    const now = '2026-03-09T10:11:12Z';
    expect(await saveJob(archive, smallJob(), now, 0)).toMatchObject({ ok: true });
    expect(await saveJob(archive, job.value, now, 0)).toMatchObject({ ok: true });
    const stored = await archive.jobs.find('hostile');
    expect(stored.ok && jobFromJson(stored.value.document)).toEqual({ ok: true, value: job.value });
    await archive.jobs.list({ text });
    expect(await archive.jobs.list()).toHaveLength(2);
    const listed = await run('jobs', '--search', text);
    expect(listed.code).toBe(0);
    const shown = await run('jobs');
    expect(shown.out.trim().split('\n')).toHaveLength(2);
    expect(shown.out).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202a-\u202e]/);
  });

  it.each(HARMFUL)('%j writes its panels below the folder that was named, and nowhere else', async (text) => {
    writeFileSync(at('art.pdf'), await smallArtwork());
    writeFileSync(at('job.json'), jobToJson(jobWith(text, 'hostile')));
    const before = readdirSync(folder).sort();
    const args = [
      'cut',
      at('job.json'),
      '--artwork',
      at('art.pdf'),
      '--to',
      at('out'),
      '--sheets',
      'none',
      '--no-verification',
    ];
    const cut = await run(...args, '--no-archive');
    expect([cut.code, cut.err]).toEqual([0, '']);
    expect(readdirSync(folder).sort()).toEqual([...before, 'out'].sort());
    const [stem, ...others] = readdirSync(at('out'));
    expect(others).toEqual([]);
    expect(readdirSync(at('out', stem!))).toEqual(['output-1']);
    expect(readdirSync(at('out', stem!, 'output-1')).sort()).toEqual(['manifest.json', 'panels']);
    const panels = readdirSync(at('out', stem!, 'output-1', 'panels'));
    expect(panels).toHaveLength(2);
    expect(panels.every((name) => name.endsWith('.pdf'))).toBe(true);
    for (const name of [stem!, ...panels]) {
      expect(name).not.toMatch(/[<>:"/\\|?*\u0000-\u001f\u202a-\u202e]/);
      expect(Buffer.byteLength(name)).toBeLessThanOrEqual(255);
    }
  });
});

it('any text at all can be searched for', async () => {
  await saveJob(archive, smallJob(), '2026-03-09T10:11:12Z', 0);
  await fc.assert(
    fc.asyncProperty(fc.string({ unit: 'binary', maxLength: 300 }), async (text) => {
      await archive.jobs.list({ text });
    }),
    seriesRuns(100, 5000),
  );
});

it('a job file with any one value replaced is read, or refused in one sentence', () => {
  const original = JSON.parse(jobToJson(smallJob())) as object;
  const paths = pathsOf(original);
  const value = fc.oneof(
    fc.jsonValue(),
    fc.constantFrom(1e308, -1, 0.1 + 0.2, 2 ** 53, '', '__proto__', null, [], {}),
    fc.constantFrom(...HARMFUL),
  );
  fc.assert(
    fc.property(fc.constantFrom(...paths), value, (path, replacement) => {
      const read = jobFromJson(JSON.stringify(replaced(original, path, replacement)));
      if (read.ok) return;
      expect(read.problem.message).not.toMatch(/undefined|\[object|\n/);
      expect(read.problem.remedy).not.toBe('');
    }),
    seriesRuns(400, 20_000),
  );
});

describe('a bundle', () => {
  const importBundleAt = () =>
    importBundle(archive, at('job.pwjob'), undefined, {
      now: '2026-03-09T10:11:12Z',
      signal: new AbortController().signal,
      report: () => undefined,
    });

  async function expectRefused(codes: readonly string[]): Promise<void> {
    const answer = await importBundleAt();
    expect(answer.ok).toBe(false);
    if (!answer.ok) expect(codes).toContain(answer.problem.code);
    expect(await archive.jobs.list()).toEqual([]);
    expect(existsSync(at('archive', 'vault')) ? readdirSync(at('archive', 'vault')) : []).toEqual([]);
  }

  async function packZip(fill: (zip: ZipFile) => void): Promise<Buffer> {
    const zip = new ZipFile();
    fill(zip);
    zip.end();
    await pipeline(zip.outputStream, createWriteStream(at('job.pwjob')));
    return readFileSync(at('job.pwjob'));
  }

  const jobText = jobToJson(smallJob());
  const described = (text: string) =>
    Buffer.from(
      JSON.stringify({
        format: 'panelwright-bundle',
        version: 1,
        jobSha256: sha256Hex(Buffer.from(text)),
        notesSha256: sha256Hex(Buffer.from('[]')),
        artworkSha256: null,
      }),
    );

  it.each(['../job.jso', '/etc/a.jso', 'C:\\a.jsonn', '..\\a.jsonn', 'jobs\\a.jsn'])(
    'with an entry %s is refused',
    async (name) => {
      const bytes = await packZip((zip) => {
        zip.addBuffer(described(jobText), 'bundle.json');
        zip.addBuffer(Buffer.from(jobText), 'x'.repeat(name.length));
      });
      writeFileSync(
        at('job.pwjob'),
        bytes.toString('latin1').replaceAll('x'.repeat(name.length), name),
        'latin1',
      );
      await expectRefused(['bundle-unreadable']);
    },
  );

  it('whose job is a symbolic link to another file brings none of that file', async () => {
    await packZip((zip) => {
      zip.addBuffer(described(jobText), 'bundle.json');
      zip.addBuffer(Buffer.from('/etc/passwd'), 'job.json', { mode: 0o120777 });
    });
    await expectRefused(['bundle-altered']);
  });

  it('that unpacks to more than any job is refused before it fills the memory', async () => {
    const zeros = Buffer.alloc(80 * 2 ** 20, 0x20);
    await packZip((zip) => {
      zip.addBuffer(described(jobText), 'bundle.json');
      zip.addBuffer(zeros, 'job.json');
    });
    await expectRefused(['bundle-altered']);
  });

  it('that unpacks to more than it says is refused', async () => {
    const bytes = await packZip((zip) => {
      zip.addBuffer(described(jobText), 'bundle.json');
      zip.addBuffer(Buffer.alloc(3_000_000, 0x20), 'job.json');
    });
    const packedSize = deflateRawSync(Buffer.alloc(3_000_000, 0x20)).length;
    expect(packedSize).toBeLessThan(10_000);
    // Both places that state the unpacked size, little-endian.
    const size = Buffer.alloc(4);
    size.writeUInt32LE(3_000_000);
    const lie = Buffer.alloc(4);
    lie.writeUInt32LE(300);
    writeFileSync(
      at('job.pwjob'),
      bytes.toString('latin1').replaceAll(size.toString('latin1'), lie.toString('latin1')),
      'latin1',
    );
    await expectRefused(['bundle-altered', 'bundle-unreadable']);
  });

  it('with any bytes changed is taken as it was, or refused', async () => {
    const bytes = await packZip((zip) => {
      zip.addBuffer(described(jobText), 'bundle.json');
      zip.addBuffer(Buffer.from(jobText), 'job.json');
    });
    const change = fc.tuple(fc.nat(bytes.length - 1), fc.integer({ min: 0, max: 255 }));
    await fc.assert(
      fc.asyncProperty(fc.array(change, { minLength: 1, maxLength: 8 }), fc.nat(20), async (changes, cut) => {
        const changed = Buffer.from(bytes.subarray(0, bytes.length - (cut === 0 ? 40 : 0)));
        for (const [place, byte] of changes) changed[place % changed.length] = byte;
        writeFileSync(at('job.pwjob'), changed);
        const answer = await importBundleAt();
        if (answer.ok) expect(answer.value).toMatchObject({ state: 'imported', job: { number: 'SJ-7' } });
        else expect(answer.problem.code).toMatch(/^(bundle|job)-/);
      }),
      seriesRuns(60, 3000),
    );
  });
});

type Path = readonly (string | number)[];

function pathsOf(value: unknown, path: Path = []): Path[] {
  if (typeof value !== 'object' || value === null) return [path];
  return [path, ...Object.entries(value).flatMap(([key, inner]) => pathsOf(inner, [...path, key]))];
}

function replaced(value: unknown, [key, ...rest]: Path, by: unknown): unknown {
  if (key === undefined) return by;
  const copy = (Array.isArray(value) ? [...value] : { ...(value as object) }) as Record<
    string | number,
    unknown
  >;
  copy[key] = replaced(copy[key], rest, by);
  return copy;
}
