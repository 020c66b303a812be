import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { cmyk, PDFDocument } from 'pdf-lib';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { jobToJson } from '../../../core/job/job-json.ts';
import type { Job } from '../../../core/job/schema.ts';
import { EXIT } from '../../../main/command/exit-code.ts';
import { commandLine } from '../../support/command-line.ts';
import { twoSides } from '../../support/compared-artwork.ts';
import { smallArtwork, smallJob } from '../../support/small-job.ts';

let folder: string;
const at = (...names: string[]) => join(folder, ...names);
const run = (...args: string[]) => commandLine(['--archive', at('archive'), ...args]);
const jobNow = (): Job => JSON.parse(readFileSync(at('job.json'), 'utf8'));

/** Page numbers of the small artwork, in this order, with something new on the right of the first side. */
async function correctedPdf(name: string, pages: readonly number[], hasChange = true): Promise<string> {
  const drawn = await PDFDocument.load(await smallArtwork(Math.max(...pages)));
  if (hasChange)
    drawn.getPage(0).drawRectangle({ x: 700, y: 300, width: 60, height: 30, color: cmyk(0, 1, 1, 0) });
  const document = await PDFDocument.create();
  for (const page of await document.copyPages(
    drawn,
    pages.map((number) => number - 1),
  ))
    document.addPage(page);
  writeFileSync(at(name), await document.save());
  return at(name);
}

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'panelwright-corrected-'));
  writeFileSync(at('art.pdf'), await smallArtwork());
  writeFileSync(at('job.json'), jobToJson(smallJob()));
});
afterEach(() => rmSync(folder, { recursive: true }));

const cut = (...more: string[]) =>
  run('cut', at('job.json'), '--to', at('out'), '--no-verification', '--sheets', 'none', ...more);

describe('corrected artwork on the command line', () => {
  it('CA9 is compared when it is imported, and then only the changed panels are written', async () => {
    await run('import', at('art.pdf'), '--job', at('job.json'), '--box', 'trim');
    expect((await cut('--changed')).out).toContain('2 panels of job SJ-7 written');
    const nothing = await cut('--changed');
    expect([nothing.code, nothing.out]).toEqual([EXIT.done, expect.stringContaining('nothing was written')]);
    expect((await run('history', 'SJ-7')).out).toContain('Output 1, LH-01 and LH-02: still good');
    const before = jobNow();
    const imported = await run('import', await correctedPdf('new.pdf', [1]), '--job', at('job.json'));
    expect([imported.code, imported.err]).toEqual([EXIT.done, '']);
    expect(imported.out).toContain('LH-01: unchanged (same content)');
    expect(imported.out).toMatch(/LH-02: changed, .* of it/);
    expect(imported.out).toContain('1 of 2 panels has changed.');
    const { artwork, proofRevision, ...rest } = jobNow();
    expect(artwork).toMatchObject({ fileName: 'new.pdf', box: 'trim' });
    expect(proofRevision).toBe(2);
    const { artwork: _, ...restBefore } = before;
    expect(rest).toEqual(restBefore);
    expect((await run('history', 'SJ-7')).out).toMatch(
      /Output 1, LH-01: still good\nOutput 1, LH-02: of older artwork, changed since/,
    );
    expect((await cut('--changed')).out).toContain('1 panels of job SJ-7 written');
    expect((await run('history', 'SJ-7')).out).toMatch(
      /Output 1, LH-01: still good\nOutput 1, LH-02: written again in Output 2\nOutput 2, LH-02: still good/,
    );
  });

  it('moves sides that have changed places, and says so in a sentence', async () => {
    const { sides, ...job } = twoSides();
    const front = sides[0]!.front;
    writeFileSync(at('job.json'), jobToJson({ ...job, sides: sides.map((side) => ({ ...side, front })) }));
    await run('import', await correctedPdf('two.pdf', [1, 2], false), '--job', at('job.json'));
    expect((await cut()).code).toBe(EXIT.done);
    const swapped = await run(
      'import',
      await correctedPdf('swapped.pdf', [2, 1], false),
      '--job',
      at('job.json'),
    );
    expect([swapped.code, swapped.err]).toEqual([EXIT.done, '']);
    expect(swapped.out).toContain('Left side and Right side have changed places');
    expect(jobNow().sides.map(({ page }) => page)).toEqual([2, 1]);
    expect((await cut('--changed')).out).toContain('nothing was written');
    // A page less, and a page more.
    const less = await run('import', await correctedPdf('less.pdf', [2], false), '--job', at('job.json'));
    expect(less.out).toContain('The corrected artwork has 1 page; the artwork had 2 pages.');
    expect(jobNow().sides).toHaveLength(2);
    const more = await run('import', await correctedPdf('more.pdf', [1, 2], false), '--job', at('job.json'));
    expect(more.code).toBe(EXIT.done);
  });

  it('refuses what cannot be meant', async () => {
    await run('import', at('art.pdf'), '--job', at('job.json'), '--box', 'trim');
    const other = await run(
      'import',
      await correctedPdf('new.pdf', [1]),
      '--job',
      at('job.json'),
      '--box',
      'media',
    );
    expect(other.err).toContain('placed from the trim box of their pages, not from the media box');
    expect(jobNow().artwork?.fileName).toBe('art.pdf');
    for (const and of [['--panels', 'LH-01'], ['--no-archive']])
      expect((await cut('--changed', ...and)).err).toContain('Give one of the two.');
  });
});
