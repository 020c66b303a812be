import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { cmyk, PDFDocument } from 'pdf-lib';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { shopDefaults } from '../../../core/job/shop-defaults.ts';
import { resultOk, resultProblem } from '../../../core/measure/result.ts';
import type { Archive } from '../../../main/archive/port.ts';
import { takeFile } from '../../../main/files/watched-folder.ts';
import { artworkTaker } from '../../../main/services/take-artwork.ts';
import { correctedTaker } from '../../../main/services/take-corrected.ts';
import { type FileTaker, watchFolder } from '../../../main/services/watch-folder.ts';
import { tasksInPlace } from '../../../main/tasks/tasks-in-place.ts';
import { smallArtwork } from '../../support/small-job.ts';
import { testArchive } from '../../support/test-archive.ts';
import { TEST_NOW } from '../../support/test-services.ts';

let root: string;
let folder: string;
let archive: Archive;
beforeEach(async () => {
  root = await mkdtemp(join(tmpdir(), 'watched-'));
  folder = join(root, 'in');
  await mkdir(folder);
  archive = await testArchive(join(root, 'archive'));
});
afterEach(async () => {
  await archive.close();
  await rm(root, { recursive: true, force: true });
});

const parts = () => ({ archive, work: tasksInPlace, planning: tasksInPlace, now: () => TEST_NOW });
const TAKERS = [artworkTaker(shopDefaults('en-GB'))];
const CORRECTED_FIRST = [correctedTaker, ...TAKERS];

/** Watches until a number of sentences came; returns them. */
async function watched(sentences: number, takers: readonly FileTaker[] = TAKERS): Promise<string[]> {
  const ending = new AbortController();
  const said: string[] = [];
  const tell = (sentence: string) => {
    said.push(sentence);
    if (said.length >= sentences) ending.abort();
  };
  const tools = { signal: ending.signal, report: () => undefined };
  await watchFolder(parts(), { folder, takers, tell, everyMs: 50 }, tools);
  return said;
}

const logged = async () => await readFile(join(folder, '_log.txt'), 'utf8');

describe('a watched folder', () => {
  test('WF1: a PDF with its text becomes a job, and what cannot be used is refused with one sentence and kept', async () => {
    await writeFile(join(folder, 'van.pdf'), await smallArtwork());
    await writeFile(join(folder, 'van.txt'), 'job: W-5\nscale: 1:10\nunit numbers: BM-07\n');
    await mkdir(join(folder, 'Bus'));
    await writeFile(join(folder, 'Bus', 'bus.pdf'), await smallArtwork());
    await writeFile(join(folder, 'broken.pdf'), 'no PDF\n%%EOF');
    await writeFile(join(folder, 'notes.docx'), 'not for the program');
    const said = (await watched(3)).toSorted();
    expect(said[0]).toContain(
      'Bus/bus.pdf: was refused and lies in _refused. The shop has no saved layout “Bus”.',
    );
    expect(said[1]).toContain(
      'broken.pdf: was refused and lies in _refused. broken.pdf: The file is not a PDF',
    );
    expect(said[2]).toContain('van.pdf: became job W-5');
    const stored = await archive.jobs.withNumber('W-5');
    expect(stored?.unitNumber).toBe('BM-07');
    expect((await readdir(join(folder, '_refused'))).toSorted()).toEqual(['broken', 'bus']);
    expect((await readdir(join(folder, '_refused', 'broken'))).toSorted()).toEqual(['broken.pdf', 'why.txt']);
    expect(await readdir(join(folder, '_work'))).toEqual([]);
    expect((await readdir(folder)).filter((name) => !name.startsWith('_'))).toEqual(['Bus', 'notes.docx']);
    expect((await logged()).trimEnd().split('\r\n')).toHaveLength(3);
  });

  test('WF1: a name that a job has already is refused, and the second file of a name is kept beside the first', async () => {
    const other: FileTaker = async () =>
      resultProblem({ code: 'job-number-taken', message: 'Taken.', remedy: 'Rename it.' });
    for (const _ of ['first', 'second']) {
      await writeFile(join(folder, 'van.pdf'), await smallArtwork());
      await takeFile(folder, 'van.pdf');
    }
    const said = await watched(2, [other]);
    const sentence = 'van.pdf: was refused and lies in _refused. Taken. Rename it.';
    expect(said).toEqual([sentence, sentence]);
    expect((await readdir(join(folder, '_refused'))).toSorted()).toEqual(['van', 'van (2)']);
  });

  test('WF1: what was under way when the program ended goes on, and is not made twice', async () => {
    await writeFile(join(folder, 'van.pdf'), await smallArtwork());
    await writeFile(join(folder, 'van.txt'), 'scale: 10');
    const taken = await takeFile(folder, 'van.pdf');
    // As it is when the program ends after the output was written and before the file was moved.
    const order = { to: join(folder, '_out') };
    const tools = { signal: new AbortController().signal, report: () => undefined };
    const first = await TAKERS[0]!(taken, parts(), order, tools);
    const said = await watched(1);
    expect(first?.ok).toBe(true);
    expect(said).toHaveLength(1);
    expect(said[0]).toBe(`van.pdf: ${first?.ok ? first.value.sentence : ''}`);
    expect(await archive.jobs.list()).toHaveLength(1);
    expect((await archive.outputs.list(taken.id)).length).toBeLessThanOrEqual(1);
  });

  test('WF5: a PDF named after an open job is compared with its artwork and waits, and nothing is replaced', async () => {
    await writeFile(join(folder, 'van.pdf'), await smallArtwork());
    await writeFile(join(folder, 'van.txt'), 'job: W-5\nscale: 1:10\n');
    await watched(1, CORRECTED_FIRST);
    const before = await archive.jobs.withNumber('W-5');
    const changed = await PDFDocument.load(await smallArtwork());
    changed.getPage(0).drawRectangle({ x: 100, y: 200, width: 40, height: 20, color: cmyk(0, 1, 1, 0) });
    await writeFile(join(folder, 'W-5 corrected.pdf'), await changed.save());
    const [said] = await watched(1, CORRECTED_FIRST);
    expect(said).toMatch(
      /^W-5 corrected\.pdf: is a corrected artwork of job W-5\. 1 of \d+ panels? has changed\. It waits for an operator/,
    );
    expect(await readdir(join(folder, '_waiting'))).toContain('W-5 corrected');
    expect(await archive.jobs.withNumber('W-5')).toEqual(before);
    const comparisons = await archive.comparisons.list(before!.id);
    expect(comparisons.map(({ after }) => after.fileName)).toEqual(['W-5 corrected.pdf']);
    expect(await archive.vault.has(comparisons[0]!.after.sha256)).toBe(true);

    await writeFile(join(folder, 'W-5.pdf'), await smallArtwork());
    expect(await watched(1, CORRECTED_FIRST)).toEqual(['W-5.pdf: is the artwork that job W-5 has already.']);
    // Another number that begins alike is no correction of it.
    await writeFile(join(folder, 'W-55.pdf'), await smallArtwork());
    expect((await watched(1, CORRECTED_FIRST))[0]).toMatch(/^W-55\.pdf: became job W-55/);
  });

  test('WF1: a full disk is said once, and the file stays under way', async () => {
    await writeFile(join(folder, 'van.pdf'), await smallArtwork());
    await takeFile(folder, 'van.pdf');
    const full: FileTaker = async () =>
      resultProblem({ code: 'disk-full', message: 'The disk is full.', remedy: 'Free some space.' });
    expect(await watched(1, [full])).toEqual([
      'van.pdf: waits under way, and is tried again each minute. The disk is full. Free some space.',
    ]);
    expect(await readdir(join(folder, '_work', 'van'))).toContain('van.pdf');
    const done: FileTaker = async () => resultOk({ end: 'done', sentence: 'is done.' });
    const nobodys: FileTaker = async () => undefined;
    expect(await watched(1, [nobodys, done])).toEqual(['van.pdf: is done.']);
    expect(await readdir(join(folder, '_done', 'van'))).toEqual(['van.pdf', 'why.txt']);
  });

  test('WF1: a file whose taking was cut short between its record and its move is taken once', async () => {
    await writeFile(join(folder, 'van.pdf'), await smallArtwork());
    await mkdir(join(folder, '_work', 'van'), { recursive: true });
    await writeFile(
      join(folder, '_work', 'van', 'taken.json'),
      JSON.stringify({ from: 'van.pdf', id: 'w1' }),
    );
    const seen: string[] = [];
    const done: FileTaker = async ({ id }) => {
      seen.push(id);
      return resultOk({ end: 'done', sentence: 'is done.' });
    };
    await watched(1, [done]);
    expect(seen).toEqual(['w1']);
    expect(await readdir(folder)).not.toContain('van.pdf');
  });
});
