/** What goes wrong around a command, and both sides of an archive that a window has saved to. */
import { spawnSync } from 'node:child_process';
import {
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import type { Job } from '../../../core/job/schema.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { commandLine } from '../../support/command-line.ts';
import { rawPdf } from '../../support/raw-pdf.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';
import { testArchive } from '../../support/test-archive.ts';

let folder: string;
const at = (...names: string[]) => join(folder, ...names);
const MAIN = resolve(import.meta.dirname, '../../../main/command/main.ts');

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-trouble-'));
  writeFileSync(at('art.pdf'), await smallArtwork());
  writeFileSync(at('job.json'), jobToJson(smallJob()));
});
afterEach(() => rmSync(folder, { recursive: true }));

const run = (...args: string[]) => commandLine(['--archive', at('archive'), ...args]);

describe('a command in a terminal', () => {
  it.skipIf(process.platform === 'win32')('says nothing where nobody reads on', () => {
    const piped = `"${process.execPath}" "${MAIN}" --help | head -n 1`;
    const ended = spawnSync('sh', ['-c', piped], { encoding: 'utf8' });
    expect(ended.stdout).toMatch(/^Usage: panelwright/);
    expect(ended.stderr).toBe('');
  });

  it.skipIf(!existsSync('/dev/full'))('says in one line that its result could not be written', () => {
    const ended = spawnSync('sh', ['-c', `"${process.execPath}" "${MAIN}" --help > /dev/full`], {
      encoding: 'utf8',
    });
    expect(ended.stderr).toBe('The output of the command could not be written (ENOSPC).\n');
    expect(ended.status).toBe(EXIT.files);
  });

  it('works without a folder for temporary files where it needs none, and else says which is missing', () => {
    const withoutTemp = (...args: string[]) =>
      spawnSync(process.execPath, [MAIN, '--archive', at('archive'), ...args], {
        encoding: 'utf8',
        env: { ...process.env, TMPDIR: at('nowhere'), TMP: at('nowhere'), TEMP: at('nowhere') },
      });
    const listed = withoutTemp('jobs');
    expect([listed.stdout, listed.stderr]).toEqual(['No job found.\n', '']);
    const measured = withoutTemp('ink', at('job.json'), '--artwork', at('art.pdf'));
    expect(measured.stderr).toBe(
      `The folder for temporary files, ${at('nowhere')}, does not exist. Check the name and the folder.\n`,
    );
    expect(measured.status).toBe(EXIT.files);
  });
});

describe('long names', () => {
  const begin = (name: string) =>
    run('begin', at(name), '--artwork', at('art.pdf'), '--number', 'SJ-9', '--customer', 'Alder');

  it.each([215, 255])('of %i bytes are written', async (bytes) => {
    const name = `${'ü'.repeat((bytes - 5) / 2)}.json`;
    expect((await begin(name)).err).toBe('');
    expect(existsSync(at(name))).toBe(true);
    expect(readdirSync(folder).filter((each) => each.endsWith('.partial'))).toEqual([]);
  });

  it('that no disk takes are refused in one sentence', async () => {
    const refused = await begin(`${'n'.repeat(300)}.json`);
    expect(refused.err).toMatch(
      /^The name .{80} is longer than this disk takes\. Select a shorter name\.\n$/,
    );
    expect(refused.code).toBe(EXIT.files);
  });

  it('of megabytes in a PDF are said to be too long', async () => {
    writeFileSync(
      at('long.pdf'),
      rawPdf({
        page: '/MediaBox [0 0 300 200]',
        resources: `/${'A'.repeat(3_000_000)} 1`,
        content: '0.5 g 0 0 300 200 re f',
      }),
    );
    const begun = await run(
      'begin',
      at('l.json'),
      '--artwork',
      at('long.pdf'),
      '--number',
      '1',
      '--customer',
      'x',
      '--scale',
      '10',
    );
    expect(begun.code).toBe(EXIT.done);
    const checked = await run('--json', 'check', at('l.json'));
    const { findings } = JSON.parse(checked.out) as { findings: { key: string; severity: string }[] };
    const job = JSON.parse(readFileSync(at('l.json'), 'utf8')) as Job;
    const acknowledgements = findings
      .filter(({ severity }) => severity === 'warn')
      .map(({ key }) => ({ finding: key, by: 'test', note: 'seen' }));
    writeFileSync(at('l.json'), jobToJson({ ...job, acknowledgements }));
    const cut = await run('cut', at('l.json'), '--to', at('out'), '--sheets', 'none');
    expect(cut.err).toMatch(/has a name too long, to be read\. Open the file in the program that made it/);
    expect(cut.code).toBe(EXIT.input);
  });
});

describe('a job that a window has saved', () => {
  async function saveInWindow(notes: string): Promise<void> {
    const archive = await testArchive(at('archive'));
    const stored = await archive.jobs.find('small-job');
    if (!stored.ok) throw new Error(stored.problem.message);
    const job = { ...(JSON.parse(stored.value.document) as Job), notes };
    const save = { panelLabels: [], baseRevision: stored.value.revision, now: '2026-03-09T10:11:12Z' };
    expect((await archive.jobs.save(job, save)).ok).toBe(true);
    await archive.close();
  }
  const notes = async () => {
    const archive = await testArchive(at('archive'));
    const found = await archive.jobs.list();
    const documents = await Promise.all(found.map(({ id }) => archive.jobs.find(id)));
    await archive.close();
    return documents
      .map((each) => each.ok && (JSON.parse(each.value.document) as Job))
      .map((job) => job && [job.number, job.notes]);
  };
  const save = (...more: string[]) => run('save', at('job.json'), '--artwork', at('art.pdf'), ...more);

  it('is not overwritten by its older file, neither by save nor by cut, and both can be kept', async () => {
    expect((await save()).code).toBe(EXIT.done);
    await saveInWindow('from the window');
    const refused = await save();
    expect(refused.err).toMatch(/^Job SJ-7 in the archive was saved in a window .* Keep both with: .*--as/);
    expect(refused.code).toBe(EXIT.archive);
    const cut = await run(
      'cut',
      at('job.json'),
      '--artwork',
      at('art.pdf'),
      '--to',
      at('out'),
      '--sheets',
      'none',
    );
    expect(cut.err).toBe(refused.err);
    expect(existsSync(at('out'))).toBe(false);
    expect(await notes()).toEqual([['SJ-7', 'from the window']]);

    expect((await save('--as', 'SJ-8')).code).toBe(EXIT.done);
    expect(await notes()).toEqual([
      ['SJ-8', ''],
      ['SJ-7', 'from the window'],
    ]);
    // The file is that other job from now on.
    expect((await save()).code).toBe(EXIT.done);
    expect(await notes()).toHaveLength(2);
  });

  it('gives way to its file where that is said', async () => {
    await save();
    await saveInWindow('from the window');
    expect((await save('--replace')).code).toBe(EXIT.done);
    expect(await notes()).toEqual([['SJ-7', '']]);
    expect((await save()).code).toBe(EXIT.done);
  });
});

describe('deleting', () => {
  const old = () => {
    for (const name of readdirSync(at('archive', 'vault'), { recursive: true, encoding: 'utf8' })) {
      const path = at('archive', 'vault', name);
      if (statSync(path).isFile()) utimesSync(path, new Date('2026-03-01'), new Date('2026-03-01'));
    }
  };

  it('says what would go, and does it where that is confirmed', async () => {
    await run('save', at('job.json'), '--artwork', at('art.pdf'));
    old();
    const asked = await run('delete', 'SJ-7');
    expect(asked.out).toMatch(
      /^This would delete for good: 1 job, 0 outputs and 1 file \(\d\.\d MB\)\. Nothing was deleted/,
    );
    expect(asked.code).toBe(EXIT.blocked);
    expect((await run('jobs')).out).toContain('SJ-7');
    const customer = smallJob().customer;
    expect((await run('delete-customer', `${customer} `)).err).toMatch(/has no job of the customer/);
    expect((await run('delete-customer', customer, '--yes')).out).toMatch(
      /^Deleted: 1 job, 0 outputs and 1 file/,
    );
    expect((await run('jobs')).out).toBe('No job found.\n');
    expect((await run('archive-clean', '--yes')).out).toMatch(/^Every file of the vault belongs to a job/);
  });
});
