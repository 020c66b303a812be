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
import { join } from 'node:path';
import { PDFDocument, PDFName, PDFRawStream } from 'pdf-lib';
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import type { Job } from '../../../core/job/schema.ts';
import { Manifest } from '../../../core/output/manifest.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { sha256Hex } from '../../../main/files/sha256.ts';
import { type CommandEnded, commandLine } from '../../support/command-line.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';

let folder: string;
let artwork: string;
let jobFile: string;
const at = (...names: string[]) => join(folder, ...names);
/** In the folder of an output, below the one that was asked for; that of a reprint says so behind its number. */
const inOutput = (number: number, ...names: string[]) =>
  at(
    'out',
    'SJ-7',
    readdirSync(at('out', 'SJ-7')).find((name) => /^output-(\d+)/.exec(name)?.[1] === `${number}`)!,
    ...names,
  );

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-command-'));
  artwork = at('art.pdf');
  jobFile = at('job.json');
  writeFileSync(artwork, await smallArtwork());
  writeFileSync(jobFile, jobToJson(smallJob()));
});
afterEach(() => rmSync(folder, { recursive: true }));

const run = (...args: string[]) => runUntil(new AbortController().signal, ...args);

async function runUntil(signal: AbortSignal, ...args: string[]) {
  const ended = await commandLine(['--archive', at('archive'), ...args], { signal });
  return { ...ended, json: () => JSON.parse(ended.out) as never };
}

/** Without the verification, which has a test of its own. */
const cut = (...more: string[]) =>
  run('cut', jobFile, '--artwork', artwork, '--to', at('out'), '--no-verification', ...more);
/** For tests that do not look at the sheets. */
const NO_SHEETS = ['--sheets', 'none'];
const files = (path: string) =>
  existsSync(path)
    ? readdirSync(path, { recursive: true, encoding: 'utf8' })
        .filter((name) => statSync(join(path, name)).isFile())
        .sort()
    : [];

/** One sentence with a remedy, no stack, nothing half-written. */
function expectPlainFailure(ran: CommandEnded, code: number, words: RegExp): void {
  expect(ran.err).toMatch(words);
  expect(ran.err.trim().split('\n')).toHaveLength(1);
  expect(ran.err).not.toMatch(/at .*\.ts:\d+/);
  expect(ran.code).toBe(code);
  expect(files(at('out'))).toEqual([]);
}

describe('the job from end to end', () => {
  it('writes a map in lines, without any picture, to those who ask', async () => {
    await cut('--sheets', 'map,map-lines');
    expect(files(inOutput(1)).filter((name) => name.includes('_map'))).toEqual([
      'SJ-7_map-lines.pdf',
      'SJ-7_map.pdf',
    ]);
    const pictures = async (name: string) => {
      const document = await PDFDocument.load(readFileSync(inOutput(1, name)));
      return document.context
        .enumerateIndirectObjects()
        .filter(
          ([, object]) =>
            object instanceof PDFRawStream && object.dict.get(PDFName.of('Subtype')) === PDFName.of('Image'),
        ).length;
    };
    expect(await pictures('SJ-7_map.pdf')).toBeGreaterThan(0);
    expect(await pictures('SJ-7_map-lines.pdf')).toBe(0);
  });

  it('cuts, maps, lists hashes that are true, and keeps the run', async () => {
    const ran = await cut();
    expect(ran.err).toBe('');
    expect(ran.code).toBe(EXIT.done);
    expect(readdirSync(at('out', 'SJ-7'))).toEqual(['output-1']);
    expect(files(inOutput(1))).toEqual([
      'SJ-7_labels.pdf',
      'SJ-7_map.pdf',
      'SJ-7_packing-list.pdf',
      'SJ-7_panels.csv',
      'SJ-7_ticket.pdf',
      'manifest.json',
      'panels/SJ-7_LH-01.pdf',
      'panels/SJ-7_LH-02.pdf',
    ]);
    const manifest = Manifest.parse(JSON.parse(readFileSync(inOutput(1, 'manifest.json'), 'utf8')));
    for (const { file, sha256, sizeBytes } of manifest.files) {
      const bytes = readFileSync(inOutput(1, file));
      expect([sha256Hex(bytes), bytes.length]).toEqual([sha256, sizeBytes]);
    }
    // Net 1,330 wide; printed with 50 bleed left, top, bottom and 15 under the seam; film 30 more all round.
    expect(manifest.panels[0]).toMatchObject({
      label: 'LH-01',
      finishedBox: { xMm: 0, yMm: 0, widthMm: 1330, heightMm: 1300 },
      printedBox: { xMm: -50, yMm: -50, widthMm: 1395, heightMm: 1400 },
      filmBox: { xMm: -80, yMm: -80, widthMm: 1455, heightMm: 1460 },
      source: { page: 1, windowDrawnMm: { xMm: 0, yMm: 0, widthMm: 139.5, heightMm: 140 } },
      scale: 10,
      enlargeBy: 1,
    });
    const history = (await run('history', 'SJ-7')).out;
    expect(history).toContain('LH-01 LH-02');
    expect(history).toContain('not verified');
  });

  it('verifies what it wrote and says so, and leaves no verification where told not to verify', async () => {
    const verified = await run('cut', jobFile, '--artwork', artwork, '--to', at('out'), ...NO_SHEETS);
    expect(verified.code).toBe(EXIT.done);
    expect(verified.out).toMatch(/^Verified, released for production\. All 2 panels look like the artwork/m);
    expect(files(inOutput(1))).toContain('verification.json');
    expect((await run('history', 'SJ-7')).out).toMatch(/LH-02 +verified/);
    const unverified = await cut(...NO_SHEETS);
    expect(unverified.out).toMatch(/^Not verified\.$/m);
    expect(files(inOutput(2))).not.toContain('verification.json');
  });

  it('writes the same bytes each time', async () => {
    await cut();
    // Sheets carry the number of their output: the second archive begins with the same.
    const again = ['cut', jobFile, '--artwork', artwork, '--to', at('again'), '--no-verification'];
    await commandLine(['--archive', at('other'), ...again]);
    const hashes = (path: string) =>
      files(path).map((name) => [name, sha256Hex(readFileSync(join(path, name)))]);
    expect(hashes(inOutput(1))).toHaveLength(8);
    expect(hashes(at('again', 'SJ-7', 'output-1'))).toEqual(hashes(inOutput(1)));
  });

  it('reprints a panel byte for byte, and says so when the archive had lost it', async () => {
    await cut(...NO_SHEETS);
    const original = readFileSync(inOutput(1, 'panels', 'SJ-7_LH-02.pdf'));
    const reprint = () =>
      run(
        ...[
          'reprint',
          'SJ-7',
          '1',
          '--panels',
          'LH-02',
          '--reason',
          'scratched in the depot',
          '--to',
          at('out'),
        ],
        ...NO_SHEETS,
      );
    const again = await reprint();
    expect(again.code).toBe(EXIT.done);
    expect(again.out).toContain('byte-identical');
    expect(readFileSync(inOutput(2, 'panels', 'SJ-7_LH-02.pdf')).equals(original)).toBe(true);
    const hash = sha256Hex(original);
    rmSync(at('archive', 'vault', hash.slice(0, 2), hash));
    const lost = await reprint();
    expect(lost.out).toMatch(/cut again; the new cut is byte-identical/);
    expect(readFileSync(inOutput(3, 'panels', 'SJ-7_LH-02.pdf')).equals(original)).toBe(true);
    const history = await run('history', 'SJ-7');
    expect(history.out).toMatch(/reprint of Output 1.*LH-02.*scratched in the depot/);
  });

  it('keeps what the operator enters of an output, field by field, and a reprint shows it', async () => {
    await cut(...NO_SHEETS);
    expect(
      (await run('record', 'SJ-7', '1', '--film-lot', 'F-2291 roll 3', '--printer', 'North wall')).code,
    ).toBe(0);
    const entered = await run('record', 'SJ-7', '1', '--media-profile', 'Cast matte 6 pass');
    expect(entered.out).toMatch(
      /Printer +North wall\n.*Media profile +Cast matte 6 pass\n.*Film lot, roll +F-2291/s,
    );
    const cleared = await run('--json', 'record', 'SJ-7', '1', '--printer', '');
    expect(cleared.json()).toEqual({
      output: 1,
      record: { filmLot: 'F-2291 roll 3', mediaProfile: 'Cast matte 6 pass' },
    });
    const args = ['--panels', 'LH-02', '--reason', 'torn', '--to', at('out'), '--sheets', 'ticket'];
    expect((await run('reprint', 'SJ-7', '1', ...args)).code).toBe(EXIT.done);
    const path = inOutput(2, 'SJ-7_ticket.pdf');
    const document = await getDocument({ data: new Uint8Array(readFileSync(path)) }).promise;
    const { items } = await (await document.getPage(1)).getTextContent();
    const text = items.map((item) => ('str' in item ? item.str : '')).join(' ');
    await document.loadingTask.destroy();
    for (const said of ['F-2291', 'Cast matte 6 pass', 'REPRINT · Output 2, of Output 1'])
      expect(text).toContain(said);
  });

  it('writes the papers of a reprint for its panels alone, as lines where the artwork is lost', async () => {
    await cut(...NO_SHEETS);
    const hash = sha256Hex(readFileSync(artwork));
    const reprint = (...more: string[]) =>
      run('reprint', 'SJ-7', '1', '--panels', 'LH-02', '--reason', 'torn', '--to', at('out'), ...more);
    const written = await reprint();
    expect(written.code).toBe(EXIT.done);
    expect(files(inOutput(2))).toEqual(
      expect.arrayContaining([
        'SJ-7_labels.pdf',
        'SJ-7_map.pdf',
        'SJ-7_packing-list.pdf',
        'SJ-7_panels.csv',
        'SJ-7_ticket.pdf',
      ]),
    );
    const table = readFileSync(inOutput(2, 'SJ-7_panels.csv'), 'utf8');
    expect(table).toContain('LH-02');
    expect(table).not.toContain('LH-01');
    const manifest = Manifest.parse(JSON.parse(readFileSync(inOutput(2, 'manifest.json'), 'utf8')));
    expect(manifest.files.map(({ kind }) => kind)).toEqual(['panel', 'table']);
    expect(manifest.sheets.map(({ kind }) => kind)).toEqual(['map', 'ticket', 'labels', 'packing-list']);
    for (const { file, sha256 } of manifest.files) {
      expect(sha256Hex(readFileSync(inOutput(2, ...file.split('/'))))).toBe(sha256);
    }
    expect((await run('archive-check')).code).toBe(EXIT.done);

    rmSync(at('archive', 'vault', hash.slice(0, 2), hash));
    const without = await reprint('--sheets', 'map,ticket');
    expect(without.out).toContain('The install map shows LH as a line drawing');
    expect(readFileSync(inOutput(3, 'SJ-7_ticket.pdf')).length).toBeGreaterThan(1000);
    expect(readFileSync(inOutput(3, 'panels', 'SJ-7_LH-02.pdf'))).toEqual(
      readFileSync(inOutput(2, 'panels', 'SJ-7_LH-02.pdf')),
    );
  });

  it('finds jobs by the beginnings of words', async () => {
    await cut(...NO_SHEETS);
    expect((await run('jobs', '--search', 'alder sma')).out).toContain('SJ-7');
    expect((await run('jobs', '--search', 'lh-02')).out).toContain('SJ-7');
    expect((await run('jobs', '--search', 'nothing')).out).toContain('No job found.');
    expect((await run('jobs', '--from', '2026-03-10')).out).toContain('No job found.');
  });

  it('imports artwork into the job file and then finds it in the archive', async () => {
    expect((await run('import', artwork, '--job', jobFile)).code).toBe(EXIT.done);
    rmSync(artwork);
    expect((await run('cut', jobFile, '--to', at('out'), ...NO_SHEETS)).code).toBe(EXIT.done);
    expect((await run('archive-check')).out).toMatch(/is sound: 1 jobs, \d+ files/);
  });

  it('begins a job file on an artwork, a side for every page, that can be cut once it is planned', async () => {
    const begin = (...more: string[]) =>
      run('begin', at('new.json'), '--artwork', artwork, '--number', 'N-1', '--customer', 'Library', ...more);
    const begun = await begin('--scale', '1:10');
    expect(begun).toMatchObject({ code: EXIT.done, err: '' });
    // The page is 320 × 140 mm, drawn at 1:10.
    expect(begun.out).toMatch(/LH +Left side +1 +3200 mm +1400 mm/);
    expect((await run('suggest', at('new.json'), '--side', 'LH', '--take', 'lowest-cost')).code).toBe(
      EXIT.done,
    );
    expect((await run('history', 'N-1')).code).toBe(EXIT.done);
    const before = readFileSync(at('new.json'));
    expect(await begin()).toMatchObject({ code: EXIT.files, out: '' });
    expect(readFileSync(at('new.json'))).toEqual(before);
  });

  it('begins no job that would not be valid', async () => {
    const artworkOption = ['--artwork', artwork, '--customer', 'Library'];
    const nameless = await run('begin', at('new.json'), ...artworkOption, '--number', '');
    expect(nameless).toMatchObject({ code: EXIT.input, out: '' });
    expect(nameless.err).toContain('number');
    const scaleless = await run('begin', at('new.json'), ...artworkOption, '--number', '1', '--scale', '0');
    expect(scaleless.code).toBe(EXIT.usage);
    expect(existsSync(at('new.json'))).toBe(false);
  });

  it('prints JSON for machines', async () => {
    writeFileSync(jobFile, jobToJson({ ...smallJob(), sides: [] }));
    const { findings } = (await run('--json', 'check', jobFile, '--artwork', artwork)).json() as {
      findings: { key: string; code: string }[];
    };
    expect(findings.length).toBeGreaterThan(0);
    for (const { key, code } of findings) expect(key.startsWith(code)).toBe(true);
    const { pages } = (await run('--json', 'inspect', artwork)).json() as { pages: { widthMm: number }[] };
    expect(pages[0]!.widthMm).toBeCloseTo(320, 6);
  });

  it('explains every command', async () => {
    const help = await run('--help');
    const names = [...help.out.matchAll(/^ {2}([a-z][a-z-]*) /gm)]
      .map((match) => match[1]!)
      .filter((name) => name !== 'help');
    expect(names).toEqual(
      expect.arrayContaining([
        'begin',
        'inspect',
        'import',
        'check',
        'cut',
        'sheets',
        'jobs',
        'history',
        'reprint',
      ]),
    );
    for (const name of names) {
      const one = await run(name, '--help');
      expect(one.code).toBe(EXIT.done);
      expect(one.out).toContain('Usage: panelwright');
    }
  });
});

describe('bad input gets one sentence and leaves nothing', () => {
  it.each([
    ['not a PDF', Buffer.from('a letter'), /art\.pdf.*not a PDF/],
    ['an empty file', Buffer.alloc(0), /art\.pdf.*is empty/],
  ])('artwork that is %s', async (_what, bytes, words) => {
    writeFileSync(artwork, bytes);
    expectPlainFailure(await cut(), EXIT.input, words);
  });

  it('half a PDF, whose page has lost its content', async () => {
    writeFileSync(artwork, readFileSync(artwork).subarray(0, 300));
    const ran = await cut();
    expect(ran.out).toMatch(/STOP {2}Page 1 of the artwork paints nothing/);
    expect(ran.out).toMatch(/structure of the artwork file is damaged/);
    expect(ran.code).toBe(EXIT.blocked);
    expect(files(at('out'))).toEqual([]);
  });

  it('artwork that does not exist', async () => {
    expectPlainFailure(
      await run('cut', jobFile, '--artwork', at('gone.pdf'), '--to', at('out')),
      EXIT.files,
      /gone\.pdf does not exist/,
    );
  });

  it('artwork that a job names and that is nowhere', async () => {
    await run('import', artwork, '--job', jobFile);
    rmSync(artwork);
    rmSync(at('archive'), { recursive: true });
    expectPlainFailure(
      await run('cut', jobFile, '--to', at('out')),
      EXIT.files,
      /artwork art\.pdf of job .* neither in the archive nor beside .*job\.json\. .*--artwork/,
    );
  });
  it('artwork that changed since the import', async () => {
    await run('import', artwork, '--job', jobFile);
    writeFileSync(artwork, await smallArtwork(2));
    expectPlainFailure(await cut(), EXIT.input, /content has changed since the import.*panelwright import/);
  });

  it.each([
    ['not JSON', () => '{', /job\.json: /],
    ['of another kind', () => '{"format":"recipe"}', /not a job file/],
    ['of a newer version', () => jobToJson(smallJob()).replace('"version": 1', '"version": 99'), /newer/],
    ['with scale 0', () => jobToJson(smallJob()).replace('"scale": 10', '"scale": 0'), /scale/],
    [
      'with a negative length',
      () => jobToJson(smallJob()).replace('"borderMm": 30', '"borderMm": -3'),
      /borderMm/,
    ],
    [
      'with a number that is none',
      () => jobToJson(smallJob()).replace('"atMm": 1330', '"atMm": NaN'),
      /job\.json: /,
    ],
    [
      'with a seam outside its side',
      () => jobToJson(smallJob()).replace('"atMm": 1330', '"atMm": 4100'),
      /s1|seam/,
    ],
  ])('a job file %s', async (_what, text, words) => {
    writeFileSync(jobFile, text());
    expectPlainFailure(await cut(), EXIT.input, words);
  });

  it('seams out of order', async () => {
    const job = smallJob();
    const layout = structuredClone(job.sides[0]!.layout) as Extract<
      Job['sides'][0]['layout'],
      { kind: 'split' }
    >;
    layout.joints.push({ ...layout.joints[0]!, id: 's2', atMm: 700 });
    layout.parts.push({ kind: 'panel', id: 'p3' });
    writeFileSync(jobFile, JSON.stringify({ ...job, sides: [{ ...job.sides[0]!, layout }] }));
    expectPlainFailure(await cut(), EXIT.input, /order|before|after/);
  });

  it('findings that block are listed, with exit code 1 and nothing written', async () => {
    const narrow = smallJob();
    writeFileSync(jobFile, jobToJson({ ...narrow, printer: { ...narrow.printer, rollWidthMm: 1300 } }));
    const ran = await cut();
    expect(ran.out).toMatch(/STOP {2}2 panels too wide for the roll: LH-01, LH-02\. → .* \(on the bench\)/);
    expect(ran.code).toBe(EXIT.blocked);
    expect(files(at('out'))).toEqual([]);
    expect((await run('check', jobFile, '--artwork', artwork)).code).toBe(EXIT.blocked);
  });

  it('a panel that the job does not have', async () => {
    expectPlainFailure(await cut('--panels', 'LH-01,LH-09'), EXIT.input, /no panel LH-09.*LH-01, LH-02/);
  });

  it('an output folder that is a file', async () => {
    writeFileSync(at('plain'), '');
    const ran = await run('cut', jobFile, '--artwork', artwork, '--to', at('plain', 'out'));
    expectPlainFailure(ran, EXIT.files, /cannot be read or written|does not exist/);
  });

  it('an output folder that may not be written', async () => {
    // Root may write where a mode forbids it, but not in the kernel's own file system.
    const isRoot = process.getuid?.() === 0;
    mkdirSync(at('closed'), { mode: 0o500 });
    const target = isRoot ? '/sys/panelwright-out' : at('closed', 'out');
    const ran = await run('cut', jobFile, '--artwork', artwork, '--to', target);
    expectPlainFailure(ran, EXIT.files, /cannot be read or written/);
  });

  it('work that is cancelled', async () => {
    const abort = new AbortController();
    abort.abort();
    const ran = await runUntil(abort.signal, 'cut', jobFile, '--artwork', artwork, '--to', at('out'));
    expectPlainFailure(ran, EXIT.cancelled, /canceled/);
    expect((await run('jobs')).out).toContain('No job found.');
  });

  it('a damaged archive, which is kept until told otherwise', async () => {
    mkdirSync(at('archive'));
    writeFileSync(at('archive', 'archive.sqlite'), 'not a database');
    expectPlainFailure(await run('jobs'), EXIT.archive, /damaged.*archive-set-aside/);
    const aside = await run('archive-set-aside');
    expect(aside.code).toBe(EXIT.done);
    expect(readdirSync(at('archive')).some((name) => name.includes('set-aside'))).toBe(true);
    expect((await run('jobs')).code).toBe(EXIT.done);
    expectPlainFailure(await run('archive-set-aside'), EXIT.archive, /can be opened/);
  });

  it('unknown runs, jobs and panels', async () => {
    await cut(...NO_SHEETS);
    rmSync(at('out'), { recursive: true });
    const reprint = (id: string, panel: string) =>
      run('reprint', 'SJ-7', id, '--panels', panel, '--reason', 'r', '--to', at('out'));
    expectPlainFailure(await reprint('7', 'LH-01'), EXIT.archive, /no Output 7/);
    expectPlainFailure(await reprint('1', 'LH-08'), EXIT.archive, /no panel LH-08.*LH-01, LH-02/);
    expectPlainFailure(await run('history', 'XX'), EXIT.archive, /no job XX/);
  });

  it.each([
    [['cut'], /Required option|Missing required argument/],
    [['frobnicate'], /Unknown command/],
    [['jobs', '--from', 'yesterday'], /2026-03-09/],
    [['reprint', 'SJ-7', 'one', '--panels', 'A', '--reason', 'r', '--to', 'x'], /whole number/],
    [['inspect', 'x.pdf', '--box', 'poster'], /Allowed choices/],
  ])('a wrong command line: %j', async (args, words) => {
    const ran = await run(...args);
    expect(ran.code).toBe(EXIT.usage);
    // One sentence of what and what is expected, then where to look; no lower-case fragments.
    expect(ran.err).toMatch(/^\p{Lu}[^\n]*[.?)]\n(Add --help[^\n]*\n)?$/u);
    expect(ran.err).not.toMatch(/error:|\. \p{Ll}/u);
    expect(ran.err).toMatch(words);
  });

  it('text that would steer the terminal is shown, not obeyed', async () => {
    writeFileSync(jobFile, jobToJson(smallJob({ number: 'X\u001b[2J', customer: 'a\u0007b' })));
    await cut(...NO_SHEETS);
    const listed = await run('jobs');
    expect(listed.out).not.toMatch(/[\u0007\u001b]/);
    expect(listed.out).toContain('X\ufffd[2J');
  });
});
