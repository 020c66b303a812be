/** Where outputs lie: each in a folder of its own, `current` to print from, and nothing that others wrote is touched. */
import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { isAbsolute, join, relative } from 'node:path';
import { PDFDocument } from 'pdf-lib';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import type { Job, Region } from '../../../core/job/schema.ts';
import { CurrentManifest } from '../../../core/output/current-manifest.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { partialPath } from '../../../main/files/atomic-write.ts';
import { sha256Hex } from '../../../main/files/sha256.ts';
import { commandLine } from '../../support/command-line.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';

let folder: string;
const at = (...names: string[]) => join(folder, ...names);
const run = (...args: string[]) => commandLine(['--archive', at('archive'), ...args]);

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-output-folders-'));
  writeFileSync(at('art.pdf'), await smallArtwork());
});
afterEach(() => rmSync(folder, { recursive: true }));

/** Verified by default. */
async function cut(job: Job, ...more: string[]) {
  writeFileSync(at('job.json'), jobToJson(job));
  return await run(
    ...['cut', at('job.json'), '--artwork', at('art.pdf'), '--to', at('out'), '--sheets', 'none', ...more],
  );
}
const unverified = (job: Job, ...more: string[]) => cut(job, '--no-verification', ...more);

const reprint = (output: number, panels: string, ...more: string[]) =>
  run(
    ...['reprint', 'SJ-7', `${output}`, '--panels', panels, '--reason', 'scratched', '--to', at('out')],
    ...['--sheets', 'none', ...more],
  );

/** All files below a folder with their hashes. */
function state(...names: string[]): Record<string, string> {
  const root = at(...names);
  if (!existsSync(root)) return {};
  const files = readdirSync(root, { recursive: true, encoding: 'utf8' }).sort();
  return Object.fromEntries(
    files
      .filter((name) => statSync(join(root, name)).isFile())
      .map((name) => [name, sha256Hex(readFileSync(join(root, name)))]),
  );
}

const current = (job = 'SJ-7') =>
  CurrentManifest.parse(JSON.parse(readFileSync(at('out', job, 'current', 'manifest.json'), 'utf8')));
/** `LH-01 of 3` for each print file, as the manifest says, once its hash was found to be true. */
function currentPanels(job = 'SJ-7'): string[] {
  return current(job).files.map(({ file, panels, output, sha256 }) => {
    expect(sha256Hex(readFileSync(at('out', job, 'current', file)))).toBe(sha256);
    const of = readdirSync(at('out', job)).find((name) => new RegExp(`^output-${output}(_|$)`).test(name))!;
    expect(state('out', job, of)[file]).toBe(sha256);
    return `${panels.join('+')} of ${output}`;
  });
}

const split = (atMm: number): Region => ({
  kind: 'split',
  seams: 'vertical',
  joints: [{ id: 's1', kind: 'lap', atMm, firstMm: 15, secondMm: 10, top: 'second' }],
  parts: [
    { kind: 'panel', id: 'p1' },
    { kind: 'panel', id: 'p2' },
  ],
});
const WHOLE: Region = { kind: 'panel', id: 'whole' };

describe('an output', () => {
  it('has a folder of its own, recorded with its whole path, and leaves the earlier ones as they are', async () => {
    writeFileSync(at('job.json'), jobToJson(smallJob()));
    const to = relative('.', at('out'));
    const args = ['cut', at('job.json'), '--artwork', at('art.pdf'), '--to', to, '--sheets', 'table'];
    expect((await run(...args, '--no-verification')).code).toBe(EXIT.done);
    const before = state('out', 'SJ-7', 'output-1');
    expect(Object.keys(before)).toHaveLength(4);
    // Nine released panels vanished once when one of them was written again.
    expect((await unverified(smallJob(), '--panels', 'LH-02')).code).toBe(EXIT.done);
    const again = await run(
      ...[
        '--json',
        'reprint',
        'SJ-7',
        '1',
        '--panels',
        'LH-01',
        '--reason',
        'torn',
        '--to',
        to,
        '--sheets',
        'none',
      ],
    );
    expect(again.code).toBe(EXIT.done);
    expect(state('out', 'SJ-7', 'output-1')).toEqual(before);
    expect(Object.keys(state('out', 'SJ-7', 'output-2'))).toEqual(['manifest.json', 'panels/SJ-7_LH-02.pdf']);
    const history = JSON.parse((await run('--json', 'history', 'SJ-7')).out) as { folder: string }[];
    // A reprint is told from its first output by the name of its folder.
    expect(history.map(({ folder }) => relative(at('out', 'SJ-7'), folder))).toEqual([
      'output-1',
      'output-2',
      expect.stringMatching(/^output-3_REPRINT-of-1_\d{4}-\d\d-\d\d_torn$/),
    ]);
    expect(isAbsolute((JSON.parse(again.out) as { folder: string }).folder)).toBe(true);
    expect((await run('verify', 'SJ-7', '1')).code).toBe(EXIT.done);
  });

  it('takes the next number where a folder of its own is there already, whoever made it', async () => {
    mkdirSync(at('out', 'SJ-7', 'Output-4'), { recursive: true });
    writeFileSync(at('out', 'SJ-7', 'output-2'), 'a file');
    await unverified(smallJob());
    await unverified(smallJob(), '--no-archive');
    expect(readdirSync(at('out', 'SJ-7')).sort()).toEqual(['Output-4', 'output-2', 'output-5', 'output-6']);
    expect((await run('history', 'SJ-7')).out).toMatch(/^Output 5 /);
  });

  it('sweeps what a killed program left half in the folder of an earlier output, and nothing else', async () => {
    await unverified(smallJob());
    const earlier = at('out', 'SJ-7', 'output-1');
    const { pid: dead } = spawnSync(process.execPath, ['-e', '']);
    const ofDead = partialPath(join(earlier, 'verification.json')).replace(`-${process.pid}-`, `-${dead}-`);
    const ofLiving = partialPath(join(earlier, 'verification.json'));
    const ofOthers = join(earlier, '.download.partial');
    for (const path of [ofDead, ofLiving, ofOthers]) writeFileSync(path, 'half');
    await unverified(smallJob());
    expect([ofDead, ofLiving, ofOthers].map((path) => existsSync(path))).toEqual([false, true, true]);
  });

  it('touches no file of a stranger: artwork that is called like a sheet, nor what lies among the panels', async () => {
    const theirs = [
      ...['SJ-7_labels.pdf', 'SJ-7_ticket.pdf', 'panels/SJ-7_LH-01.pdf'],
      ...['SJ-7/SJ-7_labels.pdf', 'SJ-7/panels/mine.pdf'],
    ];
    for (const name of theirs) {
      mkdirSync(join(at('out', name), '..'), { recursive: true });
      writeFileSync(at('out', name), `theirs: ${name}`);
    }
    const before = state('out');
    writeFileSync(at('job.json'), jobToJson(smallJob()));
    const sheets = ['sheets', at('job.json'), '--artwork', at('art.pdf'), '--to', at('out')];
    for (const n of [1, 2]) {
      expect((await unverified(smallJob(), '--sheets', 'labels,ticket')).code).toBe(EXIT.done);
      expect((await run(...sheets, '--sheets', 'labels')).code).toBe(EXIT.done);
      expect(existsSync(at('out', 'SJ-7', `sheets-${n}`, 'SJ-7_labels.pdf'))).toBe(true);
    }
    expect(state('out')).toMatchObject(before);
  });

  it('of another job with the same number is refused before anything is cut', async () => {
    expect((await cut(smallJob())).code).toBe(EXIT.done);
    const before = state('out');
    const other = smallJob({ id: 'other', name: 'Other van' }, WHOLE);
    const refused = await unverified(other, '--no-archive');
    expect(refused.code).toBe(EXIT.files);
    expect(refused.err).toMatch(/out.SJ-7 holds outputs of another job with the number SJ-7, “Small job”/);
    expect(state('out')).toEqual(before);
  });

  it('of jobs whose numbers are not in Latin letters do not meet', async () => {
    for (const [id, number] of [
      ['a', '車体-12'],
      ['b', 'Фургон'],
      ['c', 'job'],
      ['d', 'SJ 7'],
      ['e', 'SJ-7'],
    ]) {
      expect((await unverified(smallJob({ id: id!, number: number! }, WHOLE))).code).toBe(EXIT.done);
    }
    const folders = readdirSync(at('out'));
    expect(folders).toHaveLength(5);
    const files = folders.flatMap((name) =>
      readdirSync(at('out', name), { recursive: true, encoding: 'utf8' }),
    );
    const panels = files.filter((name) => name.endsWith('.pdf')).map((name) => name.split('/').at(-1));
    expect(new Set(panels).size).toBe(5);
  });
});

describe('the folder current', () => {
  it('takes panels of the same layout one by one, once they are verified', async () => {
    expect((await unverified(smallJob())).code).toBe(EXIT.done);
    expect(existsSync(at('out', 'SJ-7', 'current'))).toBe(false);
    expect((await run('verify', 'SJ-7', '1')).out).toContain(`Print from ${at('out', 'SJ-7', 'current')}.`);
    expect(currentPanels()).toEqual(['LH-01 of 1', 'LH-02 of 1']);
    // The bytes are the same; the manifest says which output they are of.
    expect((await reprint(1, 'LH-02')).code).toBe(EXIT.done);
    expect(currentPanels()).toEqual(['LH-01 of 1', 'LH-02 of 2']);
    // Of other artwork, in the same layout.
    writeFileSync(at('art.pdf'), await smallArtwork(2));
    expect((await cut(smallJob(), '--panels', 'LH-01')).code).toBe(EXIT.done);
    expect(currentPanels()).toEqual(['LH-01 of 3', 'LH-02 of 2']);
    const [first, second] = current().files;
    expect(first!.artworkSha256).toBe(sha256Hex(readFileSync(at('art.pdf'))));
    expect(second!.artworkSha256).not.toBe(first!.artworkSha256);
  });

  it('holds one layout only: another takes the whole place, and older panels stay in their own folder', async () => {
    await cut(smallJob({}, split(1330)));
    const own = state('out', 'SJ-7', 'output-1');
    const wider = await cut(smallJob({}, split(1200)), '--panels', 'LH-01');
    expect(wider.out).toContain('panels/SJ-7_LH-02.pdf left ');
    expect(currentPanels()).toEqual(['LH-01 of 2']);
    expect(Object.keys(state('out', 'SJ-7', 'current'))).toEqual(['manifest.json', 'panels/SJ-7_LH-01.pdf']);
    expect(state('out', 'SJ-7', 'output-1')).toEqual(own);
    await cut(smallJob({}, split(1200)), '--panels', 'LH-02');
    expect(currentPanels()).toEqual(['LH-01 of 2', 'LH-02 of 3']);
    // The files are called otherwise: none of the old ones may stay beside them.
    const reduced = smallJob({}, split(1200));
    await cut({ ...reduced, output: { ...reduced.output, size: { kind: 'reduction', factor: 2 } } });
    expect(Object.keys(state('out', 'SJ-7', 'current'))).toEqual([
      'manifest.json',
      'panels/SJ-7_LH-01_enlarge-x2.pdf',
      'panels/SJ-7_LH-02_enlarge-x2.pdf',
    ]);
  });

  it('keeps a later output where an earlier one is verified again', async () => {
    await cut(smallJob({}, split(1330)));
    await cut(smallJob({}, split(1200)));
    await cut(smallJob({}, split(1200)), '--panels', 'LH-02');
    const before = state('out', 'SJ-7', 'current');
    const other = await run('verify', 'SJ-7', '1');
    expect(other.code).toBe(EXIT.done);
    expect(other.out).toMatch(/current was left as it is: it holds panels of a later output/);
    expect((await run('verify', 'SJ-7', '2')).code).toBe(EXIT.done);
    expect(state('out', 'SJ-7', 'current')).toEqual(before);
    expect(currentPanels()).toEqual(['LH-01 of 2', 'LH-02 of 3']);
  });

  it('is untouched by an output that fails, is blocked or is cancelled, which gives its number back', async () => {
    await cut(smallJob());
    const before = state('out', 'SJ-7', 'current');
    const blocked = smallJob({ printer: { ...smallJob().printer, rollWidthMm: 1300 } });
    expect((await cut(blocked)).code).toBe(EXIT.blocked);
    const abort = new AbortController();
    const args = ['cut', at('job.json'), '--artwork', at('art.pdf'), '--to', at('out')];
    writeFileSync(at('job.json'), jobToJson(smallJob({}, split(1200))));
    abort.abort();
    const cancelled = await commandLine(['--archive', at('archive'), ...args], { signal: abort.signal });
    expect(cancelled.code).toBe(EXIT.cancelled);
    expect(readdirSync(at('out', 'SJ-7')).sort()).toEqual(['current', 'output-1']);
    await unverified(smallJob({}, split(1200)));
    const panel = at('out', 'SJ-7', 'output-2', 'panels', 'SJ-7_LH-01.pdf');
    writeFileSync(panel, readFileSync(panel).subarray(0, 900));
    expect((await run('verify', 'SJ-7', '2')).code).toBe(EXIT.blocked);
    expect(state('out', 'SJ-7', 'current')).toEqual(before);
  });

  it('leaves and names what others put there, and is left whole where that is in the way', async () => {
    await cut(smallJob());
    const put = (name: string, text: string) => writeFileSync(at('out', 'SJ-7', 'current', name), text);
    put('readme.txt', 'for the night shift');
    put('panels/SJ-7_LH-09.pdf', 'a panel of somebody');
    const named = await cut(smallJob({}, split(1200)));
    expect(named.out).toMatch(
      /current also holds panels.SJ-7_LH-09\.pdf, readme\.txt, which Panelwright did not/,
    );
    expect(currentPanels()).toEqual(['LH-01 of 2', 'LH-02 of 2']);
    put('panels/SJ-7_LH-02.pdf', 'changed by somebody');
    const before = state('out', 'SJ-7', 'current');
    const stopped = await cut(smallJob({}, split(1250)));
    expect(stopped.code).toBe(EXIT.done);
    expect(stopped.out).toMatch(/current was left as it is: .* did not write panels.SJ-7_LH-02\.pdf/);
    expect(state('out', 'SJ-7', 'current')).toEqual(before);
    rmSync(at('out', 'SJ-7', 'current', 'panels', 'SJ-7_LH-02.pdf'));
    expect((await run('verify', 'SJ-7', '3')).code).toBe(EXIT.done);
    expect(currentPanels()).toEqual(['LH-01 of 3', 'LH-02 of 3']);
    expect(readFileSync(at('out', 'SJ-7', 'current', 'readme.txt'), 'utf8')).toBe('for the night shift');
  });

  it('takes strips with their panels, and lets go of those that hold a panel which is another now', async () => {
    const strips = smallJob({ output: { ...smallJob().output, files: 'strips' } });
    await cut(strips);
    expect(currentPanels()).toEqual(['LH-01 of 1', 'LH-02 of 1', 'LH-01+LH-02 of 1']);
    await reprint(1, 'LH-01');
    expect(currentPanels()).toEqual(['LH-01 of 2', 'LH-02 of 1', 'LH-01+LH-02 of 1']);
    writeFileSync(at('art.pdf'), await smallArtwork(2));
    await cut(strips, '--panels', 'LH-01');
    expect(currentPanels()).toEqual(['LH-01 of 3', 'LH-02 of 1']);
    await cut(strips);
    expect(currentPanels()).toEqual(['LH-01 of 4', 'LH-02 of 4', 'LH-01+LH-02 of 4']);
  });

  it('is one layout when two processes write to it at once', async () => {
    const main = join(import.meta.dirname, '../../../main/command/main.ts');
    const written = [1330, 1200].map(async (atMm, index) => {
      const file = at(`job-${index}.json`);
      writeFileSync(file, jobToJson(smallJob({}, split(atMm))));
      const args = ['cut', file, '--artwork', at('art.pdf'), '--to', at('out'), '--sheets', 'none'];
      const child = spawn(process.execPath, [main, '--archive', at('archive'), ...args], {
        stdio: ['ignore', 'ignore', 'inherit'],
      });
      return (await once(child, 'close'))[0] as number;
    });
    expect(await Promise.all(written)).toEqual([0, 0]);
    expect(readdirSync(at('out', 'SJ-7')).sort()).toEqual(['current', 'output-1', 'output-2']);
    const [first, second] = current().files;
    expect(second!.output).toBe(first!.output);
    expect(currentPanels()).toHaveLength(2);
    expect(readdirSync(at('out', 'SJ-7', 'current')).sort()).toEqual(['manifest.json', 'panels']);
  }, 120_000);
});

describe('the sheets of an output', () => {
  const word = async (output: number, name = 'SJ-7_packing-list.pdf') => {
    const of = readdirSync(at('out', 'SJ-7')).find((each) =>
      new RegExp(`^output-${output}(_|$)`).test(each),
    )!;
    const bytes = readFileSync(at('out', 'SJ-7', of, name));
    return (await PDFDocument.load(bytes)).getTitle()?.replace(/^.*SJ-7 /, '');
  };
  const keptPath = async (output: number) => {
    const all = JSON.parse((await run('--json', 'history', 'SJ-7')).out) as {
      id: number;
      files: { name: string; sha256: string }[];
    }[];
    const { files } = all.find(({ id }) => id === output)!;
    const { sha256 } = files.find(({ name }) => name === 'SJ-7_packing-list.pdf')!;
    return at('archive', 'vault', sha256.slice(0, 2), sha256);
  };
  const keptWord = async (output: number) => {
    const bytes = readFileSync(await keptPath(output));
    return (await PDFDocument.load(bytes)).getTitle()?.replace(/^.*SJ-7 /, '');
  };

  it('say NOT VERIFIED first, then VERIFIED or NOT RELEASED, in the folder as in the archive', async () => {
    await unverified(smallJob(), '--sheets', 'packing-list,table');
    expect([await word(1), await keptWord(1)]).toEqual(['NOT VERIFIED', 'NOT VERIFIED']);
    const before = state('out', 'SJ-7', 'output-1');
    expect((await run('verify', 'SJ-7', '1')).code).toBe(EXIT.done);
    expect([await word(1), await keptWord(1)]).toEqual(['VERIFIED', 'VERIFIED']);
    const panel = at('out', 'SJ-7', 'output-1', 'panels', 'SJ-7_LH-01.pdf');
    const bytes = readFileSync(panel);
    writeFileSync(panel, bytes.subarray(0, 900));
    expect((await run('verify', 'SJ-7', '1')).code).toBe(EXIT.blocked);
    expect([await word(1), await keptWord(1)]).toEqual(['NOT RELEASED', 'NOT RELEASED']);
    const manifest = at('out', 'SJ-7', 'output-1', 'manifest.json');
    expect(JSON.parse(readFileSync(manifest, 'utf8'))).toMatchObject({
      status: 'NOT RELEASED',
      output: { number: 1 },
    });
    writeFileSync(panel, bytes);
    expect((await run('verify', 'SJ-7', '1')).code).toBe(EXIT.done);
    expect([await word(1), await keptWord(1)]).toEqual(['VERIFIED', 'VERIFIED']);
    const { 'SJ-7_packing-list.pdf': _, 'manifest.json': __, ...others } = before;
    expect(state('out', 'SJ-7', 'output-1')).toMatchObject(others);
    expect((await run('archive-check')).code).toBe(EXIT.done);
    // A reprint has sheets of its own.
    await reprint(1, 'LH-02', '--sheets', 'packing-list');
    expect([await word(2), await keptWord(2)]).toEqual(['VERIFIED', 'VERIFIED']);
  });

  it('get their word in the folder where the vault has lost them, and none where both have', async () => {
    await unverified(smallJob(), '--sheets', 'packing-list');
    rmSync(await keptPath(1));
    expect((await run('verify', 'SJ-7', '1')).code).toBe(EXIT.done);
    expect([await word(1), await keptWord(1)]).toEqual(['VERIFIED', 'VERIFIED']);
    rmSync(await keptPath(1));
    const sheet = at('out', 'SJ-7', 'output-1', 'SJ-7_packing-list.pdf');
    writeFileSync(sheet, 'with notes in pencil');
    const verified = await run('verify', 'SJ-7', '1');
    expect(verified.out).toMatch(
      /packing-list\.pdf was changed outside Panelwright, so it does not say VERIFIED\./,
    );
    expect(readFileSync(sheet, 'utf8')).toBe('with notes in pencil');
  });

  it('that somebody has changed or taken away stay so, and that is said', async () => {
    await unverified(smallJob(), '--sheets', 'packing-list,labels');
    const sheet = at('out', 'SJ-7', 'output-1', 'SJ-7_packing-list.pdf');
    writeFileSync(sheet, 'with notes in pencil');
    rmSync(at('out', 'SJ-7', 'output-1', 'SJ-7_labels.pdf'));
    const verified = await run('verify', 'SJ-7', '1');
    expect(verified.code).toBe(EXIT.done);
    expect(verified.out).toMatch(
      /packing-list\.pdf was changed outside Panelwright, so it does not say VERIFIED\./,
    );
    expect(readFileSync(sheet, 'utf8')).toBe('with notes in pencil');
    expect(existsSync(at('out', 'SJ-7', 'output-1', 'SJ-7_labels.pdf'))).toBe(false);
    expect(await keptWord(1)).toBe('VERIFIED');
  });
});

it('a verdict is one on the files that were written: another manifest in the folder is refused', async () => {
  await unverified(smallJob());
  await unverified(smallJob({}, split(1200)));
  const [first, second] = [1, 2].map((n) => at('out', 'SJ-7', `output-${n}`));
  for (const name of Object.keys(state('out', 'SJ-7', 'output-2'))) {
    writeFileSync(join(first!, name), readFileSync(join(second!, name)));
  }
  const refused = await run('verify', 'SJ-7', '1');
  expect(refused.code).toBe(EXIT.files);
  expect(refused.err).toMatch(/output-1.manifest\.json is not the manifest that Output 1 was written with/);
  expect((await run('history', 'SJ-7')).out).toMatch(/Output 1 .*not verified/);
  expect(existsSync(at('out', 'SJ-7', 'current'))).toBe(false);
});
